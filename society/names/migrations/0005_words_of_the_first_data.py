"""Mends words that the first data were loaded with; what a keeper has changed since stays."""

from typing import Any

from django.db import migrations


def words_mended(apps: Any, schema_editor: Any) -> None:
    """Set each value only where it still stands as it was loaded."""
    character = apps.get_model("names", "Character")
    state = apps.get_model("names", "CharacterState")
    account_state = apps.get_model("names", "AccountState")
    taxon = apps.get_model("names", "Taxon")
    # Boletes and brackets bear pores.
    character.objects.filter(code="underside_bruising", part="gills").update(part="underside")
    state.objects.filter(
        character__code="milk_change",
        code="none",
        sentence="The milk looked at in its last minute has the colour of the first.",
    ).update(
        sentence="At the last look, its minute written down, the milk still has the colour of the "
        "first."
    )
    for row in account_state.objects.filter(
        character__code="greening", source__contains="all_green only in small buttons"
    ):
        row.source = row.source.replace("all_green only", "green all over only")
        row.save(update_fields=["source"])
    # A note on a danger says when it holds, and reads in no way as how to prepare a fungus.
    for name, before, after in (
        ("Lactarius semisanguifluus", "wrong preparation", "some_people"),
        ("Gyromitra esculenta", "also after cooking or drying", "gyromitrin"),
        ("Verpa bohemica", "raw|some_people", "raw, or in some people"),
    ):
        taxon.objects.filter(scientific_name=name, danger_note=before).update(danger_note=after)


class Migration(migrations.Migration):
    dependencies = [("names", "0004_sentences_of_states")]

    operations = [migrations.RunPython(words_mended, migrations.RunPython.noop)]
