from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("finds", "0002_find_of_vague_date")]

    operations = [
        migrations.AddField(
            model_name="find",
            name="reads_wide",
            field=models.BooleanField(default=False, editable=False),
        ),
        migrations.AddIndex(
            model_name="find",
            index=models.Index(
                condition=models.Q(("reads_wide", True)),
                fields=["standing_taxon"],
                name="find_that_reads_wide",
            ),
        ),
    ]
