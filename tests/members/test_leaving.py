"""Leaving: what is personal goes, the records stay under the name that was chosen."""

from concurrent.futures import ThreadPoolExecutor

import pytest
from django.db import connection
from django.test import Client

from society.core.errors import NotPermitted, Refused
from society.core.models import Change, FieldVersion
from society.members.models import Account, Person
from society.members.services import invitation_make, member_leave, roles_set
from tests import make

LEAVE = {
    "which": "leave",
    "kept_name": "a former member",
    "password": make.PASSWORD,
    "sure": "on",
}


@pytest.fixture
def ann(db: None) -> Account:
    make.make_society()
    person = make.make_person("Ann Brierley", initials="AB")
    return make.make_account(person=person, email="ann@caldermoss.example")


def everything_stored() -> str:
    """Return every row of every table of this project as text."""
    with connection.cursor() as cursor:
        rows = []
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f'SELECT * FROM "{table}"')
            rows.append(f"{table}: {cursor.fetchall()}")
    return "\n".join(rows)


def test_sign_in_and_mail_address_go_and_records_stay_under_the_chosen_name(
    ann: Account, client: Client
) -> None:
    find = make.make_find(ann, site=make.make_site(), name="Lactarius")
    client.force_login(ann)
    answer = client.post("/me/", LEAVE, follow=False)
    assert answer.headers["Location"] == "/"
    find.refresh_from_db()
    assert find.finder.display_name == "a former member"
    assert find.slips.get().by.display_name == "a former member"
    stored = everything_stored()
    assert "Brierley" not in stored
    assert "ann@" not in stored


def test_every_session_of_the_leaver_dies(ann: Account, client: Client) -> None:
    elsewhere = Client()
    elsewhere.force_login(ann)
    client.force_login(ann)
    client.post("/me/", LEAVE)
    assert client.get("/me/").status_code == 302
    assert elsewhere.get("/me/").status_code == 302
    signed = client.post("/signin/", {"username": ann.email, "password": make.PASSWORD})
    assert signed.status_code == 200


def test_the_leaver_is_told_what_happened(ann: Account, client: Client) -> None:
    client.force_login(ann)
    client.post("/me/", LEAVE)
    assert "Your records stay under the name you chose." in client.get("/signin/").text


def test_history_tells_that_somebody_left_and_keeps_no_name(ann: Account) -> None:
    pk = ann.person_id
    member_leave(ann.pk, kept_name="A. B.", by=make.viewer(ann))
    change = Change.objects.get(verb="person.left")
    assert (change.actor_id, change.object_id) == (pk, pk)
    assert not FieldVersion.objects.exists()


@pytest.mark.parametrize(
    ("over", "field"),
    [
        ({"kept_name": ""}, "kept_name"),
        ({"kept_name": "x" * 10_000}, "kept_name"),
        ({"kept_name": "<i>gone</i>"}, "kept_name"),
        ({"kept_name": "gone\x00"}, "kept_name"),
        ({"password": "wrong words"}, "password"),
        ({"password": ""}, "password"),
        ({"sure": ""}, "sure"),
    ],
    ids=make.short,
)
def test_a_fault_is_told_beside_its_field_and_nobody_leaves(
    ann: Account, client: Client, over: dict[str, str], field: str
) -> None:
    client.force_login(ann)
    answer = client.post("/me/", {**LEAVE, **over})
    assert answer.status_code == 200
    assert list(answer.context["forms"]["leave"].errors) == [field]
    assert Account.objects.filter(pk=ann.pk).exists()


def test_pressing_leave_twice_is_no_fault(ann: Account, client: Client) -> None:
    client.force_login(ann)
    client.post("/me/", LEAVE)
    assert client.post("/me/", LEAVE).headers["Location"].startswith("/signin/")


def test_a_keeper_may_let_a_member_leave_and_nobody_else_may(ann: Account, client: Client) -> None:
    ben, kay = make.make_account(), make.make_account(is_keeper=True)
    with pytest.raises(NotPermitted):
        member_leave(ann.pk, kept_name="gone", by=make.viewer(ben))
    client.force_login(kay)
    path = f"/keeper/people/{ann.person_id}/"
    answer = client.post(path, {"which": "leave", "kept_name": "A. B.", "sure": "on"})
    assert answer.headers["Location"] == path
    page = client.get(path).text
    assert "Left on" in page
    assert "A. B." in page


def test_the_last_keeper_stays(ann: Account, client: Client) -> None:
    kay = make.make_account("Kay Thorpe", is_keeper=True)
    make.make_account(is_keeper=True, is_active=False)
    client.force_login(kay)
    answer = client.post("/me/", LEAVE)
    assert "A logbook needs a keeper. Make somebody else one first." in answer.text
    answer = client.post(f"/keeper/people/{kay.person_id}/", {"which": "roles", "is_active": "on"})
    assert "A logbook needs a keeper." in answer.text
    for roles in ({"is_keeper": True, "is_active": False}, {"is_keeper": False, "is_active": True}):
        with pytest.raises(Refused) as refused:
            roles_set(kay.pk, is_organiser=False, by=make.viewer(kay), **roles)
        assert refused.value.code == "last_keeper"
    kay.refresh_from_db()
    assert kay.is_keeper
    assert kay.is_active


def test_with_two_keepers_one_may_go(ann: Account) -> None:
    kay, other = make.make_account(is_keeper=True), make.make_account(is_keeper=True)
    member_leave(kay.pk, kept_name="a former keeper", by=make.viewer(kay))
    with pytest.raises(Refused):
        member_leave(other.pk, kept_name="another", by=make.viewer(other))


def test_two_keepers_who_go_at_once_leave_one_behind(transactional_db: None) -> None:
    make.make_society()
    keepers = [make.make_account(is_keeper=True) for _ in range(3)]

    def leave(account: Account) -> str:
        try:
            member_leave(account.pk, kept_name="a former keeper", by=make.viewer(account))
        except Refused as refusal:
            return refusal.code
        finally:
            connection.close()
        return "left"

    with ThreadPoolExecutor(3) as pool:
        outcomes = sorted(pool.map(leave, keepers))
    assert outcomes == ["last_keeper", "left", "left"]
    assert Account.objects.filter(is_keeper=True).count() == 1


def test_what_a_leaving_keeper_offered_is_void_and_its_note_gone(ann: Account) -> None:
    kay, other = make.make_account(is_keeper=True), make.make_account(is_keeper=True)
    invitation, _ = invitation_make(by=make.viewer(kay), note="Nell from the field centre")
    member_leave(kay.pk, kept_name="a former keeper", by=make.viewer(other))
    invitation.refresh_from_db()
    assert invitation.revoked_at is not None
    assert invitation.note == ""


def test_the_leavers_drafts_go_with_the_sign_in(ann: Account) -> None:
    from uuid import uuid4

    from society.finds.models import FindDraft
    from society.finds.services import draft_keep

    draft_keep(uuid4(), {"notes": ["behind my house"]}, by=make.viewer(ann))
    member_leave(ann.pk, kept_name="gone", by=make.viewer(ann))
    assert not FindDraft.objects.exists()
    assert Person.objects.get(pk=ann.person_id).left_at is not None
