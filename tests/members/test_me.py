"""A member's own page."""

import pytest
from django.test import Client

from society.core.models import Change
from society.members.models import Account, MailChoice
from tests import make


@pytest.fixture
def ann(db: None, client: Client) -> Account:
    make.make_society()
    account = make.make_account("Ann Brierley", email="ann@caldermoss.example")
    client.force_login(account)
    return account


def test_a_member_changes_how_they_are_named(ann: Account, client: Client) -> None:
    post = {"which": "person", "name": "Ann Brierley-Fell", "initials": "ABF"}
    for _ in range(2):
        assert client.post("/me/", post).headers["Location"] == "/me/"
    ann.person.refresh_from_db()
    assert (ann.person.display_name, ann.person.initials) == ("Ann Brierley-Fell", "ABF")
    # The second time changed nothing, so history says nothing.
    assert Change.objects.filter(verb="person.edited").count() == 1


def test_a_member_chooses_mail(ann: Account, client: Client) -> None:
    client.post("/me/", {"which": "mail", "choice": "at_once"})
    ann.refresh_from_db()
    assert ann.mail_choice == MailChoice.AT_ONCE
    answer = client.post("/me/", {"which": "mail", "choice": "hourly"})
    assert list(answer.context["forms"]["mail"].errors) == ["choice"]


def test_another_mail_address_needs_the_password(ann: Account, client: Client) -> None:
    post = {"which": "address", "email": "Brierley@Caldermoss.example", "password": "wrong words"}
    answer = client.post("/me/", post)
    assert "That is not your password." in answer.text
    client.post("/me/", {**post, "password": make.PASSWORD})
    ann.refresh_from_db()
    assert ann.email == "brierley@caldermoss.example"
    signed = Client().post("/signin/", {"username": ann.email, "password": make.PASSWORD})
    assert signed.status_code == 302


def test_an_address_in_use_is_refused_beside_its_field(ann: Account, client: Client) -> None:
    make.make_account(email="ben@caldermoss.example")
    answer = client.post(
        "/me/",
        {"which": "address", "email": "ben@caldermoss.example", "password": make.PASSWORD},
    )
    assert list(answer.context["forms"]["address"].errors) == ["email"]
    ann.refresh_from_db()
    assert ann.email == "ann@caldermoss.example"


@pytest.mark.parametrize(
    ("field", "bad"),
    [
        ("name", ""),
        ("name", "x" * 10_000),
        ("name", "<b>Ann</b>"),
        ("name", "Ann\x00"),
        ("initials", "ABCDEFGHI"),
        ("initials", "A<B"),
    ],
    ids=make.short,
)
def test_bad_names_are_told_beside_their_field_and_kept_in_it(
    ann: Account, client: Client, field: str, bad: str
) -> None:
    post = {"which": "person", "name": "Ann", "initials": "A", field: bad}
    answer = client.post("/me/", post)
    assert answer.status_code == 200
    assert list(answer.context["forms"]["person"].errors) == [field]
    assert answer.context["forms"]["person"].data[field] == bad
    assert "<b>Ann</b>" not in answer.text
    ann.person.refresh_from_db()
    assert ann.person.display_name == "Ann Brierley"


def test_an_unknown_form_changes_nothing(ann: Account, client: Client) -> None:
    answer = client.post("/me/", {"which": "roles", "is_keeper": "on"})
    assert answer.status_code == 200
    ann.refresh_from_db()
    assert not ann.is_keeper


def test_the_page_costs_the_same_however_many_finds_there_are(
    ann: Account, client: Client, django_assert_max_num_queries: object
) -> None:
    site = make.make_site()
    for _ in range(5):
        make.make_find(ann, site=site)
    with django_assert_max_num_queries(9):  # type: ignore[operator]
        client.get("/me/")
