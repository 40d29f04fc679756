"""The look-up and the keepers' pages of the checklist, through the client."""

from typing import Any

import pytest
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from society.members.models import Account
from society.names.models import Taxon
from tests.make import make_account, make_host, make_society, make_taxon

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper() -> Account:
    make_society()
    return make_account("Ida Keeper", is_keeper=True)


@pytest.fixture
def signed_in(client: Client, keeper: Account) -> Client:
    client.force_login(keeper)
    return client


def posted(**over: Any) -> dict[str, Any]:
    return {
        "scientific_name": "Russula inventa",
        "rank": "species",
        "group": "fungus",
        "form": "agaric",
        "needs": "eye",
        "english": "Moss Brittlegill\nBog Brittlegill",
        "substrates": ["moss", "soil"],
        "hosts": "Betula, Picea",
        "month_from": "8",
        "month_to": "11",
        **over,
    }


def test_a_guest_looks_names_up_and_only_the_browser_keeps_the_answer(client: Client) -> None:
    make_taxon("Amanita virosa", danger="deadly")
    answer = client.get("/names/lookup/", {"q": "viro", "groups": "fungus"})
    assert answer.status_code == 200
    assert answer["Content-Type"] == "application/json"
    assert set(answer["Cache-Control"].split(", ")) == {"max-age=60", "private"}
    (row,) = answer.json()["results"]
    assert (row["name"], row["danger"], row["form"]) == ("Amanita virosa", "deadly", "agaric")


def test_the_look_up_parts_fungi_from_hosts(client: Client) -> None:
    make_taxon("Betulina inventa")
    make_host("Betula pendula")

    def found(**query: str) -> list[str]:
        return [
            row["name"]
            for row in client.get("/names/lookup/", {"q": "betul", **query}).json()["results"]
        ]

    assert found(groups="fungus") == ["Betulina inventa"]
    assert found(groups="hosts") == ["Betula pendula"]
    assert sorted(found()) == ["Betula pendula", "Betulina inventa"]
    refused = client.get("/names/lookup/", {"q": "betul", "groups": "people"})
    assert refused.status_code == 400
    assert refused.json()["message"]


@pytest.mark.parametrize(
    "text",
    ["", "b", "\x00\x00", "b" * 10_000, "<script>", "'; --", "%%", "𝔅𝔢"],
    ids=["nothing", "letter", "nul", "long", "markup", "quotes", "wildcards", "other_letters"],
)
def test_the_look_up_answers_any_text(client: Client, text: str) -> None:
    make_taxon("Russula inventa")
    answer = client.get("/names/lookup/", {"q": text})
    assert answer.status_code == 200
    assert answer.json() == {"results": []}


def test_the_look_up_is_only_read(client: Client) -> None:
    assert client.post("/names/lookup/", {"q": "am"}).status_code == 405


@pytest.mark.parametrize("path", ["/keeper/names/", "/keeper/names/new/", "/keeper/names/{pk}/"])
def test_the_checklist_is_the_keepers(client: Client, path: str) -> None:
    make_society()
    taxon = make_taxon()
    path = path.format(pk=taxon.pk)
    assert client.get(path).status_code == 302
    client.force_login(make_account("Organiser", is_organiser=True))
    assert client.get(path).status_code == 403
    assert client.post(path, posted()).status_code in (403, 405)
    assert Taxon.objects.count() == 1


def test_the_checklist_shows_where_names_lead_what_is_dangerous_and_what_is_in_doubt(
    signed_in: Client,
) -> None:
    accepted = make_taxon("Amanita virosa", danger="deadly", english="Destroying Angel")
    make_taxon("Agaricus virosus", accepted=accepted, is_doubtful=True)
    page = signed_in.get("/keeper/names/").content.decode()
    assert "<i>Agaricus virosus</i>" in page
    assert "leads to" in page
    assert "Destroying Angel" in page
    assert "deadly" in page
    assert "in doubt" in page
    page = signed_in.get("/keeper/names/", {"doubt": "on"}).content.decode()
    assert "Agaricus virosus" in page
    assert "Destroying Angel" not in page
    page = signed_in.get("/keeper/names/", {"q": "angel", "kind": "nonsense"}).content.decode()
    assert "Amanita virosa" in page
    assert "Agaricus virosus" not in page
    assert "No such name" in signed_in.get("/keeper/names/", {"q": "zzz"}).content.decode()


def test_the_checklist_is_paged_and_costs_the_same_for_any_length(
    signed_in: Client, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    for number in range(60):
        make_taxon(f"Russula numera{number}", english=f"Numbered {number}")
    with django_assert_max_num_queries(10):
        page = signed_in.get("/keeper/names/", {"q": "russula"}).content.decode()
    assert page.count('<th scope="row">') == 50
    assert "Page 1 of 2" in page
    assert "?q=russula&amp;page=2" in page
    last = signed_in.get("/keeper/names/", {"q": "russula", "page": "99"}).content.decode()
    assert last.count('<th scope="row">') == 10


def test_a_keeper_adds_a_name_and_edits_it(signed_in: Client) -> None:
    answer = signed_in.post("/keeper/names/new/", posted(), follow=True)
    taxon = Taxon.objects.get()
    assert answer.redirect_chain == [(f"/keeper/names/{taxon.pk}/", 302)]
    assert (taxon.genus, taxon.hosts, taxon.month_to) == ("Russula", ["Betula", "Picea"], 11)
    assert taxon.substrates == ["moss", "soil"]
    page = answer.content.decode()
    assert "Moss Brittlegill\nBog Brittlegill</textarea>" in page
    assert 'value="Betula, Picea"' in page
    signed_in.post(
        f"/keeper/names/{taxon.pk}/", posted(danger="deadly", sensitivity="2", english="")
    )
    taxon.refresh_from_db()
    assert (taxon.danger, taxon.sensitivity) == ("deadly", 2)
    assert not taxon.vernacular_names.exists()


def test_an_unchanged_form_changes_nothing(signed_in: Client) -> None:
    from society.core.models import Change

    signed_in.post("/keeper/names/new/", posted())
    taxon = Taxon.objects.get()
    form = signed_in.get(f"/keeper/names/{taxon.pk}/").context["form"]
    data = {name: value for name, value in form.initial.items() if value not in (None, False)}
    changes = Change.objects.count()
    assert signed_in.post(f"/keeper/names/{taxon.pk}/", data).status_code == 302
    assert Change.objects.count() == changes


def test_the_name_to_add_may_come_with_the_address(signed_in: Client) -> None:
    page = signed_in.get("/keeper/names/new/", {"name": "Russula <b>nova"}).content.decode()
    assert 'value="Russula &lt;b&gt;nova"' in page


def test_what_is_refused_stands_beside_its_field_and_nothing_typed_is_lost(
    signed_in: Client,
) -> None:
    make_taxon("Russula inventa")
    answer = signed_in.post("/keeper/names/new/", posted(genus="Lactarius", source="a book"))
    assert list(answer.context["form"].errors) == ["genus"]
    assert 'value="a book"' in answer.content.decode()
    answer = signed_in.post("/keeper/names/new/", posted(english="Good\n<b>"))
    assert list(answer.context["form"].errors) == ["scientific_name"]
    answer = signed_in.post(
        "/keeper/names/new/", posted(scientific_name="Russula nova", english="Good\n<b>")
    )
    assert list(answer.context["form"].errors) == ["english"]
    answer = signed_in.post("/keeper/names/new/", posted(scientific_name="x" * 10_000))
    assert list(answer.context["form"].errors) == ["scientific_name"]
    assert Taxon.objects.count() == 1


def test_the_accepted_name_is_chosen_from_the_look_up_or_written_out(signed_in: Client) -> None:
    accepted = make_taxon("Russula acceptabilis", english="Chosen Brittlegill")
    other = make_taxon("Russula altera")
    synonym = make_taxon("Russula vetus", accepted=accepted)
    path = "/keeper/names/new/"
    signed_in.post(path, posted(accepted="Russula acceptabilis", accepted_key=accepted.pk))
    assert Taxon.objects.get(folded="russula inventa").accepted == accepted
    # Words edited after the choice leave the choice behind.
    signed_in.post(
        path,
        posted(
            scientific_name="Russula secunda", accepted="Russula altera", accepted_key=accepted.pk
        ),
    )
    assert Taxon.objects.get(folded="russula secunda").accepted == other
    answer = signed_in.post(
        path,
        posted(scientific_name="Russula tertia", accepted="Russula vetus", accepted_key=synonym.pk),
    )
    assert "Choose the name it leads to" in str(answer.context["form"].errors["accepted"])
    answer = signed_in.post(
        path, posted(scientific_name="Russula tertia", accepted="Nullus nullus")
    )
    assert "holds no such name" in str(answer.context["form"].errors["accepted"])
    assert not Taxon.objects.filter(folded="russula tertia").exists()


def test_a_names_page_shows_its_synonyms_and_where_it_leads(signed_in: Client) -> None:
    accepted = make_taxon("Russula acceptabilis")
    synonym = make_taxon("Russula vetus", accepted=accepted, is_misapplied=True)
    page = signed_in.get(f"/keeper/names/{accepted.pk}/").content.decode()
    assert f'href="/keeper/names/{synonym.pk}/"' in page
    assert "(misapplied)" in page
    page = signed_in.get(f"/keeper/names/{synonym.pk}/").content.decode()
    assert "meant was" in page
    assert f'href="/keeper/names/{accepted.pk}/"' in page
    assert signed_in.get("/keeper/names/999999/").status_code == 404
