"""Joining by invitation: one link, one person, once."""

import datetime as dt
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.db import connection
from django.test import Client
from django.utils import timezone

from society.core.errors import NotPermitted, Refused
from society.finds.models import Find
from society.members import services
from society.members.models import Account, Invitation, Person
from society.members.services import account_join, invitation_make, invitation_revoke
from tests import make

NELL = {"name": "Nell Fell", "email": "nell@caldermoss.example", "password": make.PASSWORD}


@pytest.fixture
def kay(db: None) -> Account:
    make.make_society()
    return make.make_account("Kay Thorpe", is_keeper=True)


@pytest.fixture
def token(kay: Account) -> str:
    return invitation_make(by=make.viewer(kay), note="Nell from the field centre")[1]


def test_an_invitation_lets_somebody_join_and_signs_them_in(token: str, client: Client) -> None:
    assert "Join Caldermoss Fungus Group" in client.get(f"/join/{token}/").text
    assert client.post(f"/join/{token}/", NELL).headers["Location"] == "/"
    account = Account.objects.get(email="nell@caldermoss.example")
    assert account.person.display_name == "Nell Fell"
    assert not account.is_keeper
    assert not account.is_organiser
    assert client.get("/me/").status_code == 200


def test_a_used_invitation_says_so_and_where_to_go(token: str, client: Client) -> None:
    client.post(f"/join/{token}/", NELL)
    other = Client().post(f"/join/{token}/", {**NELL, "email": "ben@caldermoss.example"})
    assert other.status_code == 410
    assert "sign in with the password you chose" in other.text
    assert not Account.objects.filter(email="ben@caldermoss.example").exists()


def test_pressing_join_twice_makes_one_member(token: str, client: Client) -> None:
    client.get(f"/join/{token}/")
    sent_before_the_answer_came = Client()
    client.post(f"/join/{token}/", NELL)
    assert sent_before_the_answer_came.post(f"/join/{token}/", NELL).status_code == 410
    assert Person.objects.filter(display_name="Nell Fell").count() == 1


def test_two_who_use_one_link_at_once_make_one_member(
    transactional_db: None, settings: Any
) -> None:
    make.make_society()
    kay = make.make_account("Kay Thorpe", is_keeper=True)
    _, token = invitation_make(by=make.viewer(kay))

    def join(name: str) -> str:
        try:
            account_join(token=token, name=name, email=f"{name}@a.example", password=make.PASSWORD)
        except Refused as refusal:
            return refusal.code
        finally:
            connection.close()
        return "joined"

    with ThreadPoolExecutor(4) as pool:
        outcomes = sorted(pool.map(join, ["nell", "ben", "ivy", "tom"]))
    assert outcomes == ["invitation_closed"] * 3 + ["joined"]
    assert Account.objects.count() == 2


def test_two_who_take_one_address_at_once_make_one_member(transactional_db: None) -> None:
    make.make_society()
    kay = make.viewer(make.make_account("Kay Thorpe", is_keeper=True))
    tokens = [invitation_make(by=kay)[1] for _ in range(3)]

    def join(token: str) -> str:
        try:
            account_join(token=token, **NELL)
        except ValidationError as error:
            return ",".join(error.message_dict)
        finally:
            connection.close()
        return "joined"

    with ThreadPoolExecutor(3) as pool:
        outcomes = sorted(pool.map(join, tokens))
    assert outcomes == ["email", "email", "joined"]
    assert Person.objects.count() == 2


def test_an_invitation_runs_out(token: str, client: Client) -> None:
    Invitation.objects.update(expires_at=timezone.now() - dt.timedelta(seconds=1))
    assert client.get(f"/join/{token}/").status_code == 410
    assert client.post(f"/join/{token}/", NELL).status_code == 410
    with pytest.raises(Refused) as refused:
        account_join(token=token, **NELL)
    assert refused.value.code == "invitation_closed"


def test_it_is_good_for_as_long_as_the_settings_say(kay: Account, settings: Any) -> None:
    settings.INVITATION_DAYS = 3
    invitation, _ = invitation_make(by=make.viewer(kay))
    assert invitation.is_open(timezone.now() + dt.timedelta(days=2, hours=23))
    assert not invitation.is_open(timezone.now() + dt.timedelta(days=3))


def test_a_keeper_revokes_an_invitation(kay: Account, token: str, client: Client) -> None:
    client.force_login(kay)
    pk = Invitation.objects.get().pk
    for _ in range(2):
        assert client.post(f"/keeper/invitations/{pk}/revoke/").status_code == 302
    assert "revoked" in client.get("/keeper/invitations/").text
    assert Client().post(f"/join/{token}/", NELL).status_code == 410


def test_a_used_invitation_cannot_be_revoked(kay: Account, token: str) -> None:
    account_join(token=token, **NELL)
    with pytest.raises(Refused) as refused:
        invitation_revoke(Invitation.objects.get().pk, by=make.viewer(kay))
    assert refused.value.code == "used"


def test_what_is_no_token_is_answered_like_a_used_one(kay: Account, client: Client) -> None:
    for token in ("nothing", "x" * 5000, "%00", "ünï", "<b>"):
        assert client.get(f"/join/{token}/").status_code == 410, token


def test_the_link_is_shown_once_and_only_its_hash_is_kept(kay: Account, client: Client) -> None:
    client.force_login(kay)
    page = client.post("/keeper/invitations/", {"which": "make", "note": "Nell"}).text
    link = page.split('value="http://testserver')[1].split('"')[0]
    assert Client().get(link).status_code == 200
    token = link.strip("/").split("/")[-1]
    assert token not in str(Invitation.objects.values().get())
    assert token not in client.get("/keeper/invitations/").text


def test_when_it_is_used_the_list_names_who_came_and_the_note_is_gone(
    kay: Account, token: str, client: Client
) -> None:
    client.force_login(kay)
    assert "Nell from the field centre" in client.get("/keeper/invitations/").text
    account_join(token=token, **NELL)
    page = client.get("/keeper/invitations/").text
    assert "Nell Fell" in page
    assert "field centre" not in page


def test_an_invitation_can_make_an_organiser_or_a_keeper(kay: Account) -> None:
    _, token = invitation_make(by=make.viewer(kay), as_organiser=True, as_keeper=True)
    account = account_join(token=token, **NELL)
    assert account.is_organiser
    assert account.is_keeper


@pytest.mark.parametrize("role", [{}, {"is_organiser": True}])
def test_only_keepers_invite(kay: Account, role: dict[str, bool], client: Client) -> None:
    other = make.make_account(**role)
    with pytest.raises(NotPermitted):
        invitation_make(by=make.viewer(other))
    client.force_login(other)
    assert client.post("/keeper/invitations/", {"which": "make"}).status_code == 403


def test_a_person_of_the_records_who_joins_later_keeps_their_finds(
    kay: Account, client: Client
) -> None:
    edith = make.make_person("Edith Fell")
    typist = make.make_account("Tom Rigg")
    find = make.make_find(typist, finder_id=edith.pk, site=make.make_site())
    _, token = invitation_make(by=make.viewer(kay), person_id=edith.pk)
    page = client.get(f"/join/{token}/").text
    assert "This invitation is for Edith Fell" in page
    assert 'name="name"' not in page
    client.post(f"/join/{token}/", {"email": "edith@caldermoss.example", "password": make.PASSWORD})
    account = Account.objects.get(email="edith@caldermoss.example")
    assert account.person == edith
    assert list(Find.objects.of_person(make.viewer(account).person_id)) == [find]


def test_who_entered_a_find_is_kept_apart_from_who_found_it(kay: Account) -> None:
    edith, typist = make.make_person("Edith Fell"), make.make_account("Tom Rigg")
    find = make.make_find(typist, finder_id=edith.pk, site=make.make_site(), name="Russula")
    assert find.finder == edith
    assert find.entered_by == typist.person
    slip = find.slips.get()
    assert (slip.by, slip.entered_by) == (edith, typist.person)


def test_a_person_has_one_sign_in(kay: Account) -> None:
    edith = make.make_person("Edith Fell")
    by = make.viewer(kay)
    first, second = (invitation_make(by=by, person_id=edith.pk)[1] for _ in range(2))
    account_join(token=first, **NELL)
    with pytest.raises(Refused) as refused:
        account_join(token=second, **{**NELL, "email": "other@caldermoss.example"})
    assert refused.value.code == "has_account"
    with pytest.raises(Refused):
        invitation_make(by=by, person_id=edith.pk)


def test_somebody_who_left_is_not_joined_again(kay: Account) -> None:
    leaver = make.make_person("a former member", left_at=timezone.now())
    with pytest.raises(Refused) as refused:
        invitation_make(by=make.viewer(kay), person_id=leaver.pk)
    assert refused.value.code == "has_left"


def test_what_a_keeper_offered_ends_with_their_office(kay: Account, token: str) -> None:
    other = make.make_account(is_keeper=True)
    services.roles_set(
        kay.pk, is_organiser=False, is_keeper=False, is_active=True, by=make.viewer(other)
    )
    with pytest.raises(Refused):
        account_join(token=token, **NELL)
    assert Invitation.objects.get().note == ""


def test_an_address_in_use_is_named_beside_its_field_and_nothing_is_lost(
    kay: Account, token: str, client: Client
) -> None:
    make.make_account(email="nell@caldermoss.example")
    answer = client.post(f"/join/{token}/", {**NELL, "email": "Nell@Caldermoss.example"})
    assert "There is already a sign-in with this mail address." in answer.text
    assert 'value="Nell Fell"' in answer.text
    assert not Person.objects.filter(display_name="Nell Fell").exists()
    assert (
        client.post(f"/join/{token}/", {**NELL, "email": "fell@caldermoss.example"}).headers[
            "Location"
        ]
        == "/"
    )


@pytest.mark.parametrize(
    "password",
    [
        "short",
        "1234567890123",
        "password1234",
        "nell@caldermoss",
        "Nell Fell 2026",
        "aaaaaaaaaaaa",
        "abababababab",
        "Caldermoss Fungus Group",
        "caldermoss-2026",
        "mushroom1234",
        "",
    ],
)
def test_a_guessable_password_is_refused_beside_its_field(
    token: str, client: Client, password: str
) -> None:
    answer = client.post(f"/join/{token}/", {**NELL, "password": password})
    assert answer.status_code == 200
    assert "password" in answer.context["form"].errors
    assert not Account.objects.filter(email="nell@caldermoss.example").exists()


def test_spaces_in_a_password_count(token: str, client: Client) -> None:
    client.post(f"/join/{token}/", {**NELL, "password": f"  {make.PASSWORD} "})
    account = Account.objects.get(email="nell@caldermoss.example")
    assert account.check_password(f"  {make.PASSWORD} ")


@pytest.mark.parametrize(
    ("field", "bad"),
    [
        ("name", ""),
        ("name", "   "),
        ("name", "x" * 10_000),
        ("name", "<script>alert(1)</script>"),
        ("name", "Nell\x00Fell"),
        ("name", "Nell\nFell"),
        ("email", "nell"),
        ("email", "x" * 10_000 + "@a.example"),
        ("email", "nell\x00@a.example"),
        ("email", "<b>@a.example"),
        ("password", "\x00" * 20),
        ("password", "x y" * 10_000),
    ],
    ids=make.short,
)
def test_bad_input_is_told_beside_its_field_and_makes_nobody(
    token: str, client: Client, field: str, bad: str
) -> None:
    answer = client.post(f"/join/{token}/", {**NELL, field: bad})
    assert answer.status_code == 200
    assert list(answer.context["form"].errors) == [field]
    assert "<script>alert" not in answer.text
    assert Account.objects.count() == 1


def test_bad_input_below_the_form_is_refused_too(kay: Account) -> None:
    by = make.viewer(kay)
    for name in ("", "x" * 81, "<b>Nell</b>", "Nell\x00"):
        _, token = invitation_make(by=by)
        with pytest.raises(ValidationError):
            account_join(token=token, **{**NELL, "name": name})
    assert Account.objects.count() == 1


def test_somebody_signed_in_is_told_so(kay: Account, token: str, client: Client) -> None:
    client.force_login(kay)
    assert "You are signed in as Kay Thorpe." in client.get(f"/join/{token}/").text
