"""Referees find on their desk what nobody has looked at since its species was split."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from society.finds.models import Find
from society.finds.services import find_withdraw
from society.members.models import Account
from society.names.models import Taxon
from tests.make import make_account, make_find, make_referee, make_site, make_taxon, viewer
from tests.review import acts
from tests.review.acts import fresh
from tests.review.desk import act, client_of, find_address, lay, text_of
from tests.review.splitting import days_ago, split
from tests.review.test_desk import desk, numbers, order_on

pytestmark = pytest.mark.django_db
SINCE = "?show=split"
LINK = 'href="/desk/?show=split"'


@pytest.fixture
def narrower() -> Taxon:
    return make_taxon("Lactarius novellus")


def confirmed(taxon: Taxon, referee: Account, **over: object) -> Find:
    with days_ago(400):
        find = make_find(taxon=taxon, **over)
        acts.act(find, referee)
    return find


@pytest.fixture
def find(bea: Account, milkcap: Taxon, narrower: Taxon) -> Find:
    """A find confirmed long before its species was split."""
    found = confirmed(milkcap, bea)
    split(milkcap, milkcap, narrower, ago=30)
    return found


def test_settled_finds_that_read_wide_are_listed_apart_from_what_waits(
    bea: Account, find: Find, milkcap: Taxon, narrower: Taxon
) -> None:
    waiting, settled_since = make_find(taxon=narrower), make_find(taxon=milkcap)
    acts.act(settled_since, bea)
    page = desk(bea)
    assert order_on(page) == numbers(waiting)
    assert "1 find in your scope is to be looked at again since a split" in page
    assert LINK in page
    page = desk(bea, SINCE)
    assert order_on(page) == numbers(find)
    assert "1 find reads as s.l. and was not looked at again since its species was split." in page
    assert "<i>Lactarius deterrimus</i> s.l." in page
    assert "not looked at again since the split" in page
    assert "waiting" not in page.split('<ol class="desk">')[1].split("</ol>")[0]
    assert '<option value="split" selected>' in page


def test_only_what_lies_in_ones_scope_is_listed(bea: Account, find: Find) -> None:
    webcaps = make_referee("Dora", "genus", "Cortinarius")
    assert order_on(desk(webcaps, SINCE)) == []
    assert LINK not in desk(webcaps)
    assert "Every find in your scope was looked at since its species was split." in desk(
        webcaps, SINCE
    )
    assert order_on(desk(make_referee("Eve", "family", "Russulaceae"), SINCE)) == numbers(find)
    assert order_on(desk(make_referee("Fay"), SINCE)) == numbers(find)


def test_opening_one_and_confirming_again_clears_it_and_leads_to_the_next(
    bea: Account, find: Find, milkcap: Taxon
) -> None:
    client = client_of(bea)
    with days_ago(380):
        other = make_find(taxon=milkcap)
        acts.act(other, bea)
    split(milkcap, make_taxon("Lactarius alter"), ago=20)
    assert order_on(desk(bea, SINCE)) == numbers(find, other)
    opened = text_of(client.get(find_address(find) + "?show=split&desk=1"))
    assert "1 of 2" in opened
    assert "Confirming it again, or a slip with a narrower name, ends that." in opened
    answer = act(client, find, query="?show=split&desk=1")
    assert answer.status_code == 302
    assert answer["Location"].startswith(find_address(other) + "?show=split&desk=1")
    assert not fresh(find).reads_wide
    assert order_on(desk(bea, SINCE)) == numbers(other)


def test_a_slip_with_a_narrower_name_clears_it(bea: Account, find: Find, narrower: Taxon) -> None:
    assert lay(client_of(bea), find, "Lactarius novellus").status_code == 302
    assert fresh(find).standing_taxon == narrower
    assert order_on(desk(bea, SINCE)) == []
    assert LINK not in desk(bea)


def test_a_referees_own_find_is_listed_and_a_new_slip_of_theirs_clears_it(
    bea: Account, milkcap: Taxon, narrower: Taxon
) -> None:
    with days_ago(400):
        own = make_find(bea, taxon=milkcap)
    assert own.standing == "determined_by_its_referee"
    split(milkcap, milkcap, narrower, ago=30)
    assert order_on(desk(bea, SINCE)) == numbers(own)
    lay(client_of(bea), own, "Lactarius deterrimus")
    assert (fresh(own).standing, fresh(own).reads_wide) == ("determined_by_its_referee", False)
    assert order_on(desk(bea, SINCE)) == []


def test_a_withdrawn_find_is_not_listed(bea: Account, find: Find) -> None:
    find_withdraw(find.pk, by=viewer(find.finder.account))
    assert order_on(desk(bea, SINCE)) == []


def test_the_other_filters_go_on_working(
    bea: Account, find: Find, milkcap: Taxon, narrower: Taxon
) -> None:
    wood = make_site("Hagg Wood")
    there = confirmed(milkcap, bea, site=wood)
    split(milkcap, make_taxon("Lactarius alter"), ago=20)
    assert order_on(desk(bea, f"{SINCE}&site={wood.pk}")) == numbers(there)
    finder = find.finder_id
    assert order_on(desk(bea, f"{SINCE}&finder={finder}")) == numbers(find)
    assert f'<option value="{finder}" selected>' in desk(bea, f"{SINCE}&finder={finder}")
    assert order_on(desk(bea, f"{SINCE}&genus=Russula")) == []
    assert sorted(order_on(desk(bea, f"{SINCE}&order=name"))) == sorted(numbers(find, there))


def test_what_cannot_be_read_shows_what_waits(bea: Account, find: Find) -> None:
    assert order_on(desk(bea, "?show=everything")) == []


def test_the_list_costs_the_same_for_two_finds_as_for_twenty(
    bea: Account, find: Find, milkcap: Taxon, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("society.review.views.finds.DESK_ROWS", 60)
    client, wood = client_of(bea), make_site()

    def cost() -> int:
        client.get(reverse("review:desk") + SINCE)
        with CaptureQueriesContext(connection) as queries:
            page = text_of(client.get(reverse("review:desk") + SINCE))
        assert len(order_on(page)) == Find.objects.filter(reads_wide=True).count()
        return len(queries)

    confirmed(milkcap, bea, site=wood)
    few = cost()
    with days_ago(400):
        for _ in range(18):
            make_find(taxon=milkcap, site=wood)
    assert Find.objects.filter(reads_wide=True).count() == 20
    assert cost() == few


def test_a_member_has_no_such_list(find: Find) -> None:
    assert client_of(make_account()).get(reverse("review:desk") + SINCE).status_code == 403


def test_side_by_side_the_find_bears_its_wide_name(bea: Account, find: Find) -> None:
    address = f"{reverse('review:side_by_side')}?with=find-{find.year}-{find.number}"
    assert "<i>Lactarius deterrimus</i> s.l." in text_of(client_of(bea).get(address))
