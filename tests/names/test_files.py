"""Files of names: looked at first, then taken over, never against a keeper or a danger."""

from typing import Any

import pytest
from django.core.files.storage import default_storage
from pytest_django import DjangoAssertNumQueries, DjangoCaptureOnCommitCallbacks

from society.core.errors import NotPermitted, Refused
from society.core.models import Change, Job
from society.core.signals import names_changed
from society.members.permissions import Viewer
from society.names.models import ChecklistFile, ListedStatus, Taxon
from society.names.queries import file_shown
from society.names.services import (
    checklist_file_add,
    checklist_file_drop,
    checklist_file_look,
    checklist_file_take,
    checklist_take_over,
    files,
    taxon_edit,
    taxon_merge,
    taxon_move,
)
from society.names.services.files import EXAMPLES
from tests.make import make_account, make_referee, make_taxon, viewer

pytestmark = pytest.mark.django_db
HEAD = (
    "taxonID,scientificName,scientificNameAuthorship,taxonRank,taxonomicStatus,"
    "acceptedNameUsageID,acceptedNameUsage,family,order,vernacularName,danger"
)


@pytest.fixture
def keeper() -> Viewer:
    return viewer(make_account("Ida Keeper", is_keeper=True))


def sent(by: Viewer, *lines: str, head: str = HEAD, kind: str = "taxa") -> ChecklistFile:
    content = "\n".join([head, *lines]).encode()
    return checklist_file_add(kind=kind, name="larger.csv", content=content, by=by)


def counts(file: ChecklistFile) -> dict[str, int]:
    return {name: count for name, count in file.report["counts"].items() if count}


def taken(by: Viewer, *lines: str, **over: Any) -> ChecklistFile:
    file = sent(by, *lines, **over)
    checklist_file_take(file.pk, by=by)
    checklist_take_over(file.pk)
    file.refresh_from_db()
    return file


def outcomes(file: ChecklistFile) -> list[tuple[int, str]]:
    return [(line, code) for line, code, _about in file.report["faults"]]


def test_looking_at_a_file_writes_no_name_and_says_what_would_be(keeper: Viewer) -> None:
    make_taxon("Russula emetica", authorship="(Schaeff.) Pers.", family="Russulaceae")
    make_taxon("Russula nana", family="Elsewhere")
    before = list(Taxon.objects.values())
    file = sent(
        keeper,
        "1,Russula emetica,(Schaeff.) Pers.,species,accepted,,,Russulaceae,Russulales,,",
        "2,Russula nana,Killerm.,species,accepted,,,Russulaceae,Russulales,Alpine Brittlegill,",
        "3,Russula betularum,Hora,species,accepted,,,Russulaceae,Russulales,,",
        "4,Russula emetica var. betularum,,variety,synonym,3,,,,,",
        "5,russula,,species,accepted,,,,,,",
    )
    assert counts(file) == {"new": 2, "changed": 1, "held": 1, "left": 1}
    assert list(Taxon.objects.values()) == before
    shown = file_shown(file)
    assert [row.name for row in shown.new] == [
        "Russula betularum",
        "Russula emetica var. betularum",
    ]
    assert shown.new[1].leads_to == "Russula betularum"
    assert shown.changed[0].changes == (
        ("author", "", "Killerm."),
        ("family", "Elsewhere", "Russulaceae"),
        ("further English names", "", "Alpine Brittlegill"),
    )
    assert [(row.line, row.about) for row in shown.faults] == [(6, "russula")]


def test_a_file_is_taken_over_once_however_often_it_is_asked_for(
    keeper: Viewer, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    make_taxon("Russula emetica", family="Russulaceae")
    told: list[int] = []

    def hear(sender: Any, *, taxon_ids: list[int], **_: Any) -> None:
        told.extend(taxon_ids)

    names_changed.connect(hear)
    lines = (
        "4,Russula emetica var. betularum,,variety,synonym,3,,,,,",
        "3,Russula betularum,Hora,species,accepted,,,Russulaceae,Russulales,Birch Brittlegill,",
        "1,Russula emetica,(Schaeff.) Pers.,species,accepted,,,,,,",
    )
    file = sent(keeper, *lines)
    checklist_file_take(file.pk, by=keeper)
    checklist_file_take(file.pk, by=keeper)
    assert Job.objects.filter(kind="names.take_over").count() == 1
    steps: list[tuple[int, int]] = []
    with django_capture_on_commit_callbacks(execute=True):
        checklist_take_over(file.pk, progress=lambda done, total: steps.append((done, total)))
    names_changed.disconnect(hear)
    file.refresh_from_db()
    assert (file.state, file.taken) == ("taken", {"new": 2, "changed": 1})
    assert steps == [(2, 3), (3, 3)]
    assert not default_storage.exists(file.stored)
    new = Taxon.objects.get(folded="russula betularum")
    synonym = Taxon.objects.get(folded="russula emetica var betularum")
    assert (new.authorship, new.form, new.source) == ("Hora", "agaric", "larger.csv")
    assert new.vernacular_names.get().name == "Birch Brittlegill"
    assert (synonym.accepted, synonym.rank, synonym.form) == (new, "variety", "agaric")
    assert set(Taxon.objects.values_list("pk", flat=True)) == set(told)
    changes = Change.objects.count()
    checklist_take_over(file.pk)
    assert counts(sent(keeper, *lines)) == {"held": 3}
    assert taken(keeper, *lines).taken == {"new": 0, "changed": 0}
    assert Change.objects.filter(verb="name.taken_over").count() == 1
    assert Change.objects.count() > changes


def test_a_file_whose_job_failed_is_taken_over_when_asked_again(keeper: Viewer) -> None:
    file = sent(keeper, "1,Russula emetica,,species,accepted,,,,,,")
    checklist_file_take(file.pk, by=keeper)
    with pytest.raises(Refused) as refused:
        checklist_file_drop(file.pk, by=keeper)
    assert refused.value.code == "under_way"
    Job.objects.update(state="failed", key=None)
    checklist_file_take(file.pk, by=keeper)
    assert Job.objects.filter(state="waiting", kind="names.take_over").count() == 1


def test_what_a_keeper_has_edited_or_renamed_stays(keeper: Viewer) -> None:
    edited = make_taxon("Russula emetica", family="Russulaceae", order="")
    taxon_edit(edited.pk, {"authorship": "Pers."}, by=keeper)
    moved = make_taxon("Lactarius volemus")
    taxon_move(moved.pk, scientific_name="Lactifluus volemus", authorship="Kuntze", by=keeper)
    renamed = make_taxon("Russula mairei")
    taxon_edit(renamed.pk, {"scientific_name": "Russula nobilis"}, by=keeper)
    one, other = make_taxon("Russula una"), make_taxon("Russula altera")
    taxon_merge(one.pk, into_id=other.pk, by=keeper)
    file = taken(
        keeper,
        "1,Russula emetica,Somebody,species,accepted,,,Russulaceae,Russulales,,",
        "2,Lactarius volemus,(Fr.) Fr.,species,accepted,,,,,,",
        "3,Russula mairei,Singer,species,accepted,,,,,,",
        "4,Russula una,,species,accepted,,,,,,",
    )
    assert counts(file) == {"changed": 1, "kept": 3}
    assert sorted(row.why for row in file_shown(file).kept) == [
        "a keeper has edited it",
        "a keeper has edited it",
        "a keeper has given it another name",
    ]
    for row in (edited, moved, renamed, one):
        row.refresh_from_db()
    assert (edited.authorship, edited.order) == ("Pers.", "Russulales")
    assert (moved.scientific_name, one.accepted) == ("Lactifluus volemus", other)
    assert Taxon.objects.count() == 6


def test_no_line_lowers_a_danger_or_makes_places_less_secret(keeper: Viewer) -> None:
    deadly = make_taxon("Amanita virosa", danger="deadly")
    synonym = make_taxon("Agaricus virosus", accepted=deadly)
    mild = make_taxon("Amanita mitis")
    rare = make_taxon("Hericium coralloides", sensitivity=2)
    make_taxon("Hericium erinaceus", no_lifting=True)
    file = taken(
        keeper,
        "1,Amanita virosa,,species,synonym,,Amanita mitis,,,,",
        "2,Agaricus virosus,,species,accepted,,,,,,",
        "3,Hericium coralloides,,species,synonym,,Amanita mitis,,,,",
        "4,Amanita mitis,,species,accepted,,,,,,",
        "5,Hericium erinaceus,,species,synonym,,Amanita mitis,,,,",
    )
    assert outcomes(file) == [
        (2, "danger_lost"),
        (3, "danger_lost"),
        (4, "sensitivity_lost"),
        (6, "no_lifting_lost"),
    ]
    assert file_shown(file).faults[-1].why == "would no longer be one that is never lifted or cut"
    for row in (deadly, synonym, rare):
        row.refresh_from_db()
    assert (deadly.accepted, deadly.danger, synonym.accepted, rare.accepted) == (
        None,
        "deadly",
        deadly,
        None,
    )
    assert taken(keeper, "4,Amanita mitis,,species,accepted,,,,,,serious").taken["changed"] == 1
    mild.refresh_from_db()
    assert mild.danger == "serious"
    assert counts(sent(keeper, "4,Amanita mitis,,species,accepted,,,,,,")) == {"held": 1}


def test_a_line_that_raises_a_danger_and_leads_to_less_does_only_the_first(keeper: Viewer) -> None:
    one = make_taxon("Russula una")
    make_taxon("Russula altera")
    file = taken(
        keeper,
        "1,Russula una,,species,synonym,,Russula altera,,,,deadly",
        "2,Russula altera,Hora,species,accepted,,,,,,",
    )
    assert (file.state, file.taken) == ("taken", {"new": 0, "changed": 2})
    one.refresh_from_db()
    assert (one.accepted, one.danger) == (None, "deadly")


def test_a_held_synonym_gets_no_danger_that_nobody_would_read(keeper: Viewer) -> None:
    accepted = make_taxon("Russula altera", danger="illness")
    synonym = make_taxon("Russula una", accepted=accepted)
    lines = (
        "1,Russula una,Hora,species,synonym,,Russula altera,,,,deadly",
        "2,Russula altera,,species,accepted,,,,,,illness",
    )
    file = taken(keeper, *lines)
    assert outcomes(file) == [(2, "danger_lost")]
    synonym.refresh_from_db()
    assert (synonym.danger, synonym.authorship) == ("", "")
    accepted.danger = "deadly"
    accepted.save()
    assert taken(keeper, *lines).taken == {"new": 0, "changed": 1}
    synonym.refresh_from_db()
    assert (synonym.danger, synonym.authorship) == ("deadly", "Hora")


def test_a_line_that_the_database_refuses_stops_no_other(
    keeper: Viewer, monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = [f"{n},Russula nova{'bcd'[n]},,species,accepted,,,,,Name {n}," for n in range(3)]
    file = sent(keeper, *lines)
    checklist_file_take(file.pk, by=keeper)
    made = files.taxon_of

    def too_long(line: Any, *rest: Any) -> Taxon:
        taxon = made(line, *rest)
        if line.name == "Russula novac":
            # What the database cannot hold and reading did not foresee.
            taxon.rank = None  # type: ignore[assignment]
        return taxon

    monkeypatch.setattr(files, "taxon_of", too_long)
    checklist_take_over(file.pk)
    file.refresh_from_db()
    assert (file.state, file.taken) == ("taken", {"new": 2, "changed": 0})
    names = Taxon.objects.values_list("scientific_name", flat=True)
    assert list(names) == ["Russula novab", "Russula novad"]
    assert Taxon.objects.get(folded="russula novad").vernacular_names.get().name == "Name 2"


def test_names_that_lead_elsewhere_now_are_led_there(keeper: Viewer) -> None:
    one = make_taxon("Russula una", english="Lone Brittlegill")
    other = make_taxon("Russula altera")
    third = make_taxon("Russula tertia", accepted=one)
    lines = (
        "1,Russula una,,species,synonym,,Russula altera,,,,",
        "2,Russula tertia,,species,accepted,,,,,,",
        "3,Russula altera,,species,accepted,,,,,,",
    )
    assert taken(keeper, *lines).taken == {"new": 0, "changed": 2}
    for row in (one, third):
        row.refresh_from_db()
    assert (one.accepted, third.accepted) == (other, None)
    assert other.vernacular_names.get().name == "Lone Brittlegill"
    assert counts(sent(keeper, *lines)) == {"held": 3}


def test_a_move_out_of_or_into_a_referees_scope_is_told_before_it_is_taken_over(
    keeper: Viewer, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    make_referee("Ruth", "family", "Russulaceae")
    for number in range(EXAMPLES + 2):
        make_taxon(f"Aaa b{'c' * number}", family="Aaaceae", order="Russulales")
    make_taxon("Russula emetica", family="Russulaceae", order="Russulales")
    make_taxon("Zelleromyces alter", family="Elsewhere", order="Russulales")
    make_taxon("Zelleromyces una", family="RUSSULACEAE", order="Russulales")
    file = sent(
        keeper,
        *(
            f"{number},Aaa b{'c' * number},L.,species,accepted,,,Aaaceae,Russulales,,"
            for number in range(EXAMPLES + 2)
        ),
        "90,Russula emetica,,species,accepted,,,Aaaceae,Agaricales,,",
        "91,Zelleromyces alter,,species,accepted,,,Russulaceae,Russulales,,",
        "92,Zelleromyces una,,species,accepted,,,Russulaceae,Russulales,,",
    )
    with django_assert_num_queries(1):
        shown = file_shown(file)
    assert set(shown.moves) == {
        ("moves it out of the family Russulaceae, a referee's scope", 1),
        ("moves it into the family Russulaceae, a referee's scope", 1),
    }
    alone = sent(keeper, "90,Russula emetica,,species,accepted,,,Aaaceae,Russulales,,")
    assert file_shown(alone).changed[0].warnings == (
        "moves it out of the family Russulaceae, a referee's scope",
    )


def test_a_move_between_families_that_nobody_referees_is_no_warning(keeper: Viewer) -> None:
    make_referee("Ruth", "family", "Cortinariaceae")
    make_taxon("Russula emetica", family="Russulaceae")
    file = sent(keeper, "1,Russula emetica,,species,accepted,,,Aaaceae,,,")
    assert counts(file) == {"changed": 1}
    assert file_shown(file).moves == ()
    assert file_shown(file).changed[0].warnings == ()


def test_a_waiting_file_is_compared_anew_once_the_checklist_has_changed(keeper: Viewer) -> None:
    file = sent(keeper, "1,Russula emetica,,species,accepted,,,,,,")
    assert counts(file) == {"new": 1}
    make_taxon("Russula emetica")
    assert counts(checklist_file_look(file.pk, by=keeper)) == {"held": 1}


def test_a_file_that_cannot_be_read_or_is_too_large_is_refused_in_words(keeper: Viewer) -> None:
    for content, code in (
        (b"", "empty"),
        (b"PK\x03\x04", "spreadsheet"),
        (b"name\nx", "no_column"),
        (b"scientificName\n" + b"x" * 11 * 1024**2, "too_large"),
    ):
        with pytest.raises(Refused) as refused:
            checklist_file_add(kind="taxa", name="a.csv", content=content, by=keeper)
        assert refused.value.code == code
        assert str(refused.value.message).endswith(".")
    assert not ChecklistFile.objects.exists()


def test_only_keepers_send_look_take_and_drop(keeper: Viewer) -> None:
    by, file = viewer(make_account(is_organiser=True)), sent(keeper, "1,Aa bb,,,,,,,,,")
    for act in (
        lambda: sent(by),
        lambda: checklist_file_look(file.pk, by=by),
        lambda: checklist_file_take(file.pk, by=by),
        lambda: checklist_file_drop(file.pk, by=by),
    ):
        with pytest.raises(NotPermitted):
            act()
    checklist_file_drop(file.pk, by=keeper)
    assert not ChecklistFile.objects.exists()


def test_a_file_of_list_entries_is_looked_at_and_taken_over(keeper: Viewer) -> None:
    taxon = make_taxon("Hericium coralloides")
    make_taxon("Hydnum coralloides", accepted=taxon)
    head = "name,kind,area,edition,year,says"
    lines = (
        "Hericium coralloides,red list,Great Britain,Invented List,2021,vulnerable",
        "Hydnum coralloides (Scop.) Pers.,law,England,An Act,1981,protected",
        "Nullus nullus,law,England,An Act,1981,protected",
        "Hericium coralloides,red list,Great Britain,Invented List,2021,endangered",
    )
    file = sent(keeper, *lines, head=head, kind="lists")
    assert counts(file) == {"new": 2, "kept": 1, "left": 1}
    assert [row.says for row in file_shown(file).new] == [
        "red list, Great Britain (Invented List, 2021): vulnerable",
        "legal protection, England (An Act, 1981): protected",
    ]
    assert not ListedStatus.objects.exists()
    assert taken(keeper, *lines, head=head, kind="lists").taken == {"new": 2}
    assert taxon.listed_statuses.get().says == "vulnerable"
    assert counts(sent(keeper, *lines, head=head, kind="lists")) == {
        "held": 2,
        "kept": 1,
        "left": 1,
    }
