"""Finds as CSV: what each reader may have of their places, what is written about them."""

import datetime as dt
import re
from decimal import Decimal
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from society.exchange.queries import finds as finds_module
from society.finds.services import (
    EatingNoteEntry,
    OrganismEntry,
    PlaceEntry,
    ReadingEntry,
    SlipEntry,
)
from society.members.models import Account
from society.places.models import Site
from society.review.services import verdict_lay
from society.safety.gate import notice_full, notice_line
from tests.exchange.files import csv_of
from tests.make import (
    make_account,
    make_find,
    make_host,
    make_referee,
    make_site,
    make_society,
    make_taxon,
    minutes,
    viewer,
)

pytestmark = pytest.mark.django_db

FINDS, RECORDS = "/finds.csv", "/logbook/records.csv"
EXACT = ("55.2031415", "-2.6027182")


@pytest.fixture
def referee() -> Account:
    make_society()
    return make_referee("Maud Referee")


@pytest.fixture
def member(referee: Account) -> Account:
    return make_account("Ann Member")


@pytest.fixture
def wood() -> Site:
    return make_site("Hagg Wood")


def confirm(find: Any, referee: Account) -> Any:
    verdict_lay(find.pk, by=viewer(referee), kind="confirm", slip_id=find.slips.latest("pk").pk)
    find.refresh_from_db()
    assert find.standing == "confirmed"
    return find


def text_of(client: Client, path: str = FINDS, **query: Any) -> str:
    answer = client.get(path, query)
    assert answer.status_code == 200
    return answer.getvalue().decode("utf-8-sig")  # type: ignore[attr-defined,no-any-return]


def test_a_find_is_told_in_full_to_its_finder(
    client: Client, member: Account, referee: Account, wood: Site
) -> None:
    taxon = make_taxon("Lactarius inventus", authorship="Fr.", english="Peat Milkcap")
    old = make_taxon("Lactarius vetus", accepted=taxon)
    birch = make_host("Betula pendula")
    find = make_find(
        member,
        site=wood,
        date=dt.date(2025, 10, 4),
        slip=SlipEntry("Lactarius vetus", old.pk, by_id=member.person_id),
        organisms=(
            OrganismEntry(
                "silver birch", birch.pk, "probable_host", "sure", Decimal("2.0"), "living"
            ),
            OrganismEntry("some moss", None, "nearby"),
        ),
        readings=(
            ReadingEntry("milk", minutes(0), "orange"),
            ReadingEntry("milk", minutes(30), looked=False),
        ),
        plain={
            "substrate": "soil",
            "soil": "acid",
            "notes": "Under bracken.",
            "habitat": "oak bank",
        },
    )
    confirm(find, referee)
    client.force_login(member)
    headings, (row,), full = csv_of(client, FINDS)
    assert headings == list(finds_module.HEADINGS)
    assert row["catalogNumber"] == f"2025/{find.number}"
    assert row["references"].endswith(f"/finds/2025/{find.number}/")
    assert (row["recordedBy"], row["eventDate"]) == ("Ann Member", "2025-10-04")
    assert row["locality"] == "Hagg Wood"
    assert (row["decimalLatitude"], row["decimalLongitude"]) == EXACT
    assert (row["coordinatePrecision"], row["coordinateUncertaintyInMeters"]) == ("", "20")
    assert (row["dataGeneralizations"], row["informationWithheld"]) == ("", "")
    assert (row["scientificName"], row["scientificNameAuthorship"]) == ("Lactarius inventus", "Fr.")
    assert (row["verbatimIdentification"], row["vernacularName"]) == (
        "Lactarius vetus",
        "Peat Milkcap",
    )
    assert row["allNamesAsWritten"].startswith("Lactarius vetus (Ann Member, ")
    assert (row["standing"], row["taxonRank"]) == ("confirmed", "species")
    assert row["hosts"] == "Betula pendula"
    assert row["associatedOrganisms"] == (
        "Betula pendula (probable host, sure of its name, living, 2 m, written as silver birch)"
        " | some moss (nearby)"
    )
    assert (row["grewOn"], row["soil"], row["habitat"]) == ("soil", "acid", "oak bank")
    assert row["timedReadings"] == (
        "milk on a fresh cut, 0 min: orange; milk on a fresh cut, 30 min: not looked"
    )
    assert row["occurrenceRemarks"] == "Under bracken."
    assert str(notice_line()) in row["notice"]
    assert str(notice_full()[-1]) in full


@pytest.mark.parametrize(
    ("sensitivity", "reader", "place", "precision"),
    [
        (None, "guest", ("55.20", "-2.60"), "0.01"),
        (None, "outsider", ("55.203", "-2.603"), "0.001"),
        (4, "guest", ("55.20", "-2.60"), "0.01"),
        (3, "guest", ("55.2", "-2.6"), "0.1"),
        (3, "outsider", ("55.20", "-2.60"), "0.01"),
        (2, "guest", ("55", "-3"), "1"),
        (2, "outsider", ("55.2", "-2.6"), "0.1"),
        (1, "guest", ("", ""), ""),
        (1, "outsider", ("55", "-3"), "1"),
        (1, "member", EXACT, ""),
        (1, "referee", EXACT, ""),
        (1, "keeper", EXACT, ""),
    ],
)
def test_a_place_is_given_as_coarsely_as_its_reader_may_have_it(
    client: Client,
    member: Account,
    referee: Account,
    sensitivity: int | None,
    reader: str,
    place: tuple[str, str],
    precision: str,
) -> None:
    taxon = make_taxon("Hericium inventum", sensitivity=sensitivity)
    # A site so small that its name would give a secret place away.
    dell = make_site("Narrow Dell", extent_m=60)
    find = make_find(member, taxon=taxon, site=dell, plain={"notes": "By the gate of Narrow Dell."})
    confirm(find, referee)
    accounts = {"member": member, "referee": referee}
    if reader == "keeper":
        accounts["keeper"] = make_account("Keeper", is_keeper=True)
    if reader == "outsider":
        accounts["outsider"] = make_account("Outsider")
    if reader != "guest":
        client.force_login(accounts[reader])
    _, (row,), _ = csv_of(client, FINDS)
    assert (row["decimalLatitude"], row["decimalLongitude"]) == place
    assert row["coordinatePrecision"] == precision
    is_exact = place == EXACT
    assert (row["dataGeneralizations"] == "") == is_exact
    assert (row["informationWithheld"] == "") == is_exact
    text = text_of(client)
    for exact in EXACT:
        assert (exact in text) == is_exact
        assert (exact[:-3] in text) == is_exact, "leaked a finer place"
    named = is_exact or sensitivity is None
    assert ("Narrow Dell" in text) == named, "leaked the site"
    if reader == "guest" and sensitivity == 1:
        assert row["locality"] == "Caldermoss"
        assert row["coordinateUncertaintyInMeters"] == ""
        assert row["dataGeneralizations"] == "only the region is given"


def test_a_kept_site_and_words_about_it_stay_with_members(
    client: Client, member: Account, referee: Account
) -> None:
    kept = make_site("Kept Dell", openness="kept")
    find = make_find(
        member,
        taxon=make_taxon("Russula inventa"),
        site=kept,
        place=PlaceEntry(552_031_415, -26_027_182, 20, "typed", "gate of Kept Dell"),
        plain={"notes": "Kept Dell, by the gate.", "habitat": "Kept Dell, oak"},
        eating_notes=(EatingNoteEntry("a walker at Kept Dell", "said it is eaten"),),
    )
    confirm(find, referee)
    assert "Kept Dell" not in text_of(client), "leaked"
    _, (row,), _ = csv_of(client, FINDS)
    assert "the name of the site" in row["informationWithheld"]
    assert row["occurrenceRemarks"] == "held back with the place"
    client.force_login(make_account("Outsider"))
    text = text_of(client)
    assert "Kept Dell, by the gate." in text
    assert "gate of Kept Dell" not in text
    client.force_login(member)
    assert "gate of Kept Dell" in text_of(client)


def test_a_find_that_is_sensitive_is_absent_from_the_file_of_its_small_site(
    client: Client, member: Account, referee: Account
) -> None:
    dell = make_site("Narrow Dell", extent_m=60)
    taxon = make_taxon("Hericium inventum", sensitivity=2)
    confirm(make_find(member, taxon=taxon, site=dell), referee)
    client.force_login(make_account("Outsider"))
    assert csv_of(client, FINDS, site=dell.slug)[1] == []
    assert len(csv_of(client, FINDS)[1]) == 1
    client.force_login(member)
    assert len(csv_of(client, FINDS, site=dell.slug)[1]) == 1


def test_guests_get_published_finds_only_and_withdrawn_ones_go_to_nobody(
    client: Client, member: Account, referee: Account, wood: Site
) -> None:
    from society.finds.services import find_withdraw

    stands = confirm(make_find(member, taxon=make_taxon("Russula certa"), site=wood), referee)
    make_find(member, taxon=make_taxon("Russula incerta"), site=wood)
    gone = confirm(make_find(member, taxon=make_taxon("Russula abdita"), site=wood), referee)
    find_withdraw(gone.pk, by=viewer(member))
    _, rows, _ = csv_of(client, FINDS)
    assert [row["catalogNumber"] for row in rows] == [stands.spoken_number]
    client.force_login(member)
    names = {row["scientificName"] for row in csv_of(client, FINDS)[1]}
    assert names == {"Russula certa", "Russula incerta"}


def test_the_file_holds_the_finds_of_the_page_in_its_order(
    client: Client, member: Account, referee: Account, wood: Site
) -> None:
    client.force_login(member)
    taxon = make_taxon("Russula prima")
    for day in (3, 9, 9, 4):
        make_find(member, taxon=taxon, site=wood, date=dt.date(2025, 10, day))
    make_find(member, name="Some Brown Thing", site=wood)
    for query in ({}, {"taxon": taxon.pk}, {"written": "some brown thing"}, {"season": 2025}):
        page = client.get("/lists/finds/", query)
        shown = [line.find.spoken_number for line in page.context["lines"]]
        assert shown
        _, rows, _ = csv_of(client, FINDS, **query)
        assert [row["catalogNumber"] for row in rows] == shown
    assert client.get(FINDS, {"taxon": "999999"}).status_code == 404
    assert client.get(FINDS, {"taxon": "9" * 40}).status_code == 404


def test_what_speaks_of_eating_carries_its_notice_in_the_same_cell(
    client: Client, member: Account, wood: Site
) -> None:
    client.force_login(member)
    make_find(
        member,
        taxon=make_taxon("Russula inventa", danger="serious"),
        site=wood,
        plain={"notes": "We fried them in butter, delicious.", "habitat": "good to eat, they said"},
        eating_notes=(EatingNoteEntry("a neighbour", "had it twice", "by word of mouth"),),
    )
    _, (row,), _ = csv_of(client, FINDS)
    line = str(notice_line())
    assert row["occurrenceRemarks"].startswith("We fried them in butter, delicious. [")
    assert line in row["occurrenceRemarks"]
    assert line in row["habitat"]
    assert row["onEating"].startswith("a neighbour, by word of mouth: had it twice [")
    assert line in row["onEating"]
    assert row["danger"] == "seriously poisonous"
    assert row["notice"].startswith("Seriously poisonous.")


def test_no_text_is_run_as_a_formula_and_every_line_break_stays_in_its_cell(
    client: Client, member: Account, wood: Site
) -> None:
    client.force_login(member)
    make_find(
        member,
        name="=1+1",
        site=wood,
        collector_number="@7",
        plain={"notes": '-2+3\r\nsecond, "quoted"', "habitat": "+oak", "spore_print": "=cream"},
    )
    _, (row,), _ = csv_of(client, FINDS)
    assert row["verbatimIdentification"] == "'=1+1"
    assert (row["recordNumber"], row["habitat"]) == ("'@7", "'+oak")
    assert row["sporePrint"] == "'=cream"
    assert re.fullmatch('\'-2\\+3\r?\nsecond, "quoted"', row["occurrenceRemarks"])
    assert row["decimalLongitude"] == EXACT[1], "a number stays one"


def test_my_records_are_everything_i_found_or_was_with(
    client: Client, member: Account, referee: Account, wood: Site
) -> None:
    secret = make_taxon("Hericium inventum", sensitivity=1)
    mine = make_find(member, taxon=secret, site=wood)
    unnamed = make_find(member, name="", site=None)
    other = make_account("Other")
    shared = make_find(other, taxon=secret, companion_ids=(member.person_id,))
    theirs = make_find(other, taxon=secret)
    assert client.get(RECORDS)["Location"].startswith("/signin/")
    client.force_login(member)
    _, rows, full = csv_of(client, RECORDS)
    held = {row["catalogNumber"]: row for row in rows}
    assert set(held) == {find.spoken_number for find in (mine, unnamed, shared)}
    assert theirs.spoken_number not in held
    assert {(row["decimalLatitude"], row["decimalLongitude"]) for row in rows} == {EXACT}
    assert held[unnamed.spoken_number]["locality"] == "by the stream"
    assert held[shared.spoken_number]["companions"] == "Ann Member"
    assert full
    name = "caldermoss-fungus-group-ann-member-records.csv"
    assert name in client.get(RECORDS)["Content-Disposition"]


def test_a_long_file_is_read_a_part_at_a_time_and_holds_every_find_once(
    client: Client, member: Account, wood: Site, monkeypatch: pytest.MonkeyPatch
) -> None:
    client.force_login(member)
    finds = [
        make_find(
            member, taxon=None, name="Some Brown Thing", site=wood, date=dt.date(2025, 10, day)
        )
        for day in (1, 2, 2, 2, 2, 2, 3, 3)
    ]
    whole = [row["catalogNumber"] for row in csv_of(client, RECORDS)[1]]
    assert sorted(whole) == sorted(find.spoken_number for find in finds)
    for size in (1, 2, 3, 4, 8, 9):
        monkeypatch.setattr(finds_module, "FINDS_IN_ONE_READ", size)
        assert [row["catalogNumber"] for row in csv_of(client, RECORDS)[1]] == whole
    # Nothing is read before it is asked for: a file of any length starts at once.
    monkeypatch.setattr(finds_module, "FINDS_IN_ONE_READ", 2)
    society = make_society()
    table = finds_module.own_records_table(viewer(member), society)
    with CaptureQueriesContext(connection) as held:
        next(table.rows)
    first = len(held)
    with CaptureQueriesContext(connection) as held:
        list(table.rows)
    assert first <= 12
    assert first < len(held)


def test_five_finds_cost_the_queries_of_fifty(client: Client, member: Account, wood: Site) -> None:
    client.force_login(make_account("Outsider"))
    taxon, birch = make_taxon("Russula prima"), make_host("Betula pendula")
    counts = []
    for more in (5, 45):
        for _ in range(more):
            make_find(
                member,
                taxon=taxon,
                site=wood,
                organisms=(OrganismEntry("birch", birch.pk, "host"),),
                readings=(ReadingEntry("milk", minutes(1), "white"),),
            )
        with CaptureQueriesContext(connection) as held:
            text_of(client)
        counts.append(len(held))
    assert counts[0] == counts[1]
