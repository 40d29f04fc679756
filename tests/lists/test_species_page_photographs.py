"""A species' page: photographs by view and stage, age and colour, and what the page costs."""

import re
import uuid

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from society.finds.models import Find, ObservedCharacter, Photograph, Standing
from society.finds.services import OrganismEntry, ReadingEntry
from society.lists.queries import species_page
from society.names.models import ListedStatus, LookAlike, Taxon
from society.names.queries import account_book
from tests.lists.pages import text
from tests.lists.standing import find_standing
from tests.make import (
    make_account,
    make_character,
    make_host,
    make_site,
    make_species_account,
    make_taxon,
    minutes,
    viewer,
)

# What the docstring of ``species_page`` promises.
QUERIES = 24


@pytest.fixture
def taxon() -> Taxon:
    return make_taxon("Lactarius deterrimus", hosts=["Picea"], month_from=8, month_to=11)


def photograph(find: Find, view: str = "cap", **over: object) -> Photograph:
    values = {
        "find": find,
        "author": find.finder,
        "view": view,
        "state": "ready",
        "original": "o/x",
        "sha256": "0" * 64,
        "byte_size": 1,
        "width": 400,
        "height": 300,
        "uuid": uuid.uuid4(),
        **over,
    }
    return Photograph.objects.create(**values)


def shown(page: str) -> list[str]:
    """Return the descriptions of the photographs, in order."""
    return re.findall(r'alt="([^"]+), \d{4}/\d+"', page)


def test_photographs_stand_by_view_and_from_button_to_decayed(client: Client, taxon: Taxon) -> None:
    for stage in ("old", "", "button", "mature"):
        find = find_standing(taxon=taxon, plain={"stage": stage})
        photograph(find, "underside")
        photograph(find, "cap")
    page = text(client, f"/species/{taxon.pk}/")
    assert shown(page) == [
        f"{view}, {stage}"
        for view in ("cap or upper side", "underside")
        for stage in ("button", "mature", "old", "stage not said")
    ]


def test_every_stage_is_there_before_a_second_of_any_and_one_view_shows_the_rest(
    client: Client, taxon: Taxon
) -> None:
    for stage in ("mature",) * 5 + ("young", "old"):
        photograph(find_standing(taxon=taxon, plain={"stage": stage}))
    photograph(find_standing(taxon=taxon, plain={"stage": "old"}), "section")
    page = text(client, f"/species/{taxon.pk}/")
    assert [one for one in shown(page) if one.startswith("cap")] == [
        f"cap or upper side, {stage}" for stage in ("young", "mature", "mature", "old")
    ]
    assert "4 of 7 photographs of this view" in page
    assert f'href="/species/{taxon.pk}/?view=cap#photographs"' in page
    alone = text(client, f"/species/{taxon.pk}/?view=cap")
    assert len(shown(alone)) == 7
    assert "cut section" not in alone
    assert "All views" in alone
    assert shown(text(client, f"/species/{taxon.pk}/?view=nonsense")) == shown(page)


def test_photographs_of_finds_that_do_not_stand_confirmed_are_not_shown(taxon: Taxon) -> None:
    member = Client()
    member.force_login(make_account())
    for standing in (Standing.UNCONFIRMED, Standing.DISPUTED, Standing.LEFT_OPEN):
        photograph(find_standing(standing, taxon=taxon))
    photograph(find_standing(taxon=taxon), removed_at="2026-10-05T10:00Z")
    photograph(find_standing(taxon=taxon), state="waiting")
    for client in (member, Client()):
        page = text(client, f"/species/{taxon.pk}/")
        assert "/photographs/" not in page
        assert "No photograph of a find with a settled name is shown here." in page


def test_a_caption_is_held_back_with_the_place_it_might_tell(client: Client) -> None:
    rarity = make_taxon("Hericium erinaceus", sensitivity=2)
    finder = make_account()
    find = find_standing(account=finder, taxon=rarity, site=make_site("Hagg Wood"))
    photograph(find, caption="on the beech by the weir")
    common = make_taxon("Russula nobilis")
    photograph(find_standing(taxon=common, site=make_site()), caption="gills quite brittle")
    assert "by the weir" not in text(client, f"/species/{rarity.pk}/")
    assert "gills quite brittle" in text(client, f"/species/{common.pk}/")
    client.force_login(finder)
    assert "by the weir" in text(client, f"/species/{rarity.pk}/")


def test_what_age_does_to_colour_is_told_by_stage_with_numbers_of_finds(
    client: Client, taxon: Taxon
) -> None:
    colour = make_character("gill_colour", "orange", "green")
    other = make_character("ring", "none")
    for stage, state in (
        ("button", "orange"),
        ("old", "orange"),
        ("old", "green"),
        ("old", "green"),
    ):
        find = find_standing(taxon=taxon, plain={"stage": stage})
        for character, code in ((colour, state), (other, "none")):
            ObservedCharacter.objects.create(
                find=find, character=character, state=character.states.get(code=code)
            )
    page = text(client, f"/species/{taxon.pk}/")
    words = " ".join(re.sub(r"<[^>]+>", " ", page[page.index('id="age-and-colour"') :]).split())
    assert "gill colour button orange 1 old green 2 , orange 1" in words
    assert "/characters/ring/" not in page


def _fill(taxon: Taxon, numbers: range) -> None:
    """Make finds with everything the page reads, and a look-alike for each."""
    colour = make_character("gill_colour", "orange")
    for number in numbers:
        host = make_host(f"Picea numero{number}", genus="Picea")
        find = find_standing(
            taxon=taxon,
            site=make_site(),
            plain={"stage": ("young", "mature", "old")[number % 3]},
            readings=(ReadingEntry("milk", minutes(number), "orange"),),
            organisms=(OrganismEntry(host.scientific_name, taxon_id=host.pk, part="host"),),
        )
        ObservedCharacter.objects.create(find=find, character=colour, state=colour.states.get())
        for view in ("cap", "underside", "section"):
            photograph(find, view, caption="as found")
        other = make_taxon(danger="deadly")
        LookAlike.objects.create(taxon=taxon, other=other, source="an atlas")
        ListedStatus.objects.create(
            taxon=taxon, kind="red_list", area="Here", edition=f"{number}", year=2020, says="listed"
        )


def test_the_page_costs_the_same_queries_however_much_was_found(taxon: Taxon) -> None:
    make_species_account(taxon, {"ring": {"none": "always"}}, [("milk", 0, 5, "orange", "always")])
    reader = viewer(make_account())
    costs = []
    for numbers in (range(1, 3), range(3, 15)):
        _fill(taxon, numbers)
        account_book()  # read anew, as the first page after a change of the checklist does
        with CaptureQueriesContext(connection) as asked:
            page = species_page(reader, taxon)
        assert page.finds == numbers.stop - 1
        costs.append(len(asked))
    assert costs[0] == costs[1] == QUERIES


def test_a_page_without_account_or_finds_costs_less() -> None:
    taxon = make_taxon("Russula nobilis")
    reader = viewer(make_account())
    account_book()
    with CaptureQueriesContext(connection) as asked:
        species_page(reader, taxon)
    assert len(asked) < QUERIES
