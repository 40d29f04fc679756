"""The keepers' pages: people, roles, invitations, the society's settings."""

import datetime as dt
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from society.core.errors import NotPermitted, Refused
from society.core.models import Change, FieldVersion
from society.members.models import Account, Person, Society
from society.members.permissions import GUEST
from society.members.services import (
    address_set,
    mail_choice_set,
    person_add,
    person_edit,
    roles_set,
    society_edit,
)
from tests import make

PAGES = ("/keeper/", "/keeper/people/", "/keeper/invitations/", "/keeper/society/")
SETTINGS = {
    "name": "Caldermoss Fungus Group",
    "region_name": "Caldermoss",
    "welcome": "Come along.",
    "season_start_month": "3",
    "earliest_year": "1891",
    "day_first": "on",
    "emergency_number": "",
    "poison_centre_number": "",
    "vet_number": "",
    "numbers_checked_on": "",
}


@pytest.fixture
def kay(db: None, client: Client) -> Account:
    make.make_society()
    account = make.make_account("Kay Thorpe", is_keeper=True)
    client.force_login(account)
    return account


def test_the_keepers_pages_are_open_to_keepers(kay: Account, client: Client) -> None:
    pages = (*PAGES, f"/keeper/people/{kay.person_id}/")
    assert [client.get(page).status_code for page in pages] == [200] * 5


@pytest.mark.parametrize(
    "role", [{}, {"is_organiser": True}, {"is_keeper": True, "is_active": False}]
)
def test_everybody_else_is_turned_away(kay: Account, role: dict[str, bool]) -> None:
    other = make.make_account(**role)
    client = Client()
    client.force_login(other)
    expected = 302 if "is_active" in role else 403
    for page in (*PAGES, f"/keeper/people/{kay.person_id}/"):
        assert client.get(page).status_code == expected, page
        assert client.post(page, {"which": "roles"}).status_code == expected, page
    assert client.post("/keeper/invitations/1/revoke/").status_code == expected
    assert client.get("/keeper/people/987654/").status_code == expected


def test_a_referee_keeps_nothing(kay: Account) -> None:
    client = Client()
    client.force_login(make.make_referee())
    assert [client.get(page).status_code for page in PAGES] == [403] * 4


def test_a_guest_is_asked_to_sign_in(kay: Account) -> None:
    for page in PAGES:
        assert Client().get(page).headers["Location"].startswith("/signin/")


def test_services_refuse_whoever_is_not_allowed(kay: Account) -> None:
    ann = make.viewer(make.make_account("Ann Brierley"))
    acts = (
        lambda by: person_add(name="Edith Fell", by=by),
        lambda by: person_edit(kay.person_id, name="K", initials="", by=by),
        lambda by: roles_set(kay.pk, is_organiser=True, is_keeper=True, is_active=True, by=by),
        lambda by: mail_choice_set(kay.pk, choice="none", by=by),
        lambda by: address_set(kay.pk, email="k@a.example", by=by),
        lambda by: society_edit({"name": "Ours"}, by=by),
    )
    for act in acts:
        for by in (ann, GUEST):
            with pytest.raises(NotPermitted):
                act(by)
    assert not Change.objects.exists()


def test_a_keeper_gives_and_takes_roles(kay: Account, client: Client) -> None:
    ann = make.make_account("Ann Brierley")
    path = f"/keeper/people/{ann.person_id}/"
    client.post(path, {"which": "roles", "is_active": "on", "is_organiser": "on"})
    ann.refresh_from_db()
    assert (ann.is_organiser, ann.is_keeper, ann.is_active) == (True, False, True)
    assert Change.objects.get(verb="account.roles_set").fields == ["is_organiser"]
    assert "organiser" in client.get("/keeper/people/").text


def test_switching_a_sign_in_off_ends_its_sessions(kay: Account, client: Client) -> None:
    ann = make.make_account("Ann Brierley")
    hers = Client()
    hers.force_login(ann)
    client.post(f"/keeper/people/{ann.person_id}/", {"which": "roles"})
    assert hers.get("/me/").status_code == 302
    signed = hers.post("/signin/", {"username": ann.email, "password": make.PASSWORD})
    assert signed.status_code == 200
    assert "switched off" in client.get("/keeper/people/").text


def test_a_keeper_mends_a_members_mail_address(kay: Account, client: Client) -> None:
    ann = make.make_account("Ann Brierley")
    path = f"/keeper/people/{ann.person_id}/"
    client.post(path, {"which": "address", "email": "Ann.B@a.example"})
    ann.refresh_from_db()
    assert ann.email == "ann.b@a.example"


def test_a_keeper_adds_somebody_without_a_sign_in(kay: Account, client: Client) -> None:
    post = {"which": "add", "name": " Edith Fell ", "initials": "EF"}
    assert client.post("/keeper/people/", post).headers["Location"] == "/keeper/people/"
    edith = Person.objects.get(display_name="Edith Fell")
    page = client.get(f"/keeper/people/{edith.pk}/").text
    assert "Has no sign-in." in page
    assert f"/keeper/invitations/?person={edith.pk}" in page
    chosen = client.get(f"/keeper/invitations/?person={edith.pk}").text
    assert f'<option value="{edith.pk}" selected>' in chosen


def test_pressing_add_twice_adds_one_person(kay: Account, client: Client) -> None:
    post = {"which": "add", "name": "Edith Fell", "initials": ""}
    client.post("/keeper/people/", post)
    answer = client.post("/keeper/people/", post)
    assert list(answer.context["form"].errors) == ["name"]
    assert "Add what tells the two apart." in answer.text
    assert Person.objects.filter(display_name="Edith Fell").count() == 1


@pytest.mark.parametrize(
    "bad", ["", " ", "x" * 10_000, "<b>Edith</b>", "Edith\x00", "E\r\nF"], ids=make.short
)
def test_bad_names_are_told_beside_the_field(kay: Account, client: Client, bad: str) -> None:
    answer = client.post("/keeper/people/", {"which": "add", "name": bad, "initials": ""})
    assert answer.status_code == 200
    assert list(answer.context["form"].errors) == ["name"]
    assert "<b>Edith" not in answer.text
    assert Person.objects.count() == 1


@pytest.mark.parametrize("asked", ["zoe", "ZOË", "noël", "noel"])
def test_people_are_found_without_regard_to_case_and_accents(
    kay: Account, client: Client, asked: str
) -> None:
    make.make_person("Zoë Noël")
    page = client.get("/keeper/people/", {"q": asked}).text
    assert "Zoë Noël" in page
    assert f"/keeper/people/{kay.person_id}/" not in page


@pytest.mark.parametrize(
    "asked", ["nobody at all", "?", "\x00", "%", "x" * 10_000, "<b>x</b>"], ids=make.short
)
def test_a_search_that_finds_nobody_says_so(kay: Account, client: Client, asked: str) -> None:
    page = client.get("/keeper/people/", {"q": asked})
    assert page.status_code == 200
    assert "Nobody of that name" in page.text
    assert "<b>x</b>" not in page.text


def test_those_who_left_come_last(kay: Account, client: Client) -> None:
    make.make_person("Aaron Left", left_at=timezone.now())
    make.make_person("zelda Stays")
    listed = [p.display_name for p in client.get("/keeper/people/").context["page_obj"]]
    assert listed == ["Kay Thorpe", "zelda Stays", "Aaron Left"]


@pytest.mark.parametrize("page", ["/keeper/people/", "/keeper/invitations/"])
def test_lists_cost_the_same_for_three_rows_and_for_thirty(
    kay: Account, client: Client, page: str
) -> None:
    def add(count: int) -> None:
        for _ in range(count):
            make.make_account(is_organiser=True)
            client.post("/keeper/invitations/", {"which": "make", "note": "somebody"})

    def cost() -> int:
        with CaptureQueriesContext(connection) as seen:
            client.get(page)
        return len(seen)

    add(3)
    few = cost()
    add(27)
    assert cost() == few


def test_the_societys_settings_are_kept_with_what_stood_before(
    kay: Account, client: Client
) -> None:
    assert client.post("/keeper/society/", SETTINGS).headers["Location"] == "/keeper/society/"
    society = Society.objects.get()
    assert society.season_start_month == 3
    assert society.earliest_year == 1891
    assert society.welcome.raw == "Come along."
    change = Change.objects.get(verb="society.edited")
    assert change.fields == ["earliest_year", "season_start_month", "welcome"]
    before = dict(FieldVersion.objects.values_list("field", "prior"))
    assert before == {"earliest_year": "1950", "season_start_month": "1", "welcome": ""}


def test_keeping_settings_twice_writes_one_line_of_history(kay: Account, client: Client) -> None:
    client.post("/keeper/society/", SETTINGS)
    client.post("/keeper/society/", SETTINGS)
    assert Change.objects.filter(verb="society.edited").count() == 1


def test_the_welcome_is_offered_as_it_was_written(kay: Account, client: Client) -> None:
    client.post("/keeper/society/", {**SETTINGS, "welcome": "Come <along> & look."})
    page = client.get("/keeper/society/").text
    assert "Come &lt;along&gt; &amp; look." in page


def test_numbers_have_a_day_on_which_they_were_checked(kay: Account, client: Client) -> None:
    post = {**SETTINGS, "emergency_number": "000 test", "numbers_checked_on": "2026-10-01"}
    client.post("/keeper/society/", post)
    society = Society.objects.get()
    assert society.emergency_number == "000 test"
    assert society.numbers_checked_on == dt.date(2026, 10, 1)


@pytest.mark.parametrize(
    ("field", "bad"),
    [
        ("name", ""),
        ("name", "<b>Ours</b>"),
        ("name", "x" * 10_000),
        ("region_name", "Calder\x00moss"),
        ("welcome", "x" * 10_000),
        ("welcome", "a\x00b"),
        ("season_start_month", "13"),
        ("season_start_month", ""),
        ("earliest_year", "1066"),
        ("earliest_year", "9" * 400),
        ("earliest_year", "long ago"),
        ("emergency_number", "1<2"),
        ("emergency_number", "1" * 41),
        ("numbers_checked_on", "31 June"),
        ("numbers_checked_on", "2026-02-30"),
    ],
    ids=make.short,
)
def test_bad_settings_are_told_beside_their_field_and_change_nothing(
    kay: Account, client: Client, field: str, bad: str
) -> None:
    answer = client.post("/keeper/society/", {**SETTINGS, field: bad})
    assert answer.status_code == 200
    assert list(answer.context["form"].errors) == [field]
    assert "<b>Ours</b>" not in answer.text
    assert not Change.objects.exists()


def test_what_is_no_setting_is_a_fault_of_the_program(kay: Account) -> None:
    with pytest.raises(ValueError, match="pk"):
        society_edit({"pk": 2}, by=make.viewer(kay))


def test_a_person_who_is_not_there_is_not_found(kay: Account, client: Client) -> None:
    assert client.get("/keeper/people/987654/").status_code == 404
    assert client.post("/keeper/invitations/987654/revoke/").status_code == 404
    assert client.get("/keeper/invitations/1/revoke/").status_code == 405


def test_a_name_taken_by_somebody_who_left_is_free(kay: Account) -> None:
    make.make_person("Edith Fell", left_at=timezone.now())
    assert person_add(name="Edith Fell", by=make.viewer(kay)).pk
    with pytest.raises(Refused):
        person_add(name="edith fell", by=make.viewer(kay))


def test_a_keeper_demoted_meanwhile_is_answered_403_not_an_error(
    kay: Account, client: Client, monkeypatch: Any
) -> None:
    from society.members import views

    seen_before = make.viewer(kay)
    monkeypatch.setattr(views, "may_keep", lambda viewer: True)
    make.make_account(is_keeper=True)
    Account.objects.filter(pk=kay.pk).update(is_keeper=False)
    assert seen_before.is_keeper
    post = {"which": "add", "name": "Edith Fell", "initials": ""}
    assert client.post("/keeper/people/", post).status_code == 403
