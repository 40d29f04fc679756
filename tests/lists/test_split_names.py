"""What reads as s.l. since a split stands so in every list, line and search, and counts as wide."""

import datetime as dt

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from society.finds.models import Find
from society.lists.queries import SpeciesListFilter, species_list
from society.members.models import Account
from society.names.models import Taxon
from tests.lists.pages import text
from tests.make import make_account, make_find, make_referee, make_society, make_taxon, viewer
from tests.review.acts import act, lay
from tests.review.splitting import days_ago, split

pytestmark = pytest.mark.django_db


@pytest.fixture
def bea() -> Account:
    make_society()
    return make_referee("Bea Lowther")


@pytest.fixture
def species() -> Taxon:
    return make_taxon("Lactarius deterrimus")


@pytest.fixture
def narrower() -> Taxon:
    return make_taxon("Lactarius novellus")


def confirmed(taxon: Taxon, bea: Account, *, ago: int, date: dt.date) -> Find:
    with days_ago(ago):
        find = make_find(taxon=taxon, date=date)
        act(find, bea)
    return find


@pytest.fixture
def finds(bea: Account, species: Taxon, narrower: Taxon) -> tuple[Find, Find]:
    """One find from before the split and one from after it."""
    early = confirmed(species, bea, ago=700, date=dt.date(2024, 10, 2))
    split(species, species, narrower, ago=300)
    return early, confirmed(species, bea, ago=30, date=dt.date(2026, 10, 3))


def rows(account: Account, **over: object) -> dict[tuple[str, str], tuple[int, bool]]:
    wanted = SpeciesListFilter(**over)  # type: ignore[arg-type]
    return {
        (row.name, row.qualifier): (row.finds, row.counts_as_species)
        for row in species_list(viewer(account), wanted).rows
    }


def test_the_wide_name_has_a_row_of_its_own_and_counts_only_without_a_member(
    bea: Account, finds: tuple[Find, Find]
) -> None:
    assert rows(bea) == {
        ("Lactarius deterrimus", "s.l."): (1, False),
        ("Lactarius deterrimus", ""): (1, True),
    }
    before = {"date_to": dt.date(2025, 1, 1)}
    assert rows(bea, **before) == {("Lactarius deterrimus", "s.l."): (1, True)}


def test_looking_again_moves_the_find_to_its_row(
    bea: Account, finds: tuple[Find, Find], narrower: Taxon
) -> None:
    act(finds[0], bea)
    assert rows(bea) == {("Lactarius deterrimus", ""): (2, True)}
    lay(finds[0], bea, narrower)
    assert rows(bea) == {
        ("Lactarius deterrimus", ""): (1, True),
        ("Lactarius novellus", ""): (1, True),
    }


def test_what_reads_wide_makes_no_first_of_the_narrower_name(
    bea: Account, finds: tuple[Find, Find]
) -> None:
    def firsts(season: int) -> list[tuple[str, bool]]:
        answer = species_list(viewer(bea), SpeciesListFilter(season=season))
        return [(row.qualifier, row.first_for_society) for row in answer.rows]

    assert firsts(2024) == [("s.l.", False)]
    assert firsts(2026) == [("", True)]
    act(finds[0], bea)
    assert firsts(2024) == [("", True)]
    assert firsts(2026) == [("", False)]


def test_every_page_shows_the_wide_name_where_it_stands(
    client: Client, bea: Account, finds: tuple[Find, Find], species: Taxon
) -> None:
    early, late = finds
    wide = "<i>Lactarius deterrimus</i> s.l."
    client.force_login(bea)
    assert text(client, "/lists/species/").count(wide) == 1
    assert wide in text(client, f"/search/?q={early.year}/{early.number}")
    assert wide not in text(client, f"/search/?q={late.year}/{late.number}")
    behind = text(client, f"/lists/finds/?taxon={species.pk}&qualifier=s.l.")
    assert f"/finds/{early.year}/{early.number}/" in behind
    assert f"/finds/{late.year}/{late.number}/" not in behind
    client.force_login(early.finder.account)
    assert wide in text(client, "/logbook/")


def test_lists_and_lines_cost_the_same_with_and_without_a_split(
    client: Client, bea: Account, species: Taxon, narrower: Taxon
) -> None:
    early = confirmed(species, bea, ago=700, date=dt.date(2024, 10, 2))
    client.force_login(make_account())

    def cost() -> list[int]:
        counts = []
        for address in ("/lists/species/", f"/search/?q={early.year}/{early.number}"):
            client.get(address)
            with CaptureQueriesContext(connection) as queries:
                text(client, address)
            counts.append(len(queries))
        return counts

    before = cost()
    split(species, species, narrower, ago=300)
    assert Find.objects.get(pk=early.pk).reads_wide
    assert cost() == before
