"""Each state of a character says in one sentence how it is told."""

import django.core.validators
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("names", "0003_files_of_names")]

    operations = [
        migrations.AddField(
            model_name="characterstate",
            name="sentence",
            field=models.CharField(
                blank=True,
                max_length=240,
                validators=[
                    django.core.validators.RegexValidator(
                        "^[^\\x00-\\x1f\\x7f<>]*$",
                        "Write this on one line, without < or >.",
                        code="one_line",
                    )
                ],
                verbose_name="one sentence",
            ),
        ),
    ]
