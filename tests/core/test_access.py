"""Closed by default: who is asked to sign in, and how."""

from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests import make


def test_the_process_says_that_it_is_alive_to_anybody(client: Client) -> None:
    """Without the ``db`` fixture: a query would fail the test."""
    answer = client.get("/alive/")
    assert answer.status_code == 200
    assert answer.content == b"alive\n"
    assert answer.headers["Content-Type"] == "text/plain; charset=utf-8"
    assert reverse("core:alive") == "/alive/"


def test_it_asks_no_database_even_for_somebody_signed_in(db: None, client: Client) -> None:
    client.force_login(make.make_account())
    with CaptureQueriesContext(connection) as seen:
        assert client.get("/alive/").status_code == 200
    assert [query["sql"] for query in seen] == []


def test_alive_answers_plain_http_behind_tls(client: Client, settings: Any) -> None:
    settings.SECURE_SSL_REDIRECT = True
    assert client.get("/alive/").status_code == 200


def test_alive_takes_no_post(client: Client) -> None:
    assert client.post("/alive/").status_code == 405


def test_a_guest_is_sent_to_sign_in_and_back(db: None, client: Client) -> None:
    make.make_society()
    answer = client.get("/me/?a=b")
    assert answer.status_code == 302
    assert answer.headers["Location"] == "/signin/?next=/me/%3Fa%3Db"


def test_a_script_is_told_401_and_not_sent_to_a_page_it_would_take_for_success(
    client: Client,
) -> None:
    for headers in ({"Accept": "application/json"}, {"X-Requested-With": "XMLHttpRequest"}):
        answer = client.post("/me/", headers=headers)
        assert answer.status_code == 401
        assert "not signed in" in answer.json()["message"]


def test_what_was_posted_after_the_session_ended_leads_back_to_its_form(client: Client) -> None:
    answer = client.post(
        "/keeper/invitations/7/revoke/",
        headers={"Referer": "http://testserver/keeper/invitations/?page=2"},
    )
    assert answer.headers["Location"] == "/signin/?next=/keeper/invitations/%3Fpage%3D2"


@pytest.mark.parametrize("referer", ["", "https://elsewhere.example/me/", "//elsewhere.example/"])
def test_nobody_is_led_to_another_site(client: Client, referer: str) -> None:
    answer = client.post("/me/", headers={"Referer": referer})
    assert answer.headers["Location"] == "/signin/?next=/"


def test_signing_out_twice_is_no_fault(db: None, client: Client) -> None:
    make.make_society()
    client.force_login(make.make_account())
    assert client.post("/signout/").headers["Location"] == "/"
    assert client.post("/signout/").headers["Location"] == "/"
    assert client.get("/me/").status_code == 302
