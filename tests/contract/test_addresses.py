"""Every address of the site gives every persona the answer that the table states."""

from importlib import import_module
from typing import Any

import pytest
from django.conf import settings
from django.test import Client
from django.urls import get_resolver, path

from society.core.views import alive
from tests.cast import PERSONAS, Cast
from tests.contract.permissions_table import COLUMNS, TABLE, Row, addresses
from tests.contract.templates_read import inline_offences
from tests.contract.walking import (
    answer_in_words,
    asked,
    named_patterns,
    text_of,
    unlisted,
)

Clients = dict[str, Client]


def test_every_address_of_the_site_is_in_the_table():
    patterns = import_module(settings.ROOT_URLCONF).urlpatterns
    assert unlisted(patterns) == []


def test_the_table_speaks_of_no_address_that_is_gone():
    there = {name for name, _ in named_patterns(get_resolver().url_patterns)}
    assert {row.name for row in TABLE} <= there


def test_an_address_that_is_not_in_the_table_is_found_out():
    new = [path("alive/", alive, name="alive"), path("new/<int:pk>/", alive)]
    assert unlisted(new) == ["alive alive/", " new/<int:pk>/"]


def test_the_table_has_a_column_for_every_persona():
    assert {*COLUMNS, "inactive"} == set(PERSONAS)
    for row in TABLE:
        assert len(row.expected("get")) == len(COLUMNS)


def test_no_two_rows_are_the_same_address():
    rows = [row.id for row in TABLE]
    assert sorted(rows) == sorted(set(rows))


def filled(row: Row, known: dict[str, Any]) -> tuple[str, dict[str, str], str]:
    data = {name: value.format(**known) for name, value in row.data.items()}
    return row.path.format(**known), data, row.to.format(**known)


def answers(
    row: Row, method: str, cast: Cast, clients: Clients
) -> tuple[dict[str, str], dict[str, Any]]:
    """Return what each persona is answered, in the table's words, and the answers themselves."""
    address, data, to = filled(row, addresses(cast))
    found = {who: asked(client, method, address, data) for who, client in clients.items()}
    return {who: answer_in_words(answer, to) for who, answer in found.items()}, found


def expected(row: Row, method: str) -> dict[str, str]:
    stated = row.expected(method)
    # A sign-in that was closed is a guest's, also in a browser that still has its session.
    return stated | {"inactive": stated["guest"]}


def cache_faults(found: dict[str, Any]) -> list[str]:
    """Return the personas whose answer a cache shared by others might keep."""
    return [
        who
        for who, answer in found.items()
        if answer.status_code == 200
        and not {"private", "no-store"} & set(answer.get("Cache-Control", "").split(", "))
    ]


@pytest.mark.parametrize("row", TABLE, ids=lambda row: row.id)
def test_a_page_answers_each_persona_as_the_table_states_and_is_never_kept_for_others(
    row: Row, cast: Cast, clients: Clients
):
    words, found = answers(row, "get", cast, clients)
    assert words == expected(row, "get")
    assert cache_faults(found) == []
    for answer in found.values():
        assert "default-src 'self'" in answer["Content-Security-Policy"]
        if answer.get("Content-Type", "").startswith("text/html"):
            assert inline_offences(text_of(answer)) == []


@pytest.mark.parametrize("row", [row for row in TABLE if row.post], ids=lambda row: row.id)
def test_a_post_answers_each_persona_as_the_table_states(row: Row, cast: Cast, clients: Clients):
    words, _ = answers(row, "post", cast, clients)
    assert words == expected(row, "post")


@pytest.mark.parametrize("row", [row for row in TABLE if not row.post], ids=lambda row: row.id)
def test_an_address_that_only_shows_changes_nothing_for_a_guest_who_posts(
    row: Row, cast: Cast, clients: Clients
):
    """It refuses the method, leads to the sign-in page, or shows what a GET would."""
    address, data, _ = filled(row, addresses(cast))
    answer = asked(clients["guest"], "post", address, data)
    allowed = {row.expected("get")["guest"], "405", "in"}
    if answer.status_code not in (404, 405):
        assert answer_in_words(answer, row.to.format(**addresses(cast))) in allowed


def test_every_further_address_of_the_table_is_answered(cast: Cast, clients: Clients):
    """The walks of other tests ask for them, and must meet real pages."""
    known = addresses(cast)
    faults = []
    for row in TABLE:
        for query in row.query:
            address = (row.path + query).format(**known)
            for persona in ("guest", "carl", "kay"):
                answer = asked(clients[persona], "get", address)
                stated = row.expected("get")[persona]
                if answer_in_words(answer, "") != stated:
                    faults.append((persona, address, stated, answer.status_code))
    assert faults == []


def test_a_cached_page_is_found_out():
    class Answer(dict):
        status_code = 200

    kept = Answer({"Cache-Control": "max-age=600, public"})
    assert cache_faults(
        {"ann": kept, "ben": Answer(), "kay": Answer({"Cache-Control": "private"})}
    ) == [*("ann", "ben")]


def test_a_script_that_is_signed_out_is_told_so_and_not_led_elsewhere(cast: Cast, clients: Clients):
    answer = clients["guest"].get("/logbook/", headers={"X-Requested-With": "XMLHttpRequest"})
    assert answer.status_code == 401
