"""Referees' scopes: what they cover, and keepers giving and ending them."""

from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from society.core.errors import NotPermitted, Refused
from society.core.models import Change
from society.members.models import Account
from society.names.models import Taxon
from society.review.models import DeskEntry, Scope
from society.review.permissions import in_scope, scope_covers
from society.review.queries.desk import scope_condition
from society.review.services import scope_end, scope_give
from tests.make import make_account, make_find, make_referee, make_scope, make_taxon, viewer

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper() -> Account:
    return make_account("Kay Dodd", is_keeper=True)


@pytest.mark.parametrize(
    ("rank", "name", "covers"),
    [
        ("all", "", True),
        ("order", "Russulales", True),
        ("family", "russulaceae", True),
        ("genus", "Lactarius", True),
        ("genus", "Russula", False),
        ("family", "Lactarius", False),
        ("family", "", False),
    ],
)
def test_a_scope_covers_by_order_family_or_genus(rank: str, name: str, covers: bool) -> None:
    assert scope_covers(rank, name, make_taxon("Lactarius rufus")) is covers


def test_only_the_scope_for_everything_covers_what_has_no_name() -> None:
    assert scope_covers("all", "", None)
    assert not scope_covers("genus", "Lactarius", None)


def test_a_name_without_family_lies_in_no_family() -> None:
    assert not scope_covers("family", "Russulaceae", make_taxon("Mystax dubius", family=""))


def test_the_desk_draws_the_same_line_as_the_permission() -> None:
    taxa: list[Taxon | None] = [
        make_taxon("Lactarius rufus"),
        make_taxon("Russula emetica"),
        make_taxon("Cortinarius sanguineus", family="Cortinariaceae", order="Agaricales"),
        None,
    ]
    for taxon in taxa:
        make_find(taxon=taxon) if taxon else make_find(name="Nomen nullum")
    for scopes in (
        [("genus", "Lactarius")],
        [("family", "Russulaceae")],
        [("order", "Agaricales"), ("genus", "Russula")],
        [("all", "")],
        [],
    ):
        account = make_account()
        for rank, name in scopes:
            make_scope(account.person, rank, name)
        by = viewer(account)
        entries = DeskEntry.objects.filter(scope_condition(by)).values_list(
            "current_slip__taxon_id", flat=True
        )
        permitted = [taxon.pk if taxon else None for taxon in taxa if in_scope(by, taxon)]
        assert sorted(entries, key=str) == sorted(permitted, key=str)


def test_a_keeper_gives_a_scope_in_the_checklists_own_spelling(keeper: Account) -> None:
    make_taxon("Lactarius rufus")
    person = make_account().person
    given = scope_give(person_id=person.pk, rank="genus", name=" lactarius ", by=viewer(keeper))
    assert given.name == "Lactarius"
    again = scope_give(person_id=person.pk, rank="genus", name="LACTARIUS", by=viewer(keeper))
    assert (again, Scope.objects.count()) == (given, 1)
    assert Change.objects.filter(verb="scope.given", object_id=given.pk).count() == 1


@pytest.mark.parametrize(("rank", "name"), [("genus", "Lactarus"), ("genus", ""), ("tribe", "X")])
def test_a_scope_that_would_cover_nothing_is_refused(keeper: Account, rank: str, name: str) -> None:
    make_taxon("Lactarius rufus")
    with pytest.raises(Refused) as refused:
        scope_give(person_id=keeper.person_id, rank=rank, name=name, by=viewer(keeper))
    assert refused.value.field == "name"
    assert not Scope.objects.exists()


def test_nobody_but_a_keeper_gives_or_ends_scopes() -> None:
    organiser, bea = make_account(is_organiser=True), make_referee()
    with pytest.raises(NotPermitted):
        scope_give(person_id=organiser.person_id, rank="all", name="", by=viewer(organiser))
    for by in (organiser, bea):
        with pytest.raises(NotPermitted):
            scope_end(Scope.objects.get().pk, by=viewer(by))


def test_an_ended_scope_stays_and_can_be_given_again(keeper: Account) -> None:
    bea = make_referee("Bea")
    held = Scope.objects.get()
    scope_end(held.pk, by=viewer(keeper))
    scope_end(held.pk, by=viewer(keeper))
    assert viewer(bea).scopes == ()
    scope_give(person_id=bea.person_id, rank="all", name="", by=viewer(keeper))
    assert viewer(bea).scopes == (("all", ""),)
    assert Scope.objects.count() == 2
    assert Change.objects.filter(verb="scope.ended").count() == 1


def test_the_page_of_scopes_is_for_keepers(client: Client, keeper: Account) -> None:
    address = reverse("review:scopes")
    client.force_login(make_account(is_organiser=True))
    assert client.get(address).status_code == 403
    client.force_login(keeper)
    assert "No referees yet" in client.get(address).content.decode()


def give(client: Client, **fields: Any) -> Any:
    return client.post(reverse("review:scopes"), {"which": "give", **fields})


def test_a_keeper_gives_and_ends_on_the_page(client: Client, keeper: Account) -> None:
    make_taxon("Lactarius rufus")
    person = make_account("Bea Lowther").person
    client.force_login(keeper)
    assert give(client, person=person.pk, rank="genus", name="lactarius").status_code == 302
    page = client.get(reverse("review:scopes")).content.decode()
    assert "Bea Lowther" in page
    assert "Lactarius" in page
    again = give(client, person=person.pk, rank="genus", name="lactarius")
    assert "has this scope already" in again.content.decode()
    wrong = give(client, person=person.pk, rank="genus", name="Lactarus")
    assert "Is it spelt so?" in wrong.content.decode()
    assert 'value="Lactarus"' in wrong.content.decode()
    held = Scope.objects.get()
    client.post(reverse("review:scope_end", args=[held.pk]))
    held.refresh_from_db()
    assert held.ended_at is not None


def test_ending_by_others_answers_403_and_an_unknown_scope_404(
    client: Client, keeper: Account
) -> None:
    make_referee("Bea")
    client.force_login(make_account())
    address = reverse("review:scope_end", args=[Scope.objects.get().pk])
    assert client.post(address).status_code == 403
    client.force_login(keeper)
    assert client.post(reverse("review:scope_end", args=[10**6])).status_code == 404
    assert client.get(address).status_code == 405
