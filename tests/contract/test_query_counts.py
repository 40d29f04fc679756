"""A page asks the database as often for fifty rows as for five."""

from django.db import connection
from django.http import HttpRequest, HttpResponse
from django.test import Client, override_settings
from django.test.utils import CaptureQueriesContext
from django.urls import path

from society.finds.models import Find
from tests.cast import Cast
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
    *(("kay", page) for page in ("/keeper/names/checklist.csv", "/keeper/characters/")),
)
Costs = dict[tuple[str, str], int]


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


def costs(growing: Growing, readers: dict[str, Client]) -> Costs:
    return {page: cost(readers[page[0]], address(growing, page[1])) for page in PAGES}


def test_a_page_asks_as_often_for_fifty_rows_as_for_five(db: None):
    """One test, since to grow a society takes longer than to ask for all its pages."""
    growing = Growing()
    readers = {"guest": Client()}
    for name in ("ann", "carl", "kay"):
        readers[name] = Client()
        readers[name].force_login(getattr(growing, name))
    growing.grow_to(FEW)
    few = costs(growing, readers)
    growing.grow_to(MANY)
    many = costs(growing, readers)
    assert many == few
    assert {page: asked for page, asked in many.items() if asked > MOST} == {}
    rows_are_shown(growing, readers)


def rows_are_shown(growing: Growing, readers: dict[str, Client]) -> None:
    """Fifty rows that no page shows would prove nothing."""
    ann, carl = readers["ann"], readers["carl"]
    assert Find.objects.count() == 1 + MANY * 4
    assert ann.get("/sites/").content.count(b"Grown Wood") >= MANY
    assert ann.get("/lists/species/").content.count(b"crescens") >= MANY
    assert ann.get("/logbook/").content.count(b"/finds/") >= 50
    assert ann.get(address(growing, "{find}")).content.count(b"Remark") >= MANY
    assert body_of(ann.get("/finds.csv")).count(b"crescens") >= MANY
    assert carl.get("/desk/?whose=all").content.count(b"/finds/") >= 20


def asks_for_each_row(request: HttpRequest) -> HttpResponse:
    names = [find.site.name for find in Find.objects.order_by("pk")[: int(request.GET["rows"])]]
    return HttpResponse(", ".join(names))


urlpatterns = [path("each/", asks_for_each_row)]


def test_a_page_that_asks_for_each_row_is_found_out(cast: Cast):
    client = Client()
    client.force_login(cast.ann)
    with override_settings(ROOT_URLCONF=__name__):
        assert cost(client, "/each/?rows=5") - cost(client, "/each/?rows=2") == 3
