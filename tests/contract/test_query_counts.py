"""A page asks the database as often for fifty rows as for five."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.db import connection
from django.http import HttpRequest, HttpResponse
from django.test import Client, override_settings
from django.test.utils import CaptureQueriesContext
from django.urls import path

from society.finds.models import Find
from tests.contract.conftest import rows_of_a_module
from tests.contract.growing import Growing
from tests.contract.walking import body_of

FEW, MANY = 5, 50
# No page asks more often than this, however little it shows.
MOST = 45

# Every list, by who reads it. The site, the species and the find are those that hold most.
PAGES = (
    *(("guest", page) for page in ("/", "/lists/", "/lists/species/", "/lists/finds/", "/sites/")),
    *(("guest", page) for page in ("{site}", "{species}", "/search/?q=cresc", "/search/?q=grown")),
    *(("guest", page) for page in ("/lists/species/?site={slug}", "/sites/boundaries.json")),
    *(("guest", page) for page in ("/lists/species.csv", "/lists/species.xlsx", "/finds.csv")),
    *(("ann", page) for page in ("/", "/logbook/", "/logbook/names/", "/notices/", "{find}")),
    *(
        ("ann", page)
        for page in ("/logbook/records.csv", "/finds.csv", "/finds/new/", "{find}edit/")
    ),
    *(("ann", page) for page in ("/sites/", "{site}", "{species}", "/lists/species/?by_family=on")),
    *(
        ("carl", page)
        for page in ("/desk/", "/desk/?whose=all&order=name", "{find}", "{find}?desk=1")
    ),
    *(
        ("kay", page)
        for page in ("/keeper/people/", "/keeper/people/?q=memb", "/keeper/invitations/")
    ),
    *(("kay", page) for page in ("/keeper/names/", "/keeper/names/?q=cresc", "/keeper/referees/")),
    *(("kay", page) for page in ("/names/lookup/?q=cresc", "{site}edit/", "{find}")),
)
Costs = dict[tuple[str, str], int]


@pytest.fixture(scope="module")
def growing(django_db_setup: None, django_db_blocker: Any, module_files: Path) -> Iterator[Growing]:
    with rows_of_a_module(django_db_blocker, module_files):
        yield Growing()


@pytest.fixture(scope="module")
def costs(growing: Growing, django_db_blocker: Any, module_files: Path) -> tuple[Costs, Costs]:
    """What every page asks at five rows, and at fifty."""
    with django_db_blocker.unblock():
        readers = {"guest": Client()}
        for name in ("ann", "carl", "kay"):
            readers[name] = Client()
            readers[name].force_login(getattr(growing, name))
        growing.grow_to(FEW)
        few = {page: cost(readers[page[0]], address(growing, page[1])) for page in PAGES}
        growing.grow_to(MANY)
        many = {page: cost(readers[page[0]], address(growing, page[1])) for page in PAGES}
    return few, many


def address(growing: Growing, page: str) -> str:
    return page.format(
        site=f"/sites/{growing.whole.slug}/",
        slug=growing.whole.slug,
        species=f"/species/{growing.taxon.pk}/",
        find=f"/finds/{growing.deep.spoken_number}/",
    )


def cost(client: Client, page: str) -> int:
    """Return how often a page asks; the first time it may also fill what a process keeps."""
    client.get(page)
    with CaptureQueriesContext(
        connection,
    ) as asked:
        answer = client.get(page)
        body = body_of(answer)
    assert answer.status_code == 200, page
    assert body
    return len(asked)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: " ".join(page))
def test_a_page_asks_as_often_for_fifty_rows_as_for_five(
    page: tuple[str, str], costs: tuple[Costs, Costs]
):
    few, many = costs
    assert many[page] == few[page]
    assert many[page] <= MOST


def test_the_pages_that_were_counted_do_hold_the_rows(growing: Growing, costs: Any, db: None):
    """Fifty rows that no page shows would prove nothing."""
    assert Find.objects.count() == 1 + MANY * 4
    client = Client()
    client.force_login(growing.ann)
    assert client.get("/sites/").content.count(b"Grown Wood") >= MANY
    assert client.get("/lists/species/").content.count(b"crescens") >= MANY
    assert client.get("/logbook/").content.count(b"/finds/") >= 50
    assert client.get(address(growing, "{find}")).content.count(b"Remark") >= MANY
    assert body_of(client.get("/finds.csv")).count(b"crescens") >= MANY
    client.force_login(growing.carl)
    assert client.get("/desk/?whose=all").content.count(b"/finds/") >= 20


def asks_for_each_row(request: HttpRequest) -> HttpResponse:
    names = [find.site.name for find in Find.objects.order_by("pk")[: int(request.GET["rows"])]]
    return HttpResponse(", ".join(names))


urlpatterns = [path("each/", asks_for_each_row)]


def test_a_page_that_asks_for_each_row_is_found_out(growing: Growing, costs: Any, db: None):
    client = Client()
    client.force_login(growing.ann)
    with override_settings(ROOT_URLCONF=__name__):
        assert (
            cost(client, f"/each/?rows={MANY}") - cost(client, f"/each/?rows={FEW}") == MANY - FEW
        )
