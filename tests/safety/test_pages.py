"""The poisoning sheet and the page of cautions, read by somebody signed out and in a hurry."""

import datetime as dt
import re

import pytest
from django.utils.html import strip_tags

from tests.make import make_account, make_society

pytestmark = pytest.mark.django_db


def words(response) -> str:
    page = response.content.decode()
    main = page[page.index("<main") : page.index("</main>")]
    return " ".join(strip_tags(main).split())


def test_the_sheet_is_open_to_everybody_and_sets_no_cookie(client):
    response = client.get("/poisoning/")
    assert response.status_code == 200
    assert not response.cookies
    assert "Poisoning: what to do now" in words(response)


def test_the_sheet_is_open_to_members_too(client):
    client.force_login(make_account())
    assert client.get("/poisoning/").status_code == 200


def test_without_numbers_the_sheet_says_to_call_the_local_emergency_number(client):
    text = words(client.get("/poisoning/"))
    assert "call your local emergency number" in text
    assert "last checked" not in text
    assert "tel:" not in client.get("/poisoning/").content.decode()


def test_no_number_is_made_up(client):
    text = words(client.get("/poisoning/"))
    sources = text.index("Sources:")
    assert not re.search(r"\d", text[:sources])


def test_the_societys_numbers_stand_before_anything_else_with_the_day_they_were_checked(client):
    make_society(
        emergency_number="000 111",
        poison_centre_number="+00 (0)222 333-4",
        vet_number="000 555, choose 2",
        numbers_checked_on=dt.date(2026, 3, 9),
    )
    response = client.get("/poisoning/")
    page, text = response.content.decode(), words(response)
    for number in ("000 111", "+00 (0)222 333-4", "000 555, choose 2"):
        assert text.index(number) < text.index("Call at once")
    assert "last checked on 9 Mar 2026" in text
    assert 'href="tel:000111"' in page
    assert 'href="tel:+0002223334"' in page
    assert "tel:0005552" not in page


def test_one_number_missing_falls_back_and_the_day_missing_is_said(client):
    make_society(poison_centre_number="000 222")
    text = words(client.get("/poisoning/"))
    assert "Emergency number: call your local emergency number." in text
    assert "000 222" in text
    assert "when they were last checked is not recorded" in text


def test_a_number_cannot_carry_markup(client):
    make_society(emergency_number='1"><script>x')
    assert "<script>x" not in client.get("/poisoning/").content.decode()


@pytest.mark.parametrize(
    "needed",
    [
        "Do not wait for signs",
        "everyone, also those who feel well",
        "paper, not plastic",
        "Write down the times",
        "Do not make anybody vomit unless you are told to",
        "Feeling better",
        "Signs that came early. They do not rule out a kind that harms later",
        "Cooking does not remove",
        "No single test",
        "the hospital tell you comes before this sheet",
    ],
)
def test_the_sheet_says_what_counts(client, needed):
    assert needed in words(client.get("/poisoning/"))


def test_the_sheet_has_no_times_of_onset_and_no_home_cures(client):
    text = words(client.get("/poisoning/")).lower()
    for absent in ("hour", "minute", "milk", "charcoal", "salt water", "mg"):
        assert absent not in text


def test_the_sheet_answers_in_one_query_for_the_numbers(client, django_assert_max_num_queries):
    make_society()
    with django_assert_max_num_queries(2):  # the base page and the sheet each read the society
        client.get("/poisoning/")


def test_only_reading_is_answered(client):
    assert client.post("/poisoning/").status_code == 405
    assert client.head("/poisoning/").status_code == 200


@pytest.mark.parametrize(
    "needed",
    [
        "It never says that a find or a species is safe to eat",
        "asks nobody to taste",
        "speaks for one collection",
        "the landowner's leave",
        "No single test tells a poisonous fungus",
        "This says nothing about harm",
        "no test for eating",
    ],
)
def test_the_cautions_say_what_counts_signed_out(client, needed):
    response = client.get("/about-safety/")
    assert response.status_code == 200
    assert needed in words(response).replace("&#x27;", "'")


def test_both_pages_stand_in_the_foot_or_lead_to_each_other(client):
    assert 'href="/about-safety/"' in client.get("/poisoning/").content.decode()
    assert 'href="/poisoning/"' in client.get("/about-safety/").content.decode()
