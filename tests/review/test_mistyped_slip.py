"""A slip whose name the checklist does not hold comes back once, with what it may mean."""

import re
from typing import Any

import pytest
from django.utils.html import escape

from society.finds.models import DeterminationSlip, Find
from society.members.models import Account
from society.names.models import Taxon
from society.names.services import stamp_raise
from tests.make import make_find, make_society, make_taxon
from tests.review.desk import client_of, lay, text_of

pytestmark = pytest.mark.django_db

ASKED = "The checklist does not hold this name. Did you mean one of those below?"
SEVERAL = "These words may mean more than one name of the checklist. Which do you mean?"


@pytest.fixture(autouse=True)
def _society() -> None:
    make_society()


@pytest.fixture
def find(ann: Account, milkcap: Taxon) -> Find:
    make_taxon("Amanita phalloides", danger="deadly", english="Death Cap")
    make_taxon("Amanita citrina")
    make_taxon("Lactarius volemus", accepted=make_taxon("Lactifluus volemus"))
    stamp_raise()
    return make_find(ann)


def slips_of(find: Find) -> list[DeterminationSlip]:
    return list(find.slips.order_by("pk"))


def sent_again(answer: Any, **over: str) -> dict[str, str]:
    """Return what a browser sends of the form as it came back, without the prefix."""
    page = next(part for part in answer.content.decode().split("<form") if "/slips/" in part)
    sent: dict[str, str] = {}
    for tag in re.findall(r"<input[^>]*>", page):
        name = re.search(r'name="slip-([a-z_]+)"', tag)
        value = re.search(r'value="([^"]*)"', tag)
        if name and ('type="radio"' not in tag or "checked" in tag):
            sent[name[1]] = value[1] if value else ""
    remarks = re.search(r'<textarea name="slip-remarks"[^>]*>\s*([^<]*)<', page)
    assert remarks is not None
    for select in re.findall(r'<select name="slip-([a-z]+)".*?</select>', page, re.DOTALL):
        chosen = re.search(
            rf'<select name="slip-{select}".*?<option value="([^"]*)" selected', page, re.DOTALL
        )
        sent[select] = chosen[1] if chosen else ""
    return {**sent, "remarks": remarks[1].strip(), **over}


def test_a_mistyped_name_is_asked_about_and_nothing_typed_is_lost(
    ann: Account, find: Find, milkcap: Taxon
) -> None:
    fields = {"remarks": "Milk turned wine-red.", "literature": "Key A, 12", "basis": "microscope"}
    answer = lay(client_of(ann), find, "Lactarius deterimus", **fields)
    assert answer.status_code == 422
    assert slips_of(find) == []
    page = text_of(answer)
    assert ASKED in page
    assert "Did you mean" in page
    assert "False Saffron Milkcap" in page
    assert "or keep it as written: Lactarius deterimus" in page
    again = sent_again(answer)
    assert {name: again[name] for name in fields} == fields
    assert (again["name"], again["candidate"]) == ("Lactarius deterimus", "")


def test_sent_again_it_is_kept_as_written(ann: Account, find: Find) -> None:
    client = client_of(ann)
    again = sent_again(lay(client, find, "Lactarius deterimus", remarks="As I read it."))
    assert lay(client, find, **again).status_code == 302
    (slip,) = slips_of(find)
    assert (slip.name_written, slip.taxon) == ("Lactarius deterimus", None)
    assert slip.remarks == "As I read it."


def test_a_candidate_taken_is_the_slips_name_and_the_doubt_stays(
    ann: Account, find: Find, milkcap: Taxon
) -> None:
    client = client_of(ann)
    again = sent_again(
        lay(client, find, "Lactarius cf. deterimus", basis="microscope"), candidate=str(milkcap.pk)
    )
    assert lay(client, find, **again).status_code == 302
    (slip,) = slips_of(find)
    assert (slip.name_written, slip.taxon) == ("Lactarius deterrimus", milkcap)
    assert (slip.qualifier, slip.basis) == ("cf.", "microscope")


def test_another_name_written_then_is_read_anew(ann: Account, find: Find, milkcap: Taxon) -> None:
    client = client_of(ann)
    first = lay(client, find, "Lactarius deterimus")
    again = sent_again(first, name="Amanita citrinna", candidate=str(milkcap.pk))
    second = lay(client, find, **again)
    assert second.status_code == 422
    assert "or keep it as written: Amanita citrinna" in text_of(second)
    right = sent_again(first, name="Amanita citrina")
    assert lay(client, find, **right).status_code == 302
    assert [slip.name_written for slip in slips_of(find)] == ["Amanita citrina"]


def test_only_what_was_offered_can_be_taken(ann: Account, find: Find) -> None:
    client = client_of(ann)
    deadly = Taxon.objects.get(scientific_name="Amanita phalloides")
    again = sent_again(lay(client, find, "Lactarius deterimus"), candidate=str(deadly.pk))
    assert lay(client, find, **again).status_code == 302
    (slip,) = slips_of(find)
    assert (slip.name_written, slip.taxon) == ("Lactarius deterimus", None)


def test_a_dangerous_species_is_never_offered_without_its_danger(ann: Account, find: Find) -> None:
    page = text_of(lay(client_of(ann), find, "Amanita faloides"))
    offered = page[page.index("Did you mean</legend>") :]
    line = offered[offered.index("<i>Amanita phalloides</i>") :].split("</label>")[0]
    assert '<span class="danger">deadly' in line


def test_several_names_are_all_offered(ann: Account, find: Find) -> None:
    page = text_of(lay(client_of(ann), find, "Amanita citrina / A. phalloides"))
    assert SEVERAL in page
    offered = page[page.index("Did you mean</legend>") :]
    assert "<i>Amanita citrina</i>" in offered
    assert "<i>Amanita phalloides</i>" in offered


@pytest.mark.parametrize(
    "name",
    [
        "Lactarius deterrimus",
        "false saffron milk cap",
        "Lactarius volemus",
        "Qqqq zzzz",
        "small brown one",
    ],
)
def test_a_name_held_and_one_near_nothing_is_laid_at_once(
    ann: Account, find: Find, name: str
) -> None:
    assert lay(client_of(ann), find, name).status_code == 302
    assert [slip.name_written for slip in slips_of(find)] == [name]


def test_what_was_typed_is_shown_as_text(ann: Account, find: Find) -> None:
    name = "Lactarius deterimus & co"
    answer = lay(client_of(ann), find, name)
    assert answer.status_code == 422
    assert f"or keep it as written: {escape(name)}" in text_of(answer)
