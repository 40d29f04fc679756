"""The keepers' pages that change names, lists, accounts and the vocabulary, through the client."""

from decimal import Decimal
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from society.core.models import Change, Job
from society.core.tasks import run_next
from society.names.models import (
    Account,
    AccountReading,
    Character,
    CharacterState,
    ChecklistFile,
    ListedStatus,
    Taxon,
    TaxonSplit,
)
from society.names.queries import accounts_of, listed_statuses, splits_of
from tests.make import make_account, make_find, make_referee, make_society, make_taxon

pytestmark = pytest.mark.django_db


@pytest.fixture
def signed_in(client: Client) -> Client:
    make_society()
    client.force_login(make_account("Ida Keeper", is_keeper=True))
    return client


@pytest.fixture
def milk() -> Character:
    made = Character.objects.create(
        code="milk_colour", part="milk", name="colour of the milk", forms=["agaric"], position=1
    )
    for number, state in enumerate(("white", "orange")):
        CharacterState.objects.create(character=made, code=state, name=state, position=number)
    return made


def page(client: Client, path: str, **data: str) -> str:
    answer = client.get(path, data)
    assert answer.status_code == 200
    return answer.content.decode()


def test_merging_is_shown_before_it_is_done_and_can_be_undone_on_the_names_page(
    signed_in: Client,
) -> None:
    one = make_taxon("Lactarius primus", english="First Milkcap")
    other = make_taxon("Lactarius alter", danger="illness")
    make_taxon("Agaricus primus", accepted=one)
    make_find(taxon=one)
    path = f"/keeper/names/{one.pk}/"
    assert f'href="{path}merge/"' in page(signed_in, path)
    assert "Nothing is written yet" not in page(signed_in, f"{path}merge/")
    shown = page(signed_in, f"{path}merge/", into="Lactarius alter")
    assert "1 find will read as" in shown
    assert "causes illness" in shown
    assert "Merge the two" in shown
    assert not Change.objects.filter(verb="name.merged").exists()
    answer = signed_in.post(f"{path}merge/", {"into": "Lactarius alter", "into_key": other.pk})
    assert answer["Location"] == path
    one.refresh_from_db()
    assert one.accepted == other
    assert "Part again" in page(signed_in, path)
    signed_in.post(f"{path}part/")
    one.refresh_from_db()
    assert one.accepted is None
    assert "Part again" not in page(signed_in, path)
    again = signed_in.post(f"{path}part/", follow=True).content.decode()
    assert "was not merged with another" in again


def test_a_merging_that_would_lose_a_danger_is_refused_on_its_page(signed_in: Client) -> None:
    one, other = make_taxon(danger="deadly"), make_taxon("Lactarius alter")
    answer = signed_in.post(f"/keeper/names/{one.pk}/merge/", {"into": "Lactarius alter"})
    assert "Raise its danger first" in answer.content.decode()
    one.refresh_from_db()
    assert one.accepted != other
    answer = signed_in.post(f"/keeper/names/{one.pk}/merge/", {"into": "Nullus nullus"})
    assert list(answer.context["form"].errors) == ["into"]


@pytest.mark.parametrize(
    ("values", "other", "why"),
    [
        ({}, "Lactarius primus", "A name is no synonym of itself."),
        ({"danger": "deadly"}, "Lactarius alter", "Raise its danger first."),
        ({"sensitivity": 1}, "Lactarius alter", "Raise its sensitivity first."),
        ({"no_lifting": True}, "Lactarius alter", "Say so there first."),
    ],
)
def test_a_merging_that_would_be_refused_is_not_offered_and_the_preview_says_why(
    signed_in: Client, values: dict[str, Any], other: str, why: str
) -> None:
    one = make_taxon("Lactarius primus", **values)
    make_taxon("Lactarius alter")
    shown = page(signed_in, f"/keeper/names/{one.pk}/merge/", into=other)
    assert why in shown
    assert "Merge the two" not in shown
    assert "Nothing is written yet" not in shown
    one.refresh_from_db()
    assert one.accepted is None
    assert not Change.objects.filter(verb="name.merged").exists()


def test_a_name_is_moved_on_its_page_and_its_finds_read_the_new_name(signed_in: Client) -> None:
    taxon = make_taxon("Lactarius volemus")
    find = make_find(taxon=taxon)
    path = f"/keeper/names/{taxon.pk}/move/"
    assert "1 find keeps its words" in page(signed_in, path)
    signed_in.post(path, {"scientific_name": "Lactifluus volemus", "authorship": "(Fr.) Kuntze"})
    slip = find.slips.select_related("taxon").get()
    assert slip.taxon is not None
    assert (slip.name_written, str(slip.taxon)) == ("Lactarius volemus", "Lactifluus volemus")
    refused = signed_in.post(path, {"scientific_name": "Lactifluus volemus"})
    assert list(refused.context["form"].errors) == ["scientific_name"]


def test_a_split_is_stated_with_names_written_out_and_taken_back(signed_in: Client) -> None:
    taxon, part = make_taxon("Armillaria mellea"), make_taxon("Armillaria gallica")
    path = f"/keeper/names/{taxon.pk}/split/"
    data = {"day": "2020-05-01", "source": "a revision"}
    answer = signed_in.post(path, {**data, "into": "Armillaria mellea\nNullus nullus\n"})
    assert "Nullus nullus" in str(answer.context["form"].errors["into"])
    signed_in.post(path, {**data, "into": "Armillaria mellea\n\n Armillaria gallica \n"})
    (shown,) = splits_of([taxon.pk])[taxon.pk]
    assert shown.into == (part, taxon)
    assert "1 May 2020" in page(signed_in, path)
    assert "1 May 2020" in page(signed_in, f"/keeper/names/{taxon.pk}/")
    signed_in.post(f"/keeper/names/splits/{shown.split_id}/end/")
    assert not TaxonSplit.objects.exists()


def test_a_part_that_was_merged_since_reads_as_its_accepted_name(signed_in: Client) -> None:
    taxon, part, later = make_taxon(), make_taxon(), make_taxon()
    split = TaxonSplit.objects.create(taxon=taxon, day="2020-05-01", source="a")
    split.into.add(part)
    Taxon.objects.filter(pk=part.pk).update(accepted=later)
    assert splits_of([taxon.pk])[taxon.pk][0].into == (later,)


def test_entries_of_lists_are_added_changed_and_removed_and_read_under_any_name(
    signed_in: Client,
) -> None:
    taxon = make_taxon("Hericium coralloides")
    synonym = make_taxon("Hydnum coralloides", accepted=taxon)
    entry = {
        "kind": "red_list",
        "area": "Great Britain",
        "edition": "Invented List",
        "year": "2021",
        "says": "vulnerable",
    }
    path = f"/keeper/names/{synonym.pk}/lists/"
    signed_in.post(path, entry)
    (shown,) = listed_statuses([taxon.pk])[taxon.pk]
    assert (shown.says, shown.under, shown.kind_words) == (
        "vulnerable",
        "Hydnum coralloides",
        "red list",
    )
    assert "vulnerable" in page(signed_in, f"/keeper/names/{taxon.pk}/")
    again = signed_in.post(path, entry)
    assert "already has an entry" in again.content.decode()
    one = f"/keeper/names/lists/{shown.status_id}/"
    assert 'value="vulnerable"' in page(signed_in, one)
    signed_in.post(one, {**entry, "says": "endangered"})
    assert ListedStatus.objects.get().says == "endangered"
    assert list(signed_in.post(one, {**entry, "year": "21"}).context["form"].errors) == ["year"]
    signed_in.post(f"{one}remove/")
    assert not ListedStatus.objects.exists()


def test_the_page_of_a_file_warns_of_a_move_out_of_a_referees_scope(signed_in: Client) -> None:
    make_referee("Ruth", "order", "Russulales")
    make_taxon("Russula emetica", family="Russulaceae", order="Russulales")
    content = b"scientificName,order\nRussula emetica,Agaricales\n"
    sent = {"kind": "taxa", "file": SimpleUploadedFile("moved.csv", content)}
    shown = page(signed_in, signed_in.post("/keeper/names/files/", sent)["Location"])
    assert shown.count("oves it out of the order Russulales, a referee&#x27;s scope") == 2


def test_the_page_of_a_file_of_entries_shows_what_each_would_say(signed_in: Client) -> None:
    make_taxon("Russula emetica")
    content = b"name,kind,area,edition,year,says\nRussula emetica,law,Wales,An Act,1981,protected\n"
    sent = {"kind": "lists", "file": SimpleUploadedFile("acts.csv", content)}
    shown = page(signed_in, signed_in.post("/keeper/names/files/", sent)["Location"])
    assert "legal protection, Wales (An Act, 1981): protected" in shown


def test_a_file_is_sent_looked_at_and_taken_over_by_a_worker(
    signed_in: Client, django_capture_on_commit_callbacks: Any
) -> None:
    content = "scientificName,colour\nRussula betularum Hora,pink\nrussula,\n".encode("cp1252")
    answer = signed_in.post(
        "/keeper/names/files/",
        {"kind": "taxa", "file": SimpleUploadedFile("larger.csv", content)},
    )
    file = ChecklistFile.objects.get()
    path = f"/keeper/names/files/{file.pk}/"
    assert answer["Location"] == path
    shown = page(signed_in, path)
    assert "Russula betularum" in shown
    assert "no scientific name that begins with a capital" in shown
    assert "colour" in shown
    assert not Taxon.objects.exists()
    signed_in.post(f"{path}take/")
    assert "Being taken over" in page(signed_in, path)
    Job.objects.exclude(kind="names.take_over").delete()
    assert run_next("a worker")
    assert Job.objects.get(kind="names.take_over").progress_done == 1
    assert "1 new, 0 changed" in page(signed_in, path)
    assert Taxon.objects.get().authorship == "Hora"
    with django_capture_on_commit_callbacks(execute=True):
        signed_in.post(f"{path}drop/")
    assert signed_in.get(path).status_code == 404


def test_lines_may_be_pasted_and_what_cannot_be_read_is_said_beside_its_field(
    signed_in: Client,
) -> None:
    path = "/keeper/names/files/"
    signed_in.post(path, {"kind": "taxa", "pasted": "scientificName\nRussula betularum\n"})
    assert ChecklistFile.objects.get().report["counts"]["new"] == 1
    for data, words in (
        ({"kind": "taxa"}, "Choose a file"),
        ({"kind": "taxa", "pasted": "name\nx"}, "A column is missing: scientificName."),
        ({"kind": "lists", "pasted": "name\nx"}, "A column is missing: kind"),
        ({"kind": "taxa", "file": SimpleUploadedFile("a.csv", b"")}, "The file is empty."),
        ({"kind": "taxa", "file": SimpleUploadedFile("a.xlsx", b"PK\x03\x04")}, "Save it as CSV"),
    ):
        answer = signed_in.post(path, data)
        assert list(answer.context["form"].errors) == ["file"]
        assert words in answer.content.decode()
    assert ChecklistFile.objects.count() == 1


def test_the_account_is_read_and_changed_one_thing_at_a_time_with_its_history(
    signed_in: Client, milk: Character
) -> None:
    taxon = make_taxon("Lactarius inventus")
    path = f"/keeper/names/{taxon.pk}/account/"
    shown = page(signed_in, path)
    assert "There is none yet" in shown
    assert "colour of the milk" in shown
    assert not Account.objects.exists()
    states = f"{path}characters/milk_colour/"
    signed_in.post(states, {"usual-orange": "usually", "usual-white": "", "source": "a book"})
    held = accounts_of([taxon.pk])[taxon.pk]
    assert held.states == {"milk_colour": {"orange": "usually"}}
    assert '<option value="usually" selected>' in page(signed_in, states)
    assert list(signed_in.post(states, {"usual-orange": "mostly"}).context["form"].errors) == [
        "source",
        "usual-orange",
    ]
    signed_in.post(states, {"usual-orange": "always", "source": "find 2026/3"})
    signed_in.post(
        f"{path}readings/new/",
        {
            "exposed": "milk",
            "minute_from": "5",
            "minute_to": "30",
            "usual-wine": "usually",
            "source": "a book",
        },
    )
    reading = AccountReading.objects.get()
    # What a reading is known by does not change with its colours.
    signed_in.post(
        f"{path}readings/{reading.pk}/",
        {
            "exposed": "flesh",
            "minute_from": "9",
            "minute_to": "45",
            "usual-wine": "always",
            "source": "a book",
        },
    )
    reading = AccountReading.objects.get()
    assert (reading.exposed, reading.minute_from, reading.minute_to, reading.usual) == (
        "milk",
        Decimal(5),
        Decimal(45),
        "always",
    )
    sizes = {"length_from": "7", "length_to": "9", "width_from": "6", "width_to": "7"}
    signed_in.post(f"{path}spores/", {**sizes, "source": "a book"})
    signed_in.post(path, {"sources": "a book; another", "is_doubtful": "on"})
    shown = page(signed_in, path)
    for words in (
        "Version 7.",
        "orange <span",
        "7–9 × 6–7 µm",
        "orange usually",
        "Ida Keeper",
        'value="a book; another"',
    ):
        assert words in shown, words
    signed_in.post(f"{path}spores/drop/")
    signed_in.post(states, {"usual-orange": "", "source": "a book"})
    held = accounts_of([taxon.pk])[taxon.pk]
    assert (held.spores, held.states) == (None, {})
    assert signed_in.get(f"{path}readings/999/").status_code == 404
    assert signed_in.get(f"{path}characters/nothing/").status_code == 404


def test_the_page_of_an_account_costs_the_same_for_any_account(
    signed_in: Client, milk: Character, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    taxon = make_taxon()
    for number in range(30):
        made = Character.objects.create(
            code=f"c{number}", part="cap", name=f"c{number}", forms=["all"]
        )
        CharacterState.objects.create(character=made, code="one", name="one")
        signed_in.post(
            f"/keeper/names/{taxon.pk}/account/characters/c{number}/",
            {"usual-one": "always", "source": "a book"},
        )
    with django_assert_max_num_queries(16):
        shown = page(signed_in, f"/keeper/names/{taxon.pk}/account/")
    assert shown.count("always") >= 30


def test_characters_and_states_are_added_and_their_words_mended(
    signed_in: Client, milk: Character
) -> None:
    assert "colour of the milk" in page(signed_in, "/keeper/characters/")
    answer = signed_in.post(
        "/keeper/characters/new/",
        {
            "name": "Gill veins",
            "part": "gills",
            "forms_meant": ["agaric"],
            "cost": "at_once",
            "states": "none\njoined by veins",
        },
    )
    path = "/keeper/characters/gill_veins/"
    assert answer["Location"] == path
    signed_in.post(path, {"name": "veins of the gills", "sentence": "Low veins between them."})
    signed_in.post(f"{path}states/", {"state-name": "forked"})
    refused = signed_in.post(f"{path}states/", {"state-name": "Forked"})
    assert "already" in refused.content.decode()
    state = CharacterState.objects.get(code="forked")
    signed_in.post(
        f"/keeper/characters/states/{state.pk}/",
        {"state-name": "forked ones", "state-sentence": "Each gill in two."},
    )
    shown = page(signed_in, path)
    for words in ("veins of the gills", "joined by veins", "forked ones", "Each gill in two."):
        assert words in shown
    refused = signed_in.post(
        "/keeper/characters/new/",
        {
            "name": "Another",
            "part": "gills",
            "forms_meant": ["all"],
            "cost": "at_once",
            "states": "a",
        },
    )
    assert list(refused.context["form"].errors) == ["states"]
