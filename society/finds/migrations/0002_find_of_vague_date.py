from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [("finds", "0001_finds_evidence_slips")]

    operations = [
        migrations.AddIndex(
            model_name="find",
            index=models.Index(
                condition=models.Q(("date_end__gt", models.F("date_start"))),
                fields=["date_end"],
                name="find_of_vague_date",
            ),
        ),
    ]
