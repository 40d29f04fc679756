"""Home, the search box and a member's own logbook."""

import datetime as dt
import uuid

import pytest
from django.test import Client
from django.utils import timezone

from society.finds.models import FindDraft, Standing
from society.finds.services import find_withdraw
from society.lists.queries import week_found
from society.review.models import DeskEntry, Waits
from society.review.services import verdict_lay
from tests.lists.pages import find_address, text
from tests.lists.standing import find_standing
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

DAY = dt.date(2026, 10, 4)


def test_a_guest_reads_what_the_society_is_and_its_latest_settled_finds(client: Client) -> None:
    make_society(welcome="We walk the woods. The chanterelles here are good to eat.")
    settled = find_standing(taxon=make_taxon("Russula nobilis"))
    waiting = find_standing(Standing.UNCONFIRMED, taxon=make_taxon("Lactarius tabidus"))
    page = text(client, "/")
    assert "We walk the woods" in page
    assert "Never eat on one feature" in page, "the welcome goes through the gate too"
    assert find_address(settled) in page
    assert find_address(waiting) not in page
    assert "How places are given" in page


def test_a_members_week_is_a_table_by_site() -> None:
    hagg = make_site("Hagg Wood")
    ann = make_account()
    find_standing(account=ann, taxon=make_taxon("Russula nobilis"), site=hagg, date=DAY)
    find_standing(Standing.UNCONFIRMED, ann, name="Agaricus ignotus", site=hagg, date=DAY)
    find_standing(account=ann, taxon=make_taxon("Lactarius tabidus"), date=DAY)
    week = week_found(viewer(ann), DAY + dt.timedelta(days=6))
    assert week is not None
    assert week.is_this_week
    assert [(row.name, row.finds, row.unconfirmed) for row in week.rows] == [
        ("Hagg Wood", 2, 1),
        ("", 1, 0),
    ]
    assert [name.stands for name in week.rows[0].names_shown] == [False, True]


def test_a_week_without_finds_gives_way_to_the_latest_and_says_so(client: Client) -> None:
    ann = make_account()
    find_standing(account=ann, taxon=make_taxon("Russula nobilis"), date=dt.date(2020, 10, 4))
    week = week_found(viewer(ann), DAY)
    assert week is not None
    assert (week.is_this_week, week.last, week.finds) == (False, dt.date(2020, 10, 4), 1)
    client.force_login(ann)
    assert "This is the latest week with finds" in text(client, "/")


def test_the_week_does_not_name_the_site_of_a_secret_find() -> None:
    hagg = make_site("Hagg Wood", extent_m=900)
    rarity = make_taxon("Hericium erinaceus", sensitivity=2)
    find_standing(account=make_account("Ann"), taxon=rarity, site=hagg, date=DAY)
    week = week_found(viewer(make_account("Ben")), DAY)
    assert week is not None
    assert [(row.name, row.slug, row.finds) for row in week.rows] == [("", "", 1)], "leaked"


def test_my_finds_that_wait_for_me_say_what_for(client: Client) -> None:
    ann = make_account("Ann")
    client.force_login(ann)
    assert "Nothing of yours waits for you" in text(client, "/")
    unnamed = make_find(ann)
    disputed = find_standing(Standing.DISPUTED, ann, taxon=make_taxon("Russula nobilis"))
    theirs = make_find(make_account("Ben"))
    FindDraft.objects.create(uuid=uuid.uuid4(), owner=ann, fields={})
    for address in ("/", "/logbook/"):
        page = text(client, address)
        assert find_address(unnamed) in page
        assert "It is not named yet" in page
        assert find_address(disputed) in page
        assert "Its name is disputed" in page
        assert "/finds/new/?draft=" in page
        assert find_address(theirs) not in page.partition("wait for me")[2]


def test_evidence_asked_for_waits_for_its_finder_in_words(client: Client) -> None:
    ann, carl = make_account("Ann"), make_referee("Carl")
    find = make_find(ann, taxon=make_taxon("Russula nobilis"))
    verdict_lay(
        find.pk,
        by=viewer(carl),
        kind="ask",
        slip_id=find.slips.get().pk,
        wanted="spore_print",
        evidence_version=find.evidence_version,
    )
    assert DeskEntry.objects.get(find=find).waits == Waits.FOR_FINDER
    client.force_login(ann)
    page = text(client, "/")
    assert "A referee asks for: a spore print." in page


def test_search_finds_names_however_written_and_where_they_lead(client: Client) -> None:
    accepted = make_taxon("Lepista nuda", english="Wood Blewit")
    old = make_taxon("Clitocybe nuda", accepted=accepted)
    for words in ("clitocybe nuda", "CLITOCYBE  NUDA"):
        page = text(client, f"/search/?q={words}")
        assert f"/species/{old.pk}/" in page
        assert "leads to <i>Lepista nuda</i>" in page
    assert f"/species/{accepted.pk}/" in text(client, "/search/?q=wood+blewit")


def test_search_puts_the_keyboard_on_the_first_result(client: Client) -> None:
    make_site("Russet Wood")
    assert text(client, "/search/?q=russ").count("autofocus") == 1
    make_taxon("Russula nobilis")
    page = text(client, "/search/?q=russ")
    assert page.count("autofocus") == 1
    assert page.index("autofocus") < page.index("Russula")


def test_search_finds_by_the_societys_number_and_by_the_collectors_own(client: Client) -> None:
    ann = make_account("Ann")
    find = find_standing(account=ann, taxon=make_taxon("Russula nobilis"), collector_number="AB 12")
    hidden = find_standing(
        Standing.UNCONFIRMED, ann, name="Agaricus ignotus", collector_number="Q7"
    )
    address = find_address(find)
    for words in (find.spoken_number, str(find.number), f" {find.year} / {find.number} ", "ab 12"):
        assert address in text(client, f"/search/?q={words}"), words
    assert address not in text(client, f"/search/?q={find.year - 1}/{find.number}")
    for words in (hidden.spoken_number, "Q7", "ignotus"):
        assert find_address(hidden) not in text(client, f"/search/?q={words}")
    client.force_login(make_account("Ben"))
    for words in (hidden.spoken_number, "Q7", "ignotus"):
        assert find_address(hidden) in text(client, f"/search/?q={words}")


def test_search_finds_sites_and_trees(client: Client) -> None:
    make_site("Hagg Wood")
    beech = make_host("Fagus sylvatica", english="Beech")
    assert "/sites/hagg-wood/" in text(client, "/search/?q=HAGG")
    assert f"/species/{beech.pk}/" in text(client, "/search/?q=beech")


@pytest.mark.parametrize(
    "words", ["", "   ", "zzzz", "<script>", "%", "_", "'", "9" * 400, "x" * 10_000, "zz\x00", "²"]
)
def test_search_takes_whatever_is_typed(client: Client, words: str) -> None:
    find_standing(taxon=make_taxon("Russula nobilis"))
    answer = client.get("/search/", {"q": words})
    assert answer.status_code == 200
    assert "Russula" not in answer.content.decode()
    assert "<script>alert" not in answer.content.decode()


def test_the_logbook_is_a_members_own(client: Client) -> None:
    assert client.get("/logbook/").status_code == 302
    ann, ben = make_account("Ann"), make_account("Ben")
    own = find_standing(account=ann, taxon=make_taxon("Russula nobilis"), date=DAY)
    with_me = find_standing(
        account=ben, taxon=make_taxon("Mycena pura"), date=DAY, companion_ids=(ann.person.pk,)
    )
    other = find_standing(account=ben, taxon=make_taxon("Lactarius tabidus"), date=DAY)
    client.force_login(ann)
    page = text(client, "/logbook/")
    assert find_address(own) in page
    assert "found by Ben" in page
    assert find_address(with_me) in page
    assert find_address(other) not in page
    assert "/logbook/records.csv" in page
    names = text(client, "/logbook/names/")
    assert "Russula nobilis" in names
    assert "Mycena pura" not in names
    assert "Lactarius" not in names


def test_the_logbook_gathers_finds_by_day_and_place(client: Client) -> None:
    ann = make_account("Ann")
    hagg, moss = make_site("Hagg Wood"), make_site("Black Moss")
    for site, date in ((hagg, DAY), (moss, DAY), (hagg, DAY), (hagg, dt.date(2026, 10, 5))):
        find_standing(account=ann, taxon=make_taxon(), site=site, date=date)
    client.force_login(ann)
    assert text(client, "/logbook/").count('class="day"') == 3


def test_a_withdrawn_find_is_kept_apart_in_its_finders_logbook(client: Client) -> None:
    ann = make_account("Ann")
    find = find_standing(account=ann, taxon=make_taxon("Russula nobilis"))
    find_withdraw(find.pk, by=viewer(ann))
    client.force_login(ann)
    page = text(client, "/logbook/")
    assert "1 find you withdrew" in page
    assert 'class="day"' not in page


def test_names_in_my_book_stand_by_the_alphabet_with_their_sites(client: Client) -> None:
    ann = make_account("Ann")
    hagg = make_site("Hagg Wood")
    find_standing(account=ann, taxon=make_taxon("Russula nobilis"), site=hagg)
    find_standing(Standing.UNCONFIRMED, ann, taxon=make_taxon("Amanita fulva"), site=hagg)
    find_standing(account=ann, name="Mycena ignota")
    client.force_login(ann)
    page = text(client, "/logbook/names/")
    places = [page.index(name) for name in ("Amanita fulva", "Mycena ignota", "Russula nobilis")]
    assert places == sorted(places)
    assert "nothing of it stands yet" in page
    assert "/sites/hagg-wood/" in page
    assert "1 without a site" in page


def test_today_is_the_societys_own_day() -> None:
    ann = make_account("Ann")
    find_standing(account=ann, taxon=make_taxon(), date=timezone.localdate())
    week = week_found(viewer(ann), timezone.localdate())
    assert week is not None
    assert week.is_this_week
