"""What the first data were loaded with is mended by a migration, never against a keeper."""

import importlib

import pytest
from django.apps import apps

from society.names.models import AccountState, Character, CharacterState, Taxon
from tests.make import make_species_account, make_taxon

pytestmark = pytest.mark.django_db
MIGRATION = importlib.import_module("society.names.migrations.0005_words_of_the_first_data")
OLD = "The milk looked at in its last minute has the colour of the first."


def test_words_that_stand_as_loaded_are_mended() -> None:
    taxon = make_taxon(
        "Lactarius semisanguifluus", danger="illness", danger_note="wrong preparation"
    )
    make_species_account(
        taxon, {"greening": {"spots": "usually"}, "milk_change": {"none": "always"}}
    )
    AccountState.objects.filter(character__code="greening").update(
        source="from memory, all_green only in small buttons (a key)"
    )
    CharacterState.objects.filter(character__code="milk_change").update(sentence=OLD)
    Character.objects.create(
        code="underside_bruising", name="underside when bruised", part="gills", position=9
    )
    MIGRATION.words_mended(apps, None)
    taxon.refresh_from_db()
    assert (taxon.danger, taxon.danger_note) == ("illness", "some_people")
    assert AccountState.objects.get(character__code="greening").source == (
        "from memory, green all over only in small buttons (a key)"
    )
    assert "still has the colour of the first" in (
        CharacterState.objects.get(character__code="milk_change").sentence
    )
    assert Character.objects.get(code="underside_bruising").part == "underside"


def test_a_keepers_own_words_stay() -> None:
    taxon = make_taxon("Verpa bohemica", danger="illness", danger_note="raw")
    make_species_account(taxon, {"milk_change": {"none": "always"}})
    CharacterState.objects.update(sentence="Still white after half an hour.")
    Character.objects.create(code="underside_bruising", name="bruised", part="pores", position=9)
    MIGRATION.words_mended(apps, None)
    assert Taxon.objects.get().danger_note == "raw"
    assert CharacterState.objects.get().sentence == "Still white after half an hour."
    assert Character.objects.get(code="underside_bruising").part == "pores"
