"""Signing in by mail address, and what too many tries lead to."""

from typing import Any

import pytest
from django.test import Client

from society.core.models import ThrottleCount
from society.members.models import Account
from tests import make

PAIR_WRONG = "That mail address and password do not go together."


@pytest.fixture
def ann(db: None) -> Account:
    make.make_society()
    return make.make_account("Ann Brierley", email="ann@caldermoss.example")


def sign_in(client: Client, email: str, password: str = make.PASSWORD, **more: Any) -> Any:
    return client.post("/signin/", {"username": email, "password": password}, **more)


def test_a_member_signs_in_by_mail_address_however_written(ann: Account, client: Client) -> None:
    assert sign_in(client, "  ANN@Caldermoss.Example ").headers["Location"] == "/"
    assert client.get("/me/").status_code == 200


def test_signing_in_leads_to_the_page_that_asked_for_it(ann: Account, client: Client) -> None:
    page = client.get("/signin/?next=/me/")
    assert 'name="next" value="/me/"' in page.text
    answer = client.post(
        "/signin/",
        {"username": "ann@caldermoss.example", "password": make.PASSWORD, "next": "/me/"},
    )
    assert answer.headers["Location"] == "/me/"


def test_nobody_is_led_to_another_site(ann: Account, client: Client) -> None:
    answer = client.post(
        "/signin/",
        {
            "username": "ann@caldermoss.example",
            "password": make.PASSWORD,
            "next": "https://elsewhere.example/",
        },
    )
    assert answer.headers["Location"] == "/"


def test_wrong_password_unknown_address_and_closed_sign_in_are_answered_alike(
    ann: Account, client: Client
) -> None:
    make.make_account(email="ivor@caldermoss.example", is_active=False)
    tries = [
        ("ann@caldermoss.example", "wrong words here"),
        ("nobody@caldermoss.example", make.PASSWORD),
        ("ivor@caldermoss.example", make.PASSWORD),
    ]
    answers = [sign_in(client, email, password) for email, password in tries]
    assert [answer.status_code for answer in answers] == [200, 200, 200]
    assert all(PAIR_WRONG in answer.text for answer in answers)
    texts = {
        answer.text.replace(email, "").replace(answer.context["csrf_token"].__str__(), "")
        for (email, _), answer in zip(tries, answers, strict=True)
    }
    assert len(texts) == 1


def test_the_address_typed_is_kept_and_the_password_is_not(ann: Account, client: Client) -> None:
    page = sign_in(client, "ann@caldermoss.example", "wrong words here").text
    assert 'value="ann@caldermoss.example"' in page
    assert "wrong words here" not in page


def test_too_many_tries_are_answered_429_in_plain_words(
    ann: Account, client: Client, settings: Any
) -> None:
    settings.SIGNIN_TRIES = 3
    settings.SIGNIN_WINDOW_MINUTES = 20
    for _ in range(3):
        assert sign_in(client, "ann@caldermoss.example", "wrong words here").status_code == 200
    answer = sign_in(client, "ann@caldermoss.example")
    assert answer.status_code == 429
    assert answer.headers["Retry-After"] == "1200"
    assert "Wait 20 minutes, or ask for a new password below." in answer.text
    assert 'value="ann@caldermoss.example"' in answer.text
    assert client.get("/me/").status_code == 302


def test_spelling_the_address_otherwise_gains_no_tries(
    ann: Account, client: Client, settings: Any
) -> None:
    settings.SIGNIN_TRIES = 2
    sign_in(client, "ann@caldermoss.example", "wrong words here")
    sign_in(client, " ANN@caldermoss.example", "wrong words here")
    assert sign_in(client, "Ann@Caldermoss.example").status_code == 429


def test_somebody_elses_tries_lock_nobody_out(ann: Account, client: Client, settings: Any) -> None:
    settings.SIGNIN_TRIES = 2
    make.make_account(email="ben@caldermoss.example")
    for _ in range(4):
        sign_in(client, "ann@caldermoss.example", "wrong words", REMOTE_ADDR="203.0.113.9")
    # The member herself, elsewhere; and another member at the guesser's own address.
    assert sign_in(Client(), "ann@caldermoss.example").status_code == 302
    there = sign_in(Client(), "ben@caldermoss.example", REMOTE_ADDR="203.0.113.9")
    assert there.status_code == 302


def test_behind_our_proxy_each_visitor_is_counted_alone(
    ann: Account, client: Client, settings: Any
) -> None:
    settings.SIGNIN_TRIES = 2
    settings.TLS = True
    for _ in range(4):
        sign_in(client, ann.email, "wrong words", headers={"X-Forwarded-For": "203.0.113.9"})
    here = sign_in(Client(), ann.email, headers={"X-Forwarded-For": "203.0.113.10"})
    assert here.status_code == 302


def test_guessing_at_many_members_from_one_address_ends_too(
    ann: Account, client: Client, settings: Any
) -> None:
    settings.SIGNIN_TRIES = 1
    answers = [
        sign_in(client, f"guess{i}@caldermoss.example", "wrong words").status_code
        for i in range(21)
    ]
    assert answers == [200] * 20 + [429]


def test_the_right_password_begins_the_count_anew(
    ann: Account, client: Client, settings: Any
) -> None:
    settings.SIGNIN_TRIES = 3
    for _ in range(2):
        sign_in(client, ann.email, "wrong words here")
        sign_in(client, ann.email, "wrong words here")
        assert sign_in(client, ann.email).status_code == 302
        client.post("/signout/")


def test_counting_keeps_no_address(ann: Account, client: Client) -> None:
    sign_in(client, ann.email, "wrong words here")
    assert "caldermoss" not in str(list(ThrottleCount.objects.values()))


@pytest.mark.parametrize(
    "bad", ["", "x" * 10_000, "<b>ann</b>", "ann\x00@a.example", "🍄@🍄"], ids=make.short
)
def test_bad_input_is_answered_beside_the_field(ann: Account, client: Client, bad: str) -> None:
    answer = sign_in(client, bad, bad)
    assert answer.status_code == 200
    assert "field-error" in answer.text
    assert "<b>ann</b>" not in answer.text


def test_somebody_signed_in_is_led_on(ann: Account, client: Client) -> None:
    client.force_login(ann)
    assert client.get("/signin/").status_code == 302


def test_pages_of_people_are_never_kept_by_a_cache(ann: Account, client: Client) -> None:
    client.force_login(ann)
    assert "no-store" in client.get("/me/").headers["Cache-Control"]
