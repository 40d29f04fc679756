"""Paging that never fails on a bad page number."""

from typing import Any

from django.core.paginator import Page, Paginator
from django.http import HttpRequest

ROWS_A_PAGE = 50


def page_of(request: HttpRequest, rows: Any, per_page: int = ROWS_A_PAGE) -> Page[Any]:
    """Return the page of ``rows`` that the address asks for; the nearest one when out of range."""
    return Paginator(rows, per_page).get_page(request.GET.get("page"))


def querystring_without_page(request: HttpRequest) -> str:
    """Return the address's query, encoded, without its page number: what ``_pager.html`` takes."""
    query = request.GET.copy()
    query.pop("page", None)
    return query.urlencode()
