"""What reads as s.l. since a split goes out so in files, beside what its writer wrote."""

import pytest
from django.test import Client

from society.finds.models import Find
from society.members.models import Account
from tests.exchange.files import csv_of
from tests.make import make_find, make_referee, make_society, make_taxon
from tests.review.acts import act
from tests.review.splitting import days_ago, split

pytestmark = pytest.mark.django_db
NAMED = ("scientificName", "identificationQualifier", "taxonRank", "verbatimIdentification")


@pytest.fixture
def bea() -> Account:
    make_society()
    return make_referee("Bea Lowther")


@pytest.fixture
def find(bea: Account) -> Find:
    """A find confirmed before its species was split."""
    species = make_taxon("Lactarius deterrimus")
    with days_ago(400):
        find = make_find(taxon=species)
        act(find, bea)
    split(species, species, make_taxon("Lactarius novellus"), ago=30)
    return find


@pytest.mark.parametrize("path", ["/finds.csv", "/logbook/records.csv"])
def test_a_find_goes_out_as_it_reads_until_somebody_looks_again(
    client: Client, bea: Account, find: Find, path: str
) -> None:
    client.force_login(find.finder.account)
    _, (row,), _ = csv_of(client, path)
    words = ["Lactarius deterrimus", "s.l.", "species", "Lactarius deterrimus"]
    assert [row[heading] for heading in NAMED] == words
    act(find, bea)
    _, (row,), _ = csv_of(client, path)
    assert row["identificationQualifier"] == ""


def test_a_list_names_it_wide(client: Client, find: Find) -> None:
    client.force_login(find.finder.account)
    _, (row,), _ = csv_of(client, "/lists/species.csv")
    assert "Lactarius deterrimus" in row.values()
    assert "s.l." in row.values()


def test_the_finds_behind_a_row_are_those_that_read_so(client: Client, find: Find) -> None:
    client.force_login(find.finder.account)
    taxon = find.standing_taxon_id
    _, rows, _ = csv_of(client, "/finds.csv", taxon=taxon, qualifier="s.l.")
    assert [row["catalogNumber"] for row in rows] == [find.spoken_number]
    assert csv_of(client, "/finds.csv", taxon=taxon, qualifier="")[1] == []
