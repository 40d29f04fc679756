"""What a find's page says of a name that moved or was split since it was laid."""

import re

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from society.finds.models import Find
from society.finds.services import SlipEntry
from society.members.models import Account
from society.names.models import Taxon
from society.names.services import split_end, taxon_move
from society.review.queries import find_page
from society.review.services import slip_lay
from tests.make import make_account, make_find, make_taxon, viewer
from tests.review.acts import act
from tests.review.desk import find_address, seen, text_of
from tests.review.splitting import days_ago, split, work_all

pytestmark = pytest.mark.django_db
SENTENCE = "nobody has looked at this find again since."


@pytest.fixture
def narrower() -> Taxon:
    return make_taxon("Lactarius novellus")


@pytest.fixture
def old(bea: Account, milkcap: Taxon) -> Find:
    """A find that was confirmed a year before any split."""
    with days_ago(400):
        find = make_find(taxon=milkcap)
        act(find, bea)
    return find


def heading(page: str) -> str:
    found = re.search(r"<h1 class=\"specimen-name\">(.*?)</h1>", page)
    assert found is not None
    return re.sub(r"<[^>]+>", "", found[1]).strip()


def slip_names(page: str) -> list[str]:
    return [
        re.sub(r"<[^>]+>", "", row).strip()
        for row in re.findall(r"<p class=\"slip-name\">\s*(<span class=\"name\">.*?</span>)", page)
    ]


def test_the_page_says_why_a_name_reads_wide_and_links_the_narrower_names(
    bea: Account, milkcap: Taxon, narrower: Taxon, old: Find
) -> None:
    assert SENTENCE not in seen(old, bea)
    split(milkcap, milkcap, narrower, ago=30)
    for page in (seen(old, bea), seen(old)):
        assert heading(page).startswith("Lactarius deterrimus s.l.")
        assert "Read as s.l.: the species was split on" in page
        assert SENTENCE in page
        for taxon in (milkcap, narrower):
            assert f'href="{reverse("lists:species", args=[taxon.pk])}"' in page
        assert "<i>Lactarius deterrimus</i> s.str.</a>" in page
        assert "(Hartley 2024, a key to milk caps)" in page
        # The slip shows as laid.
        assert slip_names(page) == ["Lactarius deterrimus Gröger"]


def test_once_looked_at_again_the_page_reads_as_before(
    bea: Account, milkcap: Taxon, narrower: Taxon, old: Find
) -> None:
    split(milkcap, narrower, ago=30)
    act(old, bea)
    page = seen(old, bea)
    assert SENTENCE not in page
    assert "s.l." not in heading(page)


def test_of_two_splits_the_later_is_named(
    bea: Account, milkcap: Taxon, narrower: Taxon, old: Find
) -> None:
    split(milkcap, narrower, ago=200)
    split(milkcap, make_taxon("Lactarius ultimus"), ago=20)
    page = seen(old, bea)
    assert "Lactarius ultimus" in page
    assert "Lactarius novellus" not in page


def test_a_dangerous_species_among_the_narrower_ones_is_named_with_its_danger(
    bea: Account, milkcap: Taxon, old: Find
) -> None:
    deadly = make_taxon("Lactarius malus", danger="deadly")
    split(milkcap, milkcap, deadly, ago=30)
    page = seen(old)
    assert re.search(r"<p class=\"caution-line\"> <i>Lactarius malus</i>: deadly", page)


def test_between_a_split_taken_back_and_the_reading_anew_the_page_is_whole(
    bea: Account, milkcap: Taxon, narrower: Taxon, old: Find
) -> None:
    row = split(milkcap, narrower)
    split_end(row.pk, by=viewer(make_account(is_keeper=True)))
    assert SENTENCE not in seen(old, bea)
    work_all()
    assert "s.l." not in heading(seen(old, bea))


def test_a_name_that_moved_shows_as_laid_with_the_accepted_one_beside(
    ann: Account, bea: Account, milkcap: Taxon, old: Find
) -> None:
    slip_lay(old.pk, SlipEntry("L. deterrimus", milkcap.pk), by=viewer(ann))
    taxon_move(
        milkcap.pk,
        scientific_name="Lactifluus deterrimus",
        authorship="(Gröger) Nobody",
        by=viewer(make_account(is_keeper=True)),
    )
    work_all()
    slip_lay(old.pk, SlipEntry("Lactifluus deterrimus", milkcap.pk), by=viewer(ann))
    page = seen(old, bea)
    assert heading(page).startswith("Lactifluus deterrimus (Gröger) Nobody")
    assert slip_names(page) == [
        "Lactarius deterrimus Gröger",
        "Lactifluus deterrimus (Gröger) Nobody",
        "Lactifluus deterrimus (Gröger) Nobody",
    ]
    rows = find_page(viewer(bea), old).slips
    assert [row.accepted_parts is not None for row in rows] == [True, False, False]
    assert 'written as <q class="as-written">Lactarius deterrimus</q>' in page
    assert 'written as <q class="as-written">L. deterrimus</q>' in page


def test_a_slip_that_bore_the_new_name_early_is_not_shown_under_the_old(
    ann: Account, milkcap: Taxon
) -> None:
    """The synonym that held the new combination bears the old one after the move."""
    early = make_taxon("Lactifluus deterrimus", accepted=milkcap)
    find = make_find(ann, taxon=early)
    taxon_move(
        milkcap.pk,
        scientific_name="Lactifluus deterrimus",
        authorship="",
        by=viewer(make_account(is_keeper=True)),
    )
    page = seen(find, ann)
    assert slip_names(page) == ["Lactifluus deterrimus"]
    assert find_page(viewer(ann), find).slips[0].accepted_parts is None


def test_words_misspelt_are_not_shown_as_an_older_name(ann: Account, milkcap: Taxon) -> None:
    find = make_find(ann, slip=SlipEntry("Lactarius deterimus", milkcap.pk))
    (row,) = find_page(viewer(ann), find).slips
    assert row.accepted_parts is None
    assert row.parts[0] == ("Lactarius deterrimus", True)


def test_the_page_costs_the_same_however_many_names_a_split_made(
    bea: Account, milkcap: Taxon, old: Find
) -> None:
    counts = []
    for number in (1, 6):
        split(milkcap, *[make_taxon() for _ in range(number)], ago=10 * number)
        client = Client()
        client.force_login(bea)
        client.get(find_address(old))
        with CaptureQueriesContext(connection) as queries:
            assert SENTENCE in text_of(client.get(find_address(old)))
        counts.append(len(queries))
    assert counts[0] == counts[1]
