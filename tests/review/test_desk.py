"""The referees' desk: what waits there, in which order, and going through it."""

import datetime as dt
import re
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from society.finds.models import Find
from society.finds.services import find_withdraw
from society.members.models import Account
from society.names.models import Taxon
from society.review.models import DeskEntry, Verdict
from society.review.queries import DeskFilter, desk_next, desk_position, desk_queue
from society.review.services import comment_add, verdict_lay, verdict_withdraw
from tests.make import (
    make_account,
    make_find,
    make_referee,
    make_scope,
    make_site,
    make_taxon,
    viewer,
)
from tests.review.desk import act, client_of, find_address, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def webcap() -> Taxon:
    return make_taxon("Cortinarius sanguineus", family="Cortinariaceae", order="Agaricales")


def days_ago(find: Find, days: int) -> Find:
    since = timezone.now() - dt.timedelta(days=days)
    DeskEntry.objects.filter(find=find).update(since=since)
    return find


def desk(account: Account, query: str = "") -> str:
    response = client_of(account).get(reverse("review:desk") + query)
    assert response.status_code == 200
    return text_of(response)


def order_on(page: str) -> list[str]:
    return re.findall(r'id="find-(\d+-\d+)"', page)


def numbers(*finds: Find) -> list[str]:
    return [f"{find.year}-{find.number}" for find in finds]


def test_the_desk_is_for_referees(milkcap: Taxon) -> None:
    assert client_of(make_account()).get(reverse("review:desk")).status_code == 403
    assert client_of(make_account(is_keeper=True)).get(reverse("review:desk")).status_code == 403


def test_what_lies_in_ones_scope_comes_first_and_the_rest_under_its_own_head(
    bea: Account, milkcap: Taxon, webcap: Taxon
) -> None:
    outside = days_ago(make_find(taxon=webcap), 30)
    young, old = days_ago(make_find(taxon=milkcap), 2), days_ago(make_find(taxon=milkcap), 9)
    page = desk(bea)
    assert order_on(page) == numbers(old, young, outside)
    assert page.index("In your scope") < page.index("Outside your scope")
    assert "3 finds wait for a referee." in page
    assert "waiting 9 days" in page
    assert order_on(desk(bea, "?whose=mine")) == numbers(old, young)


def test_for_who_referees_everything_nothing_is_outside(milkcap: Taxon, webcap: Taxon) -> None:
    make_find(taxon=webcap)
    make_find(name="Nomen nullum")
    page = desk(make_referee())
    assert len(order_on(page)) == 2
    assert "Outside your scope" not in page


def test_ones_own_finds_and_withdrawn_ones_do_not_wait_on_ones_desk(
    bea: Account, milkcap: Taxon, webcap: Taxon
) -> None:
    make_find(bea, taxon=webcap)
    withdrawn = make_find(taxon=milkcap)
    find_withdraw(withdrawn.pk, by=viewer(withdrawn.finder.account))
    page = desk(bea)
    assert order_on(page) == []
    assert "Every find is settled, or waits for its finder." in page


def test_the_queue_is_filtered_by_genus_site_finder_and_age(
    bea: Account, milkcap: Taxon, webcap: Taxon
) -> None:
    ann, wood = make_account("Ann Hartley"), make_site("Hagg Wood")
    one = days_ago(make_find(ann, taxon=milkcap, site=wood), 20)
    two = days_ago(make_find(taxon=webcap, site=wood), 3)
    make_find(taxon=milkcap)
    assert order_on(desk(bea, "?genus=cortinarius")) == numbers(two)
    assert order_on(desk(bea, f"?site={wood.pk}")) == numbers(one, two)
    assert order_on(desk(bea, f"?finder={ann.person_id}")) == numbers(one)
    assert order_on(desk(bea, "?days=10")) == numbers(one)
    assert order_on(desk(bea, f"?site={wood.pk}&genus=Lactarius&days=1")) == numbers(one)


def test_a_filter_that_fits_nothing_says_so_and_shows_the_way_back(
    bea: Account, milkcap: Taxon
) -> None:
    make_find(taxon=milkcap)
    page = desk(bea, "?genus=Xerocomus")
    assert "No find that waits fits what you chose." in page
    assert "Show all that waits" in page
    assert 'value="Xerocomus"' in page


@pytest.mark.parametrize(
    "query",
    ["?days=-1", "?days=ever", "?site=0", "?site=99999999999", "?finder=x", "?page=nowhere",
     "?order=worst", "?whose=&genus=%00", "?genus=" + "x" * 500],
)  # fmt: skip
def test_a_filter_that_cannot_be_read_never_breaks_the_desk(
    bea: Account, milkcap: Taxon, query: str
) -> None:
    make_find(taxon=milkcap)
    desk(bea, query)


def test_it_is_ordered_by_age_or_by_name(bea: Account) -> None:
    rufus = days_ago(make_find(taxon=make_taxon("Lactarius rufus")), 3)
    blennius = days_ago(make_find(taxon=make_taxon("Lactarius blennius")), 2)
    tabidus = days_ago(make_find(taxon=make_taxon("Lactarius tabidus")), 1)
    assert order_on(desk(bea)) == numbers(rufus, blennius, tabidus)
    assert order_on(desk(bea, "?order=newest")) == numbers(tabidus, blennius, rufus)
    assert order_on(desk(bea, "?order=name")) == numbers(blennius, rufus, tabidus)


# --- going through it -----------------------------------------------------------------------------


@pytest.fixture
def five(milkcap: Taxon) -> list[Find]:
    return [days_ago(make_find(taxon=milkcap), 10 - n) for n in range(5)]


def test_a_find_opened_from_the_desk_knows_its_place_and_its_neighbours(
    bea: Account, five: list[Find]
) -> None:
    page = text_of(client_of(bea).get(find_address(five[2]) + "?desk=1&genus=Lactarius"))
    assert "3 of 5" in page
    query = "genus=Lactarius&amp;desk=1"
    assert 'rel="prev" data-key="k"' in page
    assert f'href="{find_address(five[1])}?{query}"' in page
    assert f'href="{find_address(five[3])}?{query}"' in page
    back = f"{reverse('review:desk')}?{query}&amp;page=1#find-{five[2].year}-{five[2].number}"
    assert f'href="{back}"' in page


def test_acting_leads_to_the_next_find_and_not_back_to_the_first(
    bea: Account, five: list[Find]
) -> None:
    client = client_of(bea)
    answer = act(client, five[2], query="?desk=1&genus=Lactarius")
    laid = Verdict.objects.get()
    assert answer.status_code == 302
    assert answer.url == f"{find_address(five[3])}?genus=Lactarius&desk=1&did={laid.uuid}"
    page = text_of(client.get(answer.url))
    assert f"{five[2].spoken_number}: Confirmed as far as species." in page
    undo = reverse("review:undo", args=[laid.uuid])
    assert f'action="{undo}?genus=Lactarius&amp;desk=1"' in page
    assert "3 of 4" in page
    back = client.post(f"{undo}?genus=Lactarius&desk=1")
    assert back.url == f"{find_address(five[2])}?genus=Lactarius&desk=1"
    assert Find.objects.get(pk=five[2].pk).standing == "unconfirmed"


def test_an_act_withdrawn_puts_the_find_back_in_its_place(bea: Account, five: list[Find]) -> None:
    by = viewer(bea)
    for kind in ("confirm", "ask", "leave_open"):
        slip = five[1].slips.get()
        laid = verdict_lay(five[1].pk, by=by, kind=kind, slip_id=slip.pk, wanted="section")
        assert order_on(desk(bea)) == numbers(five[0], *five[2:])
        verdict_withdraw(laid.pk, by=by)
        assert order_on(desk(bea)) == numbers(*five)


def test_an_answered_find_comes_after_those_that_wait_longer(
    bea: Account, five: list[Find]
) -> None:
    slip = five[1].slips.get()
    verdict_lay(five[1].pk, by=viewer(bea), kind="ask", slip_id=slip.pk, wanted="section")
    comment_add(five[1].pk, text="It rotted.", by=viewer(five[1].finder.account))
    assert order_on(desk(bea)) == numbers(five[0], *five[2:], five[1])


def test_after_the_last_find_one_is_back_at_the_desk_and_can_still_undo(
    bea: Account, five: list[Find]
) -> None:
    client = client_of(bea)
    answer = act(client, five[4], query="?desk=1")
    assert answer.url.startswith(f"{reverse('review:desk')}?desk=1&did=")
    page = text_of(client.get(answer.url))
    assert "Withdraw this act" in page
    assert order_on(page) == numbers(*five[:4])


def test_nobody_is_offered_to_undo_anothers_act(bea: Account, five: list[Find]) -> None:
    answer = act(client_of(bea), five[0], query="?desk=1")
    page = text_of(client_of(make_referee()).get(answer.url))
    assert f"{five[0].spoken_number}: Confirmed" not in page


@pytest.mark.parametrize("did", ["nonsense", "00000000-0000-0000-0000-000000000000", ""])
def test_an_act_that_never_was_is_passed_over(bea: Account, five: list[Find], did: str) -> None:
    page = client_of(bea).get(find_address(five[0]) + f"?desk=1&did={did}")
    assert page.status_code == 200
    assert "Withdraw this act" not in text_of(page)


def test_off_the_desk_an_act_leads_back_to_the_find(bea: Account, five: list[Find]) -> None:
    assert act(client_of(bea), five[0]).url == find_address(five[0])


def test_a_member_who_opens_a_desk_address_sees_no_queue(five: list[Find]) -> None:
    page = text_of(client_of(make_account()).get(find_address(five[0]) + "?desk=1"))
    assert "The desk" not in page
    assert "of 5" not in page


def test_neighbours_agree_with_the_queue_in_every_order_and_filter(
    milkcap: Taxon, webcap: Taxon
) -> None:
    bea = make_referee("Bea", "genus", "Lactarius")
    make_scope(bea.person, "family", "Strophariaceae")
    for n, taxon in enumerate([milkcap, webcap, None, milkcap, webcap, milkcap]):
        find = make_find(taxon=taxon) if taxon else make_find(name="Nomen nullum")
        days_ago(find, n % 2)
    same = timezone.now()
    DeskEntry.objects.filter(find__in=[find.pk for find in Find.objects.all()[:4]]).update(
        since=same
    )
    by = viewer(bea)
    for order in ("oldest", "newest", "name", "nonsense"):
        for whose in ("", "mine"):
            wanted = DeskFilter(whose=whose, order=order)
            finds = [entry.find for entry in desk_queue(by, wanted)]
            for at, find in enumerate(finds):
                position = desk_position(by, wanted, find.pk)
                assert position.before == (finds[at - 1] if at else None)
                after = finds[at + 1] if at + 1 < len(finds) else None
                assert position.after == after == desk_next(by, wanted, find.pk)
                assert (position.at, position.waiting) == (at + 1, len(finds))


def test_a_find_that_has_left_the_queue_is_followed_by_its_first(
    bea: Account, five: list[Find]
) -> None:
    client = client_of(bea)
    act(client, five[2])
    page = text_of(client.get(find_address(five[2]) + "?desk=1"))
    assert "not in this queue; 4 finds wait" in page
    assert f'href="{find_address(five[0])}?desk=1"' in page


# --- whose place ----------------------------------------------------------------------------------


def test_the_site_of_a_find_made_secret_is_not_told_to_a_referee_outside_its_scope(
    bea: Account, webcap: Taxon
) -> None:
    wood = make_site("Hidden Dingle", extent_m=300)
    secret = make_find(taxon=webcap, site=wood, made_secret=1)
    page = desk(bea)
    assert order_on(page) == numbers(secret)
    assert "Hidden Dingle" not in re.sub(r"<form.*?</form>", "", page)
    assert order_on(desk(bea, f"?site={wood.pk}")) == []
    opened = text_of(client_of(bea).get(find_address(secret) + "?desk=1"))
    assert "Hidden Dingle" not in opened
    assert "55.20" not in opened
    inside = make_referee("Cap Wright", "family", "Cortinariaceae")
    assert order_on(desk(inside, f"?site={wood.pk}")) == numbers(secret)
    assert "Hidden Dingle" in text_of(client_of(inside).get(find_address(secret)))


# --- cost -----------------------------------------------------------------------------------------


def counted(account: Account, address: str) -> int:
    client = client_of(account)
    client.get(address)
    with CaptureQueriesContext(connection) as queries:
        assert client.get(address).status_code == 200
    return len(queries)


@pytest.mark.parametrize("query", ["", "?whose=mine&genus=Lactarius&order=name"])
def test_the_desk_costs_the_same_for_five_finds_as_for_fifty(
    bea: Account, milkcap: Taxon, query: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("society.review.views.finds.DESK_ROWS", 60)
    wood = make_site()
    for _ in range(5):
        make_find(taxon=milkcap, site=wood)
    few = counted(bea, reverse("review:desk") + query)
    for _ in range(45):
        make_find(taxon=milkcap, site=wood)
    assert counted(bea, reverse("review:desk") + query) == few


def test_a_find_in_a_long_queue_costs_what_it_costs_in_a_short_one(
    bea: Account, milkcap: Taxon
) -> None:
    finds = [make_find(taxon=milkcap) for _ in range(5)]
    address = find_address(finds[2]) + "?desk=1"
    few = counted(bea, address)
    for _ in range(45):
        make_find(taxon=milkcap)
    assert counted(bea, address) == few


def test_the_queries_of_the_queue_are_those_stated(
    bea: Account, five: list[Find], django_assert_num_queries: Any
) -> None:
    by = viewer(bea)
    with django_assert_num_queries(5):
        desk_position(by, DeskFilter(), five[2].pk)
    with django_assert_num_queries(2):
        desk_next(by, DeskFilter(), five[2].pk)
