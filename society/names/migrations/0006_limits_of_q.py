"""Holds of Q both limits or neither, the smaller first, as the services ask for."""

from typing import Any

from django.db import migrations, models
from django.db.models import F, Q


def limits_mended(apps: Any, schema_editor: Any) -> None:
    """Turn limits round that stand backward, and take a lone one out; the history keeps it."""
    spores = apps.get_model("names", "AccountSpores")
    spores.objects.filter(q_from__gt=F("q_to")).update(q_from=F("q_to"), q_to=F("q_from"))
    lone = Q(q_from__isnull=True, q_to__isnull=False) | Q(q_from__isnull=False, q_to__isnull=True)
    for row in spores.objects.filter(lone):
        held = {"spores.q_from": row.q_from, "spores.q_to": row.q_to}
        prior = {name: str(value) for name, value in held.items() if value is not None}
        change = apps.get_model("core", "Change").objects.create(
            verb="account.changed",
            object_kind="names.account",
            object_id=row.account_id,
            fields=sorted(prior),
        )
        for name, value in prior.items():
            apps.get_model("core", "FieldVersion").objects.create(
                change=change, field=name, prior=value
            )
        row.q_from = row.q_to = None
        row.save(update_fields=["q_from", "q_to"])


class Migration(migrations.Migration):
    dependencies = [
        ("core", "0001_history_jobs_throttle"),
        ("names", "0005_words_of_the_first_data"),
    ]

    operations = [
        migrations.RunPython(limits_mended, migrations.RunPython.noop),
        migrations.AddConstraint(
            model_name="accountspores",
            constraint=models.CheckConstraint(
                condition=Q(q_from__isnull=True, q_to__isnull=True)
                | Q(q_from__isnull=False, q_to__isnull=False, q_to__gte=F("q_from")),
                name="account_spores_q_both_or_neither",
                violation_error_message="Give both limits of Q or neither, the smaller one first.",
            ),
        ),
    ]
