"""The checklist's writes: loading its files, adding and editing names."""

import csv
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.exceptions import ValidationError
from django.core.management import call_command

from society.core.errors import NotPermitted, Refused
from society.core.models import Change, FieldVersion
from society.core.signals import names_changed
from society.names.models import (
    Character,
    CharacterState,
    LookAlike,
    Taxon,
    VernacularName,
)
from society.names.queries import checklist_version, name_index
from society.names.services import DATA, checklist_load, taxon_add, taxon_edit
from tests.make import make_account, make_host, make_taxon, viewer

pytestmark = pytest.mark.django_db

FUNGI = (
    "scientific_name,authorship,rank,form,genus,family,order,english,trophic,hosts,substrate,"
    "months,needs,danger,danger_note,sensitivity,source,doubt"
)
CHANTERELLE = (
    "Cantharellus cibarius,Fr.,species,agaric,Cantharellus,Hydnaceae,Cantharellales,"
    "Golden Trumpet|Girolle,ectomycorrhizal,Betula|Quercus,soil|moss,7-11,eye,,,4,from memory,"
)
CAP = (
    "Amanita phalloides,(Fr.) Link,species,agaric,Amanita,Amanitaceae,Agaricales,"
    "Death Cap,ectomycorrhizal,Quercus,soil,8-11,eye,deadly,,,from memory,yes"
)


def files(folder: Path, **lines: str) -> Path:
    """Write a small checklist; ``lines`` replace a file's rows."""
    held = {
        "fungi_agarics": f"{FUNGI}\n{CAP}\n{CHANTERELLE}\n",
        "synonyms": (
            "synonym,authorship,accepted,kind,source\n"
            "Agaricus phalloides,Vaill. ex Fr.,Amanita phalloides,combination,from memory\n"
            "Agaricus virescens,auct.,Amanita phalloides,misapplied,from memory\n"
            "Egg Trumpet,,Cantharellus cibarius,english,from memory\n"
        ),
        "hosts": (
            "scientific_name,authorship,rank,group,family,english,source,doubt\n"
            "Betula,L.,genus,tree,Betulaceae,birch,from memory,\n"
        ),
        "look_alikes": (
            "name,other,separated_by,source,verified,thought_to_be_eaten\n"
            "Cantharellus cibarius,Agaricus phalloides,ridges against gills,from memory,no,yes\n"
        ),
        "characters": (
            "form,part,character,english,sentence,cost,states,cuts,order\n"
            "agaric,cap,cap_shape,cap shape,The outline.,at_once,flat=flat|bell=bell-shaped,no,10\n"
        ),
        **lines,
    }
    folder.mkdir(exist_ok=True)
    for name, text in held.items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    return folder


def everything() -> list[Any]:
    """Every row of the checklist but for the times of writing."""
    kinds = (Taxon, VernacularName, LookAlike, Character, CharacterState)
    return [
        [
            {name: value for name, value in row.items() if name not in ("created_at", "updated_at")}
            for row in kind.objects.order_by("pk").values()
        ]
        for kind in kinds
    ]


def keeper() -> Any:
    return viewer(make_account("Keeper", is_keeper=True))


def values(**over: Any) -> dict[str, Any]:
    return {"scientific_name": "Russula inventa", "form": "agaric", "family": "Russulaceae", **over}


def test_the_files_become_rows_with_all_they_say(tmp_path: Path) -> None:
    report = checklist_load(files(tmp_path / "data"))
    assert (report.names, report.synonyms, report.hosts) == (2, 2, 1)
    assert (report.english, report.look_alikes, report.characters) == (5, 1, 1)
    assert report.leading_nowhere == ()
    assert report.new_rows == 2 + 2 + 1 + 5 + 1 + 1 + 2
    taxon = Taxon.objects.get(scientific_name="Cantharellus cibarius")
    assert (taxon.hosts, taxon.substrates) == (["Betula", "Quercus"], ["soil", "moss"])
    assert (taxon.month_from, taxon.month_to, taxon.sensitivity) == (7, 11, 4)
    english = taxon.vernacular_names.values_list("name", "is_preferred")
    assert dict(english) == {"Golden Trumpet": True, "Girolle": False, "Egg Trumpet": False}
    deadly = Taxon.objects.get(scientific_name="Amanita phalloides")
    assert (deadly.danger, deadly.is_doubtful) == ("deadly", True)
    misapplied = Taxon.objects.get(scientific_name="Agaricus virescens")
    assert (misapplied.is_misapplied, misapplied.accepted) == (True, deadly)
    # A look-alike written with a synonym is held between the accepted names.
    pair = LookAlike.objects.get()
    assert (pair.taxon, pair.other, pair.in_poisonings) == (taxon, deadly, True)
    assert pair.separated_by.raw == "ridges against gills"
    assert Character.objects.get().states.count() == 2


def test_the_societys_own_files_load_twice_and_the_second_time_changes_nothing() -> None:
    first = checklist_load()
    before, version = everything(), checklist_version()
    again = checklist_load()
    assert everything() == before
    assert checklist_version() == version
    assert again.new_rows == 0
    assert first.new_rows == sum(len(rows) for rows in before)
    assert first.leading_nowhere == ()


def test_the_command_prints_the_numbers_of_the_files() -> None:
    def count(pattern: str) -> list[dict[str, str]]:
        rows: list[dict[str, str]] = []
        for file in DATA.glob(pattern):
            with file.open(encoding="utf-8", newline="") as lines:
                rows += csv.DictReader(lines)
        return rows

    out, err = StringIO(), StringIO()
    call_command("load_checklist", stdout=out, stderr=err)
    words = out.getvalue()
    others = count("synonyms.csv")
    english = sum(row["kind"] == "english" for row in others)
    for file in ("fungi_*.csv", "hosts.csv"):
        english += sum(len([n for n in row["english"].split("|") if n]) for row in count(file))
    scientific = sum(row["kind"] != "english" for row in others)
    assert f"{len(count('fungi_*.csv'))} names of fungi, {scientific} synonyms" in words
    assert f"{english} English names, {len(count('hosts.csv'))} hosts" in words
    assert f"{len(count('look_alikes.csv'))} look-alikes" in words
    assert f"{len(count('characters.csv'))} characters" in words
    assert err.getvalue() == ""
    held = Taxon.objects.count(), VernacularName.objects.count()
    assert held == (len(count("fungi_*.csv")) + scientific + len(count("hosts.csv")), english)


def test_a_row_that_leads_nowhere_is_left_out_and_told(tmp_path: Path) -> None:
    folder = files(
        tmp_path / "data",
        synonyms=(
            "synonym,authorship,accepted,kind,source\nAgaricus novus,,Nullus nullus,synonym,x\n"
        ),
    )
    report = checklist_load(folder)
    assert "Agaricus novus" in report.leading_nowhere
    assert not Taxon.objects.filter(scientific_name="Agaricus novus").exists()


def test_a_later_edition_of_the_files_adds_what_is_new(tmp_path: Path) -> None:
    checklist_load(files(tmp_path / "data"))
    row = CHANTERELLE.replace("Cantharellus cibarius", "Cantharellus pallens").replace(
        "Golden Trumpet|Girolle", "Frosted Trumpet"
    )
    renamed = CHANTERELLE.replace("Girolle", "Girolle|Yolk Trumpet")
    folder = files(tmp_path / "data", fungi_agarics=f"{FUNGI}\n{CAP}\n{renamed}\n{row}\n")
    assert checklist_load(folder).new_rows == 3
    taxon = Taxon.objects.get(scientific_name="Cantharellus cibarius")
    assert set(taxon.vernacular_names.values_list("name", flat=True)) >= {"Yolk Trumpet"}
    assert taxon.vernacular_names.filter(is_preferred=True).count() == 1


def test_what_a_keeper_has_changed_stays_when_the_files_are_loaded_again(tmp_path: Path) -> None:
    folder = files(tmp_path / "data")
    checklist_load(folder)
    by = keeper()
    taxon = Taxon.objects.get(scientific_name="Cantharellus cibarius")
    taxon_edit(taxon.pk, {"danger_note": "", "sensitivity": 2}, english=["Girolle"], by=by)
    host = Taxon.objects.get(scientific_name="Betula")
    taxon_edit(host.pk, {"group": "shrub"}, by=by)
    before = everything()
    assert checklist_load(folder).new_rows == 0
    assert everything() == before


def test_a_name_that_a_keeper_has_rewritten_does_not_come_back_as_a_second_row(
    tmp_path: Path,
) -> None:
    folder = files(tmp_path / "data")
    checklist_load(folder)
    by = keeper()
    taxon = Taxon.objects.get(scientific_name="Cantharellus cibarius")
    for name in ("Cantharellus cibarium", "Craterellus cibarius"):
        taxon_edit(taxon.pk, {"scientific_name": name, "genus": ""}, by=by)
    before = everything()
    assert checklist_load(folder).new_rows == 0
    assert everything() == before


def test_a_name_that_a_keeper_has_made_a_synonym_stays_one(tmp_path: Path) -> None:
    folder = files(tmp_path / "data")
    checklist_load(folder)
    by = keeper()
    taxon = Taxon.objects.get(scientific_name="Cantharellus cibarius")
    other = taxon_add(values(scientific_name="Cantharellus pallens", sensitivity=4), by=by)
    taxon_edit(taxon.pk, {"accepted": other}, by=by)
    before = everything()
    assert checklist_load(folder).new_rows == 0
    assert everything() == before
    assert LookAlike.objects.get().taxon == other


def test_a_keeper_adds_a_name_that_is_found_at_once() -> None:
    version = checklist_version()
    taxon = taxon_add(
        values(scientific_name="  Russula   inventa ", hosts=["Betula"]),
        english=["Moss Brittlegill", "", "moss  brittlegill", "Bog Brittlegill"],
        by=keeper(),
    )
    assert (taxon.scientific_name, taxon.folded) == ("Russula inventa", "russula inventa")
    assert taxon.genus == "Russula"
    assert checklist_version() > version
    assert name_index().resolve("Bog Brittlegill").match.key == taxon.pk  # type: ignore[union-attr]
    shown = taxon.vernacular_names.values_list("name", "is_preferred")
    assert list(shown) == [("Moss Brittlegill", True), ("Bog Brittlegill", False)]
    assert Change.objects.get(object_kind="names.taxon").verb == "name.added"


@pytest.mark.parametrize("role", ["member", "organiser"])
def test_only_keepers_change_the_checklist(role: str) -> None:
    account = make_account("Somebody", is_organiser=role == "organiser")
    taxon = make_taxon()
    with pytest.raises(NotPermitted):
        taxon_add(values(), by=viewer(account))
    with pytest.raises(NotPermitted):
        taxon_edit(taxon.pk, {"family": "Other"}, by=viewer(account))
    taxon.refresh_from_db()
    assert taxon.family == "Russulaceae"
    assert Taxon.objects.count() == 1


@pytest.mark.parametrize(
    ("over", "field"),
    [
        ({"scientific_name": "Lactarius INVENTUS"}, "scientific_name"),
        ({"scientific_name": "russula inventa"}, "scientific_name"),
        ({"scientific_name": "Russula"}, "rank"),
        ({"rank": "genus"}, "rank"),
        ({"genus": "Lactarius"}, "genus"),
        ({"month_from": 8}, "month_to"),
        ({"month_to": 8}, "month_from"),
        ({"month_from": 0, "month_to": 4}, "month_from"),
        ({"month_from": 9, "month_to": 13}, "month_to"),
        ({"danger_note": "raw"}, "danger_note"),
        ({"is_misapplied": True}, "accepted"),
    ],
)
def test_what_cannot_be_kept_is_refused_at_its_field(over: dict[str, Any], field: str) -> None:
    make_taxon("Lactarius inventus")
    with pytest.raises(Refused) as refusal:
        taxon_add(values(**over), by=keeper())
    assert refusal.value.field == field
    assert Taxon.objects.count() == 1


@pytest.mark.parametrize(
    "over",
    [
        {"scientific_name": "Russula <b>inventa</b>"},
        {"scientific_name": "Russula " + "x" * 200},
        {"scientific_name": ""},
        {"rank": "kingdom"},
        {"danger": "tasty"},
        {"sensitivity": 9},
    ],
)
def test_values_outside_the_vocabulary_are_refused(over: dict[str, Any]) -> None:
    with pytest.raises(ValidationError) as refusal:
        taxon_add(values(**over), by=keeper())
    assert set(over) <= set(refusal.value.message_dict)
    assert not Taxon.objects.exists()


def test_an_english_name_with_markup_is_refused_at_its_field_and_nothing_is_written() -> None:
    with pytest.raises(Refused) as refusal:
        taxon_add(values(), english=["Good Name", "<script>"], by=keeper())
    assert refusal.value.field == "english"
    assert not Taxon.objects.exists()


def test_a_synonym_leads_to_an_accepted_name_in_one_hop() -> None:
    accepted = make_taxon("Lactarius acceptus")
    synonym = make_taxon("Lactarius vetus", accepted=accepted)
    with pytest.raises(Refused) as refusal:
        taxon_add(values(accepted=synonym), by=keeper())
    assert refusal.value.code == "not_one_hop"
    assert "Lactarius acceptus" in str(refusal.value.message)
    with pytest.raises(Refused) as refusal:
        taxon_edit(accepted.pk, {"accepted": accepted}, by=keeper())
    assert refusal.value.code == "own_synonym"
    with pytest.raises(Refused) as refusal:
        taxon_add(values(accepted=make_host()), by=keeper())
    assert refusal.value.code == "other_group"


def test_what_pointed_at_a_name_moves_on_with_it() -> None:
    told: list[int] = []

    def hear(sender: Any, taxon_ids: list[int], **_: Any) -> None:
        told.extend(taxon_ids)

    old, new = make_taxon("Lactarius vetus"), make_taxon("Lactarius novus")
    older = make_taxon("Lactarius antiquus", accepted=old)
    deadly = make_taxon("Galerina inventa", danger="deadly")
    LookAlike.objects.create(taxon=old, other=deadly, source="from memory")
    LookAlike.objects.create(taxon=deadly, other=old, source="from memory")
    LookAlike.objects.create(taxon=new, other=deadly, source="a book")
    LookAlike.objects.create(taxon=new, other=old, source="from memory")
    names_changed.connect(hear)
    try:
        taxon_edit(old.pk, {"accepted": new}, by=keeper())
    finally:
        names_changed.disconnect(hear)
    older.refresh_from_db()
    assert older.accepted == new
    assert set(told) == {old.pk, new.pk, older.pk}
    pair = LookAlike.objects.get()
    assert (pair.taxon, pair.other, pair.source) == (new, deadly, "a book")


def test_a_deadly_name_is_not_buried_under_a_milder_one() -> None:
    deadly, mild = make_taxon("Galerina inventa", danger="deadly"), make_taxon("Galerina mitis")
    with pytest.raises(Refused) as refusal:
        taxon_edit(deadly.pk, {"accepted": mild}, by=keeper())
    assert (refusal.value.code, refusal.value.field) == ("danger_lost", "accepted")
    taxon_edit(mild.pk, {"danger": "deadly"}, by=keeper())
    taxon_edit(deadly.pk, {"accepted": mild}, by=keeper())
    deadly.refresh_from_db()
    assert deadly.accepted == mild


def test_an_edit_keeps_what_stood_before_and_an_empty_one_leaves_no_trace() -> None:
    by = keeper()
    taxon = make_taxon("Lactarius inventus", english="Peat Milkcap")
    version = checklist_version()
    taxon_edit(taxon.pk, {"family": "Russulaceae"}, english=["Peat Milkcap"], by=by)
    assert not Change.objects.exists()
    assert checklist_version() == version
    taxon_edit(taxon.pk, {"family": "Other"}, english=["Bog Milkcap", "Peat Milkcap"], by=by)
    change = Change.objects.get()
    assert (change.verb, change.actor_id) == ("name.edited", by.person_id)
    prior = dict(FieldVersion.objects.values_list("field", "prior"))
    assert prior == {"family": "Russulaceae", "english": "Peat Milkcap"}
    assert checklist_version() > version


def test_an_edit_that_says_nothing_of_english_names_leaves_them() -> None:
    taxon = make_taxon("Lactarius inventus", english="Peat Milkcap")
    taxon_edit(taxon.pk, {"family": "Other"}, by=keeper())
    assert taxon.vernacular_names.get().name == "Peat Milkcap"
    taxon_edit(taxon.pk, {}, english=[], by=keeper())
    assert not taxon.vernacular_names.exists()
