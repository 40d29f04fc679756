"""Paging that never fails on a bad page number."""

import pytest
from django.template.loader import render_to_string
from django.test import RequestFactory

from society.core.paging import ROWS_A_PAGE, page_of, querystring_without_page

ROWS = list(range(ROWS_A_PAGE * 2 + 1))


@pytest.mark.parametrize(
    ("asked", "given"),
    [
        ({}, 1),
        ({"page": "2"}, 2),
        ({"page": "3"}, 3),
        ({"page": "0"}, 3),
        ({"page": "-4"}, 3),
        ({"page": "99"}, 3),
        ({"page": ""}, 1),
        ({"page": "two"}, 1),
        ({"page": "1.5"}, 1),
        ({"page": "\x00"}, 1),
        ({"page": "9" * 10_000}, 1),
    ],
)
def test_every_page_number_gives_a_page(asked: dict[str, str], given: int) -> None:
    page = page_of(RequestFactory().get("/", asked), ROWS)
    assert page.number == given
    assert page.object_list


def test_an_empty_list_has_one_empty_page() -> None:
    page = page_of(RequestFactory().get("/?page=7"), [])
    assert (page.number, list(page)) == (1, [])


def test_the_other_parts_of_an_address_are_kept_and_encoded() -> None:
    request = RequestFactory().get("/?q=a%26b&page=3&site=1&site=2")
    assert querystring_without_page(request) == "q=a%26b&site=1&site=2"
    assert querystring_without_page(RequestFactory().get("/?page=3")) == ""


def test_the_pager_leads_on_with_the_same_search() -> None:
    request = RequestFactory().get("/?q=hagg%20wood&page=2")
    page = page_of(request, ROWS)
    html = render_to_string(
        "parts/_pager.html",
        {"page_obj": page, "querystring": querystring_without_page(request)},
    )
    assert 'href="?q=hagg+wood&amp;page=1"' in html
    assert 'href="?q=hagg+wood&amp;page=3"' in html
