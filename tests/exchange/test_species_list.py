"""The species list as CSV and XLSX: the same rows as its page, read back."""

import datetime as dt
import zipfile
from io import BytesIO
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from society.finds.services import OrganismEntry
from society.lists.queries import SpeciesListFilter, species_list
from society.members.models import Account
from society.names.models import LookAlike, Taxon
from society.places.models import Site
from society.review.services import verdict_lay
from society.safety.gate import notice_full, notice_line
from tests.exchange.files import csv_of, xlsx_of
from tests.make import (
    make_account,
    make_find,
    make_host,
    make_referee,
    make_site,
    make_society,
    make_taxon,
    viewer,
)

pytestmark = pytest.mark.django_db

CSV, XLSX = "/lists/species.csv", "/lists/species.xlsx"


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
    slip = find.slips.get()
    verdict_lay(find.pk, by=viewer(referee), kind="confirm", slip_id=slip.pk)
    find.refresh_from_db()
    assert find.standing == "confirmed"
    return find


@pytest.fixture
def season(member: Account, referee: Account, wood: Site) -> list[Any]:
    """Three names at one site: one confirmed twice, one deadly, one unconfirmed."""
    milkcap = make_taxon("Lactarius inventus", authorship="Fr.", english="Peat Milkcap")
    deadly = make_taxon("Galerina inventa", danger="deadly", family="Hymenogastraceae")
    LookAlike.objects.create(taxon=milkcap, other=deadly, source="from memory")
    birch = make_host("Betula pendula")
    with_birch = (OrganismEntry("birch", birch.pk, "host"),)
    days = [dt.date(2025, 9, 3), dt.date(2025, 10, 14), dt.date(2025, 10, 20)]
    return [
        confirm(
            make_find(member, taxon=milkcap, site=wood, date=days[0], organisms=with_birch), referee
        ),
        confirm(make_find(member, taxon=milkcap, site=wood, date=days[1]), referee),
        confirm(make_find(member, taxon=deadly, site=wood, date=days[2]), referee),
        make_find(member, taxon=make_taxon("Russula incerta"), site=wood, date=days[2]),
    ]


def test_the_csv_holds_the_rows_of_the_page_in_its_order(
    client: Client, member: Account, season: list[Any], wood: Site
) -> None:
    client.force_login(member)
    page = client.get("/lists/species/", {"site": wood.slug, "season": 2025})
    shown = page.context["list"].rows
    _, rows, _ = csv_of(client, CSV, site=wood.slug, season=2025)
    assert [row["species"] for row in rows] == [row.name for row in shown]
    assert len(rows) == 3
    for row, on_page in zip(rows, shown, strict=True):
        assert row["finds"] == str(on_page.finds)
        assert row["unconfirmed"] == str(on_page.unconfirmed)
        assert row["first date"] == on_page.first_date.isoformat()
        assert row["last date"] == on_page.last_date.isoformat()
        assert row["family"] == on_page.family
        assert bool(row["first for the society"]) == on_page.first_for_society
        assert bool(row["counts as a species"]) == on_page.counts_as_species
    milkcap = next(row for row in rows if row["species"] == "Lactarius inventus")
    assert milkcap["author"] == "Fr."
    assert milkcap["English name"] == "Peat Milkcap"
    assert (milkcap["finds"], milkcap["hosts seen"]) == ("2", "Betula pendula (1)")
    assert (milkcap["first date"], milkcap["last date"]) == ("2025-09-03", "2025-10-14")
    assert milkcap["dangerous look-alikes"] == "Galerina inventa (deadly)"
    assert milkcap["danger"] == "nothing held here, which says nothing about harm"
    deadly = next(row for row in rows if row["species"] == "Galerina inventa")
    assert deadly["danger"] == "deadly"


def test_the_xlsx_holds_the_same_with_real_numbers_and_days(
    client: Client, member: Account, season: list[Any], wood: Site
) -> None:
    client.force_login(member)
    headings, rows, _ = csv_of(client, CSV, site=wood.slug)
    _, sheet = xlsx_of(client, XLSX, site=wood.slug)
    assert sheet[0] == headings
    assert len(sheet) == len(rows) + 1
    for row, cells in zip(rows, sheet[1:], strict=True):
        for heading, cell in zip(headings, cells, strict=True):
            if heading in ("first date", "last date"):
                assert isinstance(cell, dt.date)
                assert cell.isoformat() == row[heading]
            elif isinstance(cell, float):
                assert int(cell) == int(row[heading])
            else:
                assert cell == row[heading]
    numbers = headings.index("finds")
    assert {type(cells[numbers]) for cells in sheet[1:]} == {float}


def test_the_notice_stands_in_each_row_and_once_in_full(
    client: Client, member: Account, season: list[Any]
) -> None:
    client.force_login(member)
    _, rows, full = csv_of(client, CSV)
    assert all(str(notice_line()) in row["notice"] for row in rows)
    deadly = next(row for row in rows if row["danger"] == "deadly")
    assert deadly["notice"].startswith("Deadly poisonous.")
    sheet, cells = xlsx_of(client, XLSX)
    words = " ".join(str(cell) for row in sheet for cell in row)
    assert [row[-1] for row in cells[1:]] == [row["notice"] for row in rows]
    for sentence in (str(notice_full()[0]), str(notice_full()[-1])):
        assert sentence in full
        assert sentence in words
    # What holds for one name only is not said of a file of many.
    assert "under this name" not in full


def test_an_empty_list_still_carries_its_notice(client: Client, referee: Account) -> None:
    _, rows, full = csv_of(client, CSV, season=2024)
    assert rows == []
    assert str(notice_full()[-1]) in full
    sheet, cells = xlsx_of(client, XLSX, season=2024)
    assert len(cells) == 1
    assert any(str(notice_full()[-1]) in str(cell) for row in sheet for cell in row)


def test_nothing_that_somebody_wrote_is_run_as_a_formula(
    client: Client, member: Account, wood: Site
) -> None:
    client.force_login(member)
    names = ['=HYPERLINK("http://evil.example","x")', "+1+1", "-2+3", "@SUM(A1)", "\u2212=7+7"]
    for name in names:
        make_find(member, name=name, site=wood)
    _, rows, _ = csv_of(client, CSV, counted="with_unconfirmed")
    assert sorted(row["species"] for row in rows) == sorted(f"'{name}" for name in names)
    _, cells = xlsx_of(client, XLSX, counted="with_unconfirmed")
    assert sorted(row[0] for row in cells[1:]) == sorted(f"'{name}" for name in names)
    content = client.get(XLSX, {"counted": "with_unconfirmed"}).getvalue()  # type: ignore[attr-defined]
    with zipfile.ZipFile(BytesIO(content)) as book:
        sheets = [book.read(name) for name in book.namelist() if "/sheet" in name]
    assert len(sheets) >= 2
    assert not any(b"<f>" in sheet or b"<f " in sheet or b"hyperlink" in sheet for sheet in sheets)


def test_the_name_of_the_file_says_society_site_and_season(
    client: Client, season: list[Any], wood: Site
) -> None:
    answer = client.get(CSV, {"site": wood.slug, "season": 2025})
    name = "caldermoss-fungus-group-hagg-wood-season-2025-species.csv"
    assert answer["Content-Disposition"] == f'attachment; filename="{name}"'
    answer = client.get(XLSX, {"site": wood.slug, "season": 2025})
    assert name.replace(".csv", ".xlsx") in answer["Content-Disposition"]
    assert answer.getvalue().startswith(b"PK")  # type: ignore[attr-defined]
    assert "no-store" in answer["Cache-Control"]


def test_an_address_that_is_not_understood_leads_to_the_page_that_says_why(
    client: Client, referee: Account
) -> None:
    for path in (CSV, XLSX):
        answer = client.get(path, {"season": "never"})
        assert answer["Location"] == "/lists/species/?season=never"
    answer = client.get("/finds.csv", {"site": "nowhere"})
    assert answer["Location"] == "/lists/finds/?site=nowhere"
    for path in (CSV, XLSX, "/finds.csv"):
        assert client.post(path).status_code == 405


def test_a_guest_gets_what_stands_and_no_kept_site(
    client: Client, member: Account, referee: Account, season: list[Any]
) -> None:
    kept = make_site("Kept Dell", openness="kept")
    hidden = make_taxon("Russula celata")
    confirm(make_find(member, taxon=hidden, site=kept), referee)
    _, rows, _ = csv_of(client, CSV)
    assert sorted(row["species"] for row in rows) == [
        "Galerina inventa",
        "Lactarius inventus",
        "Russula celata",
    ]
    assert client.get(CSV, {"site": kept.slug}).status_code == 302
    answer = client.get(CSV)
    assert b"Kept Dell" not in answer.getvalue()  # type: ignore[attr-defined]
    client.force_login(member)
    _, rows, _ = csv_of(client, CSV, site=kept.slug)
    assert [row["species"] for row in rows] == ["Russula celata"]


def test_the_file_holds_what_the_query_of_the_page_holds_for_every_reader(
    client: Client, member: Account, referee: Account, season: list[Any], wood: Site
) -> None:
    secret = make_taxon("Hericium inventum", sensitivity=1)
    confirm(make_find(member, taxon=secret, site=wood), referee)
    outsider = make_account("Outsider")
    wanted = SpeciesListFilter(site=wood)
    for account in (None, outsider, member, referee):
        if account is None:
            client.logout()
        else:
            client.force_login(account)
        _, rows, _ = csv_of(client, CSV, site=wood.slug)
        reader = viewer(account) if account else viewer_guest()
        expected = [row.name for row in species_list(reader, wanted).rows]
        assert [row["species"] for row in rows] == expected
        assert ("Hericium inventum" in expected) == (account in (member, referee))


def viewer_guest() -> Any:
    from society.members.permissions import GUEST

    return GUEST


def test_a_list_costs_the_same_queries_for_five_rows_and_for_fifty(
    client: Client, member: Account, wood: Site
) -> None:
    client.force_login(member)
    counts = []
    for upto in (5, 50):
        for number in range(Taxon.objects.count(), upto):
            make_find(member, taxon=make_taxon(f"Russula numera{number}"), site=wood)
        for path in (CSV, XLSX):
            with CaptureQueriesContext(connection) as held:
                answer = client.get(path, {"counted": "with_unconfirmed"})
                assert answer.getvalue()  # type: ignore[attr-defined]
            counts.append(len(held))
    assert counts[:2] == counts[2:]
    _, rows, _ = csv_of(client, CSV, counted="with_unconfirmed")
    assert len(rows) == 50
