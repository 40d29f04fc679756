"""The find's page: the label, slips, photographs, sentences, and what it costs."""

import re
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from society.finds.models import Find
from society.finds.services import (
    EatingNoteEntry,
    OrganismEntry,
    ReadingEntry,
    SlipEntry,
    find_withdraw,
    photograph_add,
)
from society.members.models import Account
from society.names.models import Character, Taxon
from society.names.queries import account_book
from society.review.models import Wanted
from society.review.queries import find_page
from society.review.services import comment_add, slip_lay
from society.review.templatetags.review import CHANGES, NOTICES, REASONS, STANDINGS, wanted_words
from society.science.standing import CODES
from tests.make import (
    make_account,
    make_find,
    make_host,
    make_person,
    make_site,
    make_society,
    make_taxon,
    minutes,
    viewer,
)
from tests.review.acts import act as act_on
from tests.review.desk import client_of, find_address, picture, seen

pytestmark = pytest.mark.django_db

PRAISE = "Fried in butter they were delicious."


@pytest.fixture(autouse=True)
def _society() -> None:
    make_society()


# --- the label ------------------------------------------------------------------------------------


def test_it_reads_as_a_specimen_label(ann: Account, milkcap: Taxon) -> None:
    spruce = make_host("Picea abies")
    find = make_find(
        ann,
        taxon=milkcap,
        site=make_site("Hagg Wood"),
        companion_ids=(make_person("Ben Dodd").pk,),
        collector_number="AH 12",
        organisms=(OrganismEntry("spruce", spruce.pk, "host", distance_m=minutes(2)),),
        plain={"habitat": "old plantation", "soil": "acid", "substrate": "soil"},
    )
    page = seen(find, ann)
    for words in (
        "Caldermoss Fungus Group",
        find.spoken_number,
        "<i>Lactarius deterrimus</i> Gröger",
        "False Saffron Milkcap",
        "Hagg Wood",
        "18 Oct 2026",
        "Ann Hartley",
        "Ben Dodd",
        "own number AH 12",
        "<i>Picea abies</i>",
        "host, 2 m",
        "old plantation",
        "No referee in scope has settled this find yet.",
    ):
        assert words in page, words


@pytest.mark.parametrize(
    ("qualifier", "shown"),
    [
        ("cf.", "<i>Lactarius</i> cf. <i>deterrimus</i> Gröger"),
        ("agg.", "<i>Lactarius deterrimus</i> agg."),
        ("?", "<i>Lactarius deterrimus</i> ?"),
    ],
)
def test_a_doubt_stands_where_the_trade_writes_it(
    ann: Account, milkcap: Taxon, qualifier: str, shown: str
) -> None:
    slip = SlipEntry("as I wrote it", milkcap.pk, qualifier=qualifier)
    page = seen(make_find(ann, slip=slip), ann)
    assert page.count(shown) == 2  # the headline and the slip
    assert "as I wrote it" in page


def test_a_find_not_named_yet_says_so(ann: Account) -> None:
    page = seen(make_find(ann), ann)
    assert "Not named yet" in page
    assert "Any member may lay a slip." in page


def test_confirmed_to_the_genus_the_genus_heads_the_page_and_the_slip_stays(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    find = make_find(ann, slip=SlipEntry("L. deterrimus?", milkcap.pk, qualifier="?"))
    act_on(find, bea, at_rank="genus")
    page = seen(find, ann)
    head = page[page.index("<h1") : page.index("</h1>")]
    assert "<i>Lactarius</i>" in head
    assert "deterrimus" not in head
    assert "?" not in re.sub(r"<[^>]*>", "", head)
    assert "this one stands, as far as genus" in page
    assert "Confirmed as far as genus" in page


def test_slips_are_shown_in_the_order_laid_with_what_was_written(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    find = make_find(ann, slip=SlipEntry("L. deterimus", milkcap.pk))
    other = make_taxon("Lactarius deliciosus")
    slip_lay(
        find.pk,
        SlipEntry("Saffron one", other.pk, literature="Rayner 1985", remarks="Under pine."),
        by=viewer(make_account("Carl Nairn")),
    )
    act_on(find, bea, slip_id=find.slips.order_by("pk").first().pk)  # type: ignore[union-attr]
    page = seen(find, bea)
    first, second = page.index("L. deterimus"), page.index("Saffron one")
    assert first < second
    assert "Rayner 1985" in page[second:]
    assert "Under pine." in page[second:]
    assert page.count("this one stands") == 1
    assert first < page.index("Confirmed as far as species") < second


def test_a_synonym_leads_to_the_accepted_name_and_keeps_its_own(ann: Account) -> None:
    accepted = make_taxon("Lactifluus volemus")
    synonym = make_taxon("Lactarius volemus", accepted=accepted)
    page = seen(make_find(ann, slip=SlipEntry("L. volemus", synonym.pk)), ann)
    assert "<i>Lactifluus volemus</i>" in page[page.index("<h1") : page.index("</h1>")]
    slips = page[page.index("slip-name") :]
    assert slips.index("<i>Lactarius volemus</i>") < slips.index("<i>Lactifluus volemus</i>")


def test_readings_stand_by_their_minutes_and_a_missed_one_says_not_looked(
    ann: Account, milkcap: Taxon
) -> None:
    find = make_find(
        ann,
        taxon=milkcap,
        readings=(
            ReadingEntry("milk", minutes(30), "wine red"),
            ReadingEntry("milk", minutes(0), "carrot orange"),
            ReadingEntry("milk", minutes(10), looked=False),
        ),
    )
    page = seen(find, ann)
    words = ("carrot orange", "not looked", "wine red")
    assert [page.index(word) for word in words] == sorted(page.index(word) for word in words)


def test_observed_characters_are_read_together(ann: Account) -> None:
    taste = Character.objects.create(code="gills", name="gill attachment", position=1)
    states = [
        taste.states.create(code=code, name=code, position=n)
        for n, code in enumerate(("free", "notched"))
    ]
    page = seen(make_find(ann, state_ids=tuple(state.pk for state in states)), ann)
    assert "gill attachment" in page
    assert "free, notched" in page


# --- photographs ----------------------------------------------------------------------------------


def test_photographs_are_large_open_larger_and_say_what_they_show(
    ann: Account, milkcap: Taxon
) -> None:
    find = make_find(ann, taxon=milkcap)
    photo = photograph_add(find.pk, picture(), by=viewer(ann), view="section", is_drawn=True)
    page = seen(find, ann)
    assert reverse("finds:rendition", args=[photo.uuid, 1024]) in page
    assert f'href="{reverse("finds:rendition", args=[photo.uuid, 2048])}"' in page
    assert 'alt="cut section"' in page
    assert "drawing" in page
    assert "originals/" not in page


def test_photographs_of_a_find_one_may_not_see_are_not_found(ann: Account, milkcap: Taxon) -> None:
    find = make_find(ann, taxon=milkcap)
    photo = photograph_add(find.pk, picture(), by=viewer(ann))
    address = reverse("finds:rendition", args=[photo.uuid, 320])
    assert Client().get(address).status_code == 404
    assert client_of(make_account()).get(address).status_code == 200
    find_withdraw(find.pk, by=viewer(ann))
    assert client_of(make_account()).get(address).status_code == 404
    assert client_of(ann).get(address).status_code == 200


# --- sentences ------------------------------------------------------------------------------------


def test_the_history_is_told_in_sentences(ann: Account, bea: Account, milkcap: Taxon) -> None:
    find = make_find(ann, taxon=milkcap)
    act_on(find, bea)
    page = seen(find, ann)
    history = page[page.index('class="history"') :]
    told = [
        "Ann Hartley posted the find",
        "Ann Hartley laid a slip",
        "Bea Lowther confirmed a slip",
        "With that the find&#x27;s standing changed",
    ]
    assert [history.index(words) for words in told] == sorted(map(history.index, told))


def test_every_verb_that_rooms_write_of_a_find_has_a_sentence() -> None:
    from pathlib import Path

    import society

    verbs: set[str] = set()
    for room in ("finds", "review"):
        for file in (Path(society.__file__).parent / room).rglob("*.py"):
            if "templatetags" in file.parts:  # the sentences themselves prove nothing
                continue
            verbs |= set(re.findall(r'"(find\.[a-z_]+)"', file.read_text()))
    kinds = {"confirm", "dispute", "ask", "leave_open", "reopen", "withdraw"}
    verbs |= {f"find.{kind}" for kind in kinds}
    assert verbs == set(CHANGES)
    assert kinds <= set(NOTICES)


def test_every_standing_and_every_wanted_piece_has_words() -> None:
    assert {str(code) for code in STANDINGS} == set(CODES)
    for code in Wanted.values:
        assert wanted_words(code)
    assert all(str(words) for words in REASONS.values())


def test_a_dispute_says_why_it_stands_so(ann: Account, bea: Account, milkcap: Taxon) -> None:
    find = make_find(ann, taxon=milkcap)
    act_on(find, bea, kind="dispute", reason="The milk does not fit.")
    page = seen(find, ann)
    assert "A referee objects to the name." in page
    assert "The milk does not fit." in page


# --- cost -----------------------------------------------------------------------------------------


def filled(ann: Account, bea: Account, milkcap: Taxon, times: int) -> Find:
    hosts = [make_host(f"Tilia inventa{times}{n}") for n in range(times)]
    find = make_find(
        ann,
        taxon=milkcap,
        site=make_site(),
        organisms=tuple(OrganismEntry("lime", host.pk) for host in hosts),
        readings=tuple(ReadingEntry("milk", minutes(n), "orange") for n in range(times)),
        eating_notes=tuple(EatingNoteEntry("x", f"{PRAISE} {n}") for n in range(times)),
        plain={"in_hand": "fresh"},
    )
    for _ in range(times):
        slip_lay(find.pk, SlipEntry("L. d.", milkcap.pk, remarks="So."), by=viewer(make_account()))
        comment_add(find.pk, text="Yes.", by=viewer(make_account()))
        act_on(find, bea, kind="ask", wanted="section")
        photograph_add(find.pk, picture(), by=viewer(ann), view="cap")
    return find


def test_the_page_costs_the_same_whatever_the_find_holds(
    ann: Account, bea: Account, milkcap: Taxon, django_assert_max_num_queries: Any
) -> None:
    small, large = (filled(ann, bea, milkcap, times) for times in (1, 8))
    for account in (bea, ann, make_account()):
        by = viewer(account)
        account_book()  # read once by every process, and anew when accounts change
        with django_assert_max_num_queries(18):
            find_page(by, large)
        client, counts = client_of(account), []
        for find in (small, large):
            client.get(find_address(find))
            with CaptureQueriesContext(connection) as queries:
                client.get(find_address(find))
            counts.append(len(queries))
        assert counts[0] == counts[1]
