"""What reads of the checklist answer, and what they cost."""

import pytest
from pytest_django import DjangoAssertNumQueries

from society.names.queries import checklist_rows, checklist_shown, look_up, name_index, names_found
from society.names.services import stamp_raise
from tests.make import make_host, make_taxon

pytestmark = pytest.mark.django_db


def test_a_look_up_answers_everything_the_script_needs() -> None:
    taxon = make_taxon(
        "Amanita virosa", authorship="Bertill.", english="Destroying Angel", danger="deadly"
    )
    (answer,) = look_up("viros")
    assert answer == {
        "key": taxon.pk,
        "name": "Amanita virosa",
        "parts": [("Amanita virosa", True), (" Bertill.", False)],
        "via": "",
        "english": "Destroying Angel",
        "accepted": "",
        "danger": "deadly",
        "form": "agaric",
        "group": "fungus",
    }


def test_a_synonym_says_where_it_leads_and_warns_with_the_accepted_name() -> None:
    accepted = make_taxon("Amanita phalloides", danger="deadly", english="Death Cap")
    synonym = make_taxon("Agaricus phalloides", accepted=accepted)
    (answer,) = look_up("agaricus phall")
    assert (answer["key"], answer["accepted"]) == (synonym.pk, "Amanita phalloides")
    assert (answer["danger"], answer["english"]) == ("deadly", "Death Cap")


def test_the_english_name_that_was_typed_is_the_one_answered() -> None:
    taxon = make_taxon("Boletus edulis", english="Cep")
    taxon.vernacular_names.create(name="Penny Bun", folded="penny bun")
    stamp_raise()
    (answer,) = look_up("penny")
    assert (answer["english"], answer["via"]) == ("Penny Bun", "Penny Bun")
    (answer,) = look_up("boletus")
    assert (answer["english"], answer["via"]) == ("Cep", "")


def test_one_letter_and_blanks_find_nothing() -> None:
    make_taxon("Amanita virosa")
    assert [look_up(text) for text in ("", " ", "a", "a ", "!!")] == [[], [], [], [], []]
    assert len(look_up("am")) == 1


def test_fungi_and_hosts_are_looked_up_apart() -> None:
    make_taxon("Betulina inventa")
    make_host("Betula pendula")
    groups = ("tree", "shrub")
    assert [row.name for row in names_found("betul", groups=groups)] == ["Betula pendula"]
    assert [row.name for row in names_found("betul", groups=("fungus",))] == ["Betulina inventa"]
    assert len(names_found("betul")) == 2


def test_a_look_up_costs_three_queries_however_many_names_there_are(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    for number in range(12):
        make_taxon(f"Russula numera{'abcdefghijkl'[number]}", english=f"Numbered {number}")
    name_index()
    with django_assert_num_queries(3):
        assert len(look_up("russula")) == 12
    with django_assert_num_queries(3):
        assert len(look_up("numbered 1")) > 0


def test_the_checklist_is_searched_by_every_name_whatever_its_capitals_and_accents() -> None:
    one = make_taxon("Russula queletii", english="Fruity Brittlegill")
    two = make_taxon("Russula drimeia", accepted=one)
    make_taxon("Lactarius deterrimus", is_doubtful=True)
    assert list(checklist_rows("QUÉLET")) == [one]
    assert list(checklist_rows("fruity")) == [one]
    assert list(checklist_rows("russula")) == [two, one]
    assert list(checklist_rows("russula", kind="synonyms")) == [two]
    assert list(checklist_rows("russula", kind="accepted")) == [one]
    assert [str(row) for row in checklist_rows(doubt=True)] == ["Lactarius deterrimus"]
    assert list(checklist_rows("%")) == []
    assert list(checklist_rows(group="tree")) == []


def test_the_rows_shown_cost_two_queries_for_five_and_for_fifty(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    accepted = make_taxon("Russula prima")
    for number in range(50):
        make_taxon(f"Russula numera{number}", accepted=accepted)
    for most in (5, 50):
        with django_assert_num_queries(2):
            assert len(checklist_shown(checklist_rows()[:most])) == most
