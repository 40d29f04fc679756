"""Merging names, parting them again, moving a name to another genus, stating a split."""

import datetime as dt
from typing import Any

import pytest
from django.db import connection, transaction
from django.test.utils import CaptureQueriesContext

from society.core.errors import NotPermitted, Refused
from society.core.models import Change, FieldVersion
from society.core.signals import names_changed
from society.members.permissions import Viewer
from society.names.models import Account, LookAlike, Taxon, TaxonSplit, VernacularName
from society.names.queries import checklist_version
from society.names.services import (
    split_end,
    taxon_edit,
    taxon_merge,
    taxon_move,
    taxon_part,
    taxon_split,
)
from tests.make import make_account, make_host, make_taxon, viewer

pytestmark = pytest.mark.django_db
DAY = dt.date(2020, 5, 1)


@pytest.fixture
def keeper() -> Viewer:
    return viewer(make_account("Ida Keeper", is_keeper=True))


@pytest.fixture
def told() -> Any:
    """The ids that other rooms were told of."""
    ids: list[int] = []

    def hear(sender: Any, *, taxon_ids: list[int], **_: Any) -> None:
        ids.extend(taxon_ids)

    names_changed.connect(hear)
    yield ids
    names_changed.disconnect(hear)


def look_alike(taxon: Taxon, other: Taxon, words: str = "the milk") -> LookAlike:
    return LookAlike.objects.create(taxon=taxon, other=other, separated_by=words, source="a book")


def english(taxon: Taxon) -> list[str]:
    return [row.name for row in taxon.vernacular_names.order_by("-is_preferred", "pk")]


def test_a_merged_name_takes_along_synonyms_english_names_look_alikes_and_account(
    keeper: Viewer, told: list[int]
) -> None:
    one = make_taxon("Lactarius primus", english="First Milkcap")
    other = make_taxon("Lactarius alter", english="Other Milkcap")
    synonym = make_taxon("Agaricus primus", accepted=one)
    deadly = make_taxon("Amanita virosa", danger="deadly")
    look_alike(one, deadly)
    account = Account.objects.create(taxon=one)
    version = checklist_version()
    taxon_merge(one.pk, into_id=other.pk, by=keeper)
    for row in (one, synonym, account):
        row.refresh_from_db()
    assert (one.accepted, synonym.accepted, account.taxon) == (other, other, other)
    assert english(other) == ["Other Milkcap", "First Milkcap"]
    assert LookAlike.objects.get().taxon == other
    assert Change.objects.get().verb == "name.merged"
    assert {one.pk, other.pk, synonym.pk} <= set(told)
    assert checklist_version() > version


def test_parting_gives_each_name_back_what_it_had(keeper: Viewer, told: list[int]) -> None:
    one = make_taxon("Lactarius primus", english="Peat Milkcap")
    other = make_taxon("Lactarius alter", english="Other Milkcap")
    VernacularName.objects.create(taxon=other, name="Peat Milkcap", folded="peat milkcap")
    synonym = make_taxon("Agaricus primus", accepted=one)
    own = make_taxon("Agaricus alter", accepted=other)
    deadly = make_taxon("Amanita virosa", danger="deadly")
    look_alike(one, other, "what tells them apart")
    look_alike(one, deadly, "the volva")
    look_alike(other, deadly, "the gills")
    account = Account.objects.create(taxon=one)
    taxon_merge(one.pk, into_id=other.pk, by=keeper)
    assert LookAlike.objects.count() == 1
    told.clear()
    taxon_part(one.pk, by=keeper)
    for row in (one, synonym, own, account):
        row.refresh_from_db()
    assert (one.accepted, synonym.accepted, own.accepted, account.taxon) == (None, one, other, one)
    assert english(one) == ["Peat Milkcap"]
    assert english(other) == ["Other Milkcap", "Peat Milkcap"]
    pairs = {(row.taxon, row.other): row.separated_by.raw for row in LookAlike.objects.all()}
    assert pairs == {
        (one, other): "what tells them apart",
        (one, deadly): "the volva",
        (other, deadly): "the gills",
    }
    assert {one.pk, other.pk, synonym.pk} <= set(told)
    with pytest.raises(Refused) as refused:
        taxon_part(one.pk, by=keeper)
    assert refused.value.code == "not_merged"


@pytest.mark.parametrize("turned", [False, True], ids=["same way round", "other way round"])
def test_a_pair_known_from_poisonings_is_so_after_a_merging_and_as_before_after_the_parting(
    keeper: Viewer, turned: bool
) -> None:
    one, other, deadly = make_taxon(), make_taxon(), make_taxon(danger="deadly")
    mine = look_alike(one, deadly, "the volva")
    mine.in_poisonings = mine.is_verified = True
    mine.save()
    theirs = look_alike(deadly, other) if turned else look_alike(other, deadly)
    taxon_merge(one.pk, into_id=other.pk, by=keeper)
    kept = LookAlike.objects.get()
    assert (kept.pk, kept.in_poisonings, kept.is_verified) == (theirs.pk, True, True)
    taxon_part(one.pk, by=keeper)
    theirs.refresh_from_db()
    assert (theirs.in_poisonings, theirs.is_verified) == (False, False)
    back = LookAlike.objects.exclude(pk=theirs.pk).get()
    assert (back.taxon, back.other, back.in_poisonings) == (one, deadly, True)
    assert back.separated_by.raw == "the volva"


def test_a_pair_stays_known_from_poisonings_while_another_merged_name_says_so(
    keeper: Viewer,
) -> None:
    other, deadly = make_taxon(), make_taxon(danger="deadly")
    kept = look_alike(other, deadly)
    merged = [make_taxon(), make_taxon()]
    for taxon in merged:
        LookAlike.objects.create(taxon=taxon, other=deadly, source="a book", in_poisonings=True)
        taxon_merge(taxon.pk, into_id=other.pk, by=keeper)
    taxon_part(merged[0].pk, by=keeper)
    kept.refresh_from_db()
    assert kept.in_poisonings


def test_a_pair_written_from_both_sides_is_so_again_after_the_parting(keeper: Viewer) -> None:
    one, other, third = make_taxon(), make_taxon(), make_taxon()
    look_alike(one, third, "the volva")
    look_alike(third, one, "the smell")
    taxon_merge(one.pk, into_id=other.pk, by=keeper)
    assert LookAlike.objects.count() == 1
    taxon_part(one.pk, by=keeper)
    pairs = {(row.taxon, row.other): row.separated_by.raw for row in LookAlike.objects.all()}
    assert pairs == {(one, third): "the volva", (third, one): "the smell"}


def test_a_kept_pair_is_not_said_to_be_read_in_a_source_that_nobody_has_read(
    keeper: Viewer,
) -> None:
    one, other, third = make_taxon(), make_taxon(), make_taxon()
    LookAlike.objects.create(taxon=one, other=third, source="a monograph", is_verified=True)
    kept = look_alike(other, third)
    taxon_merge(one.pk, into_id=other.pk, by=keeper)
    kept.refresh_from_db()
    assert (kept.source, kept.is_verified) == ("a book", False)


@pytest.mark.parametrize("act", ["merge", "edit"])
def test_opposite_mergings_take_hold_of_the_two_names_in_one_order(
    keeper: Viewer, act: str
) -> None:
    one, other = make_taxon(), make_taxon()
    first = []
    for taxon, into in ((one, other), (other, one)):
        with transaction.atomic(), CaptureQueriesContext(connection) as queries:
            if act == "merge":
                taxon_merge(taxon.pk, into_id=into.pk, by=keeper)
            else:
                taxon_edit(taxon.pk, {"accepted": into}, by=keeper)
            transaction.set_rollback(True)
        first.append(next(row["sql"] for row in queries if 'FROM "names_taxon"' in row["sql"]))
    assert first[0] == first[1]
    assert f"IN ({one.pk}, {other.pk}) ORDER BY" in first[0]


def test_an_account_stays_with_its_name_where_the_other_has_one(keeper: Viewer) -> None:
    one, other = make_taxon(), make_taxon()
    own, theirs = Account.objects.create(taxon=one), Account.objects.create(taxon=other)
    taxon_merge(one.pk, into_id=other.pk, by=keeper)
    taxon_part(one.pk, by=keeper)
    for row in (own, theirs):
        row.refresh_from_db()
    assert (own.taxon, theirs.taxon) == (one, other)


def test_a_name_that_was_merged_by_editing_it_can_be_parted_too(keeper: Viewer) -> None:
    one, other = make_taxon("Lactarius primus", english="First Milkcap"), make_taxon()
    taxon_edit(one.pk, {"accepted": other}, english=["Second Milkcap"], by=keeper)
    assert english(other) == ["Second Milkcap"]
    taxon_part(one.pk, by=keeper)
    assert english(one) == ["Second Milkcap"]
    assert english(other) == []


def test_english_names_come_back_after_the_accepted_name_was_edited(keeper: Viewer) -> None:
    one = make_taxon("Lactarius primus", english="First Milkcap")
    other = make_taxon("Lactarius alter", english="Other Milkcap")
    taxon_merge(one.pk, into_id=other.pk, by=keeper)
    taxon_edit(
        other.pk,
        {"authorship": "Fr."},
        english=["Other Milkcap", "First Milkcap", "Third Milkcap"],
        by=keeper,
    )
    taxon_edit(
        other.pk, {}, english=["Third Milkcap", "First  Milkcap", "Other Milkcap"], by=keeper
    )
    assert english(other)[0] == "Third Milkcap"
    taxon_part(one.pk, by=keeper)
    assert english(one) == ["First Milkcap"]
    assert english(other) == ["Third Milkcap", "Other Milkcap"]


def test_an_english_name_that_was_given_by_hand_since_does_not_hinder_the_parting(
    keeper: Viewer,
) -> None:
    one, other = make_taxon(english="First Milkcap"), make_taxon(english="Other Milkcap")
    taxon_merge(one.pk, into_id=other.pk, by=keeper)
    taxon_edit(one.pk, {}, english=["First Milkcap"], by=keeper)
    taxon_part(one.pk, by=keeper)
    assert english(one) == ["First Milkcap"]
    assert english(other) == ["Other Milkcap"]
    assert VernacularName.objects.filter(is_preferred=True).count() == 2


def test_a_chain_of_mergings_can_be_parted_link_by_link(keeper: Viewer) -> None:
    one, two, three = make_taxon(english="First"), make_taxon(), make_taxon()
    taxon_merge(one.pk, into_id=two.pk, by=keeper)
    taxon_merge(two.pk, into_id=three.pk, by=keeper)
    one.refresh_from_db()
    assert one.accepted == three
    taxon_part(one.pk, by=keeper)
    assert english(one) == ["First"]
    taxon_part(two.pk, by=keeper)
    for row in (one, two):
        row.refresh_from_db()
        assert row.accepted is None


@pytest.mark.parametrize(
    ("mine", "theirs", "code"),
    [
        ({"danger": "deadly"}, {"danger": "serious"}, "danger_lost"),
        (
            {"danger": "illness", "danger_note": "with alcohol"},
            {"danger": "illness", "danger_note": "raw"},
            "condition_lost",
        ),
        ({"sensitivity": 1}, {"sensitivity": 3}, "sensitivity_lost"),
        ({"sensitivity": 4}, {}, "sensitivity_lost"),
        ({"no_lifting": True}, {}, "no_lifting_lost"),
        ({}, {"group": "tree", "form": ""}, "other_group"),
    ],
    ids=["danger", "condition", "sensitivity", "sensitive", "lifting", "group"],
)
def test_no_merging_loses_a_danger_a_secret_place_a_ban_on_lifting_or_the_group(
    keeper: Viewer, mine: dict[str, Any], theirs: dict[str, Any], code: str
) -> None:
    one, other = make_taxon(**mine), make_taxon(**theirs)
    with pytest.raises(Refused) as refused:
        taxon_merge(one.pk, into_id=other.pk, by=keeper)
    assert refused.value.code == code
    one.refresh_from_db()
    assert one.accepted is None
    assert not Change.objects.exists()


def test_only_accepted_names_are_merged_and_only_into_accepted_ones(keeper: Viewer) -> None:
    accepted, other = make_taxon(), make_taxon()
    synonym = make_taxon(accepted=accepted)
    for taxon, into, code in (
        (synonym, other, "is_synonym"),
        (other, synonym, "not_one_hop"),
        (other, other, "own_synonym"),
    ):
        with pytest.raises(Refused) as refused:
            taxon_merge(taxon.pk, into_id=into.pk, by=keeper)
        assert refused.value.code == code


def test_only_keepers_change_where_names_lead() -> None:
    one, other = make_taxon(), make_taxon()
    by = viewer(make_account(is_organiser=True))
    for act in (
        lambda: taxon_merge(one.pk, into_id=other.pk, by=by),
        lambda: taxon_part(one.pk, by=by),
        lambda: taxon_move(one.pk, scientific_name="Aa bb", authorship="", by=by),
        lambda: taxon_split(one.pk, day=DAY, into_ids=[other.pk], source="a", by=by),
        lambda: split_end(1, by=by),
    ):
        with pytest.raises(NotPermitted):
            act()


def test_a_moved_name_keeps_its_row_and_leaves_its_old_combination_as_a_synonym(
    keeper: Viewer, told: list[int]
) -> None:
    taxon = make_taxon("Lactarius volemus", authorship="(Fr.) Fr.", danger="illness")
    taxon_move(
        taxon.pk,
        scientific_name="Lactifluus  volemus",
        authorship="(Fr.) Kuntze",
        by=keeper,
    )
    taxon.refresh_from_db()
    assert (taxon.scientific_name, taxon.authorship, taxon.genus, taxon.danger) == (
        "Lactifluus volemus",
        "(Fr.) Kuntze",
        "Lactifluus",
        "illness",
    )
    old = Taxon.objects.get(folded="lactarius volemus")
    assert (old.accepted, old.genus, old.authorship) == (taxon, "Lactarius", "(Fr.) Fr.")
    assert set(told) == {taxon.pk, old.pk}
    prior = dict(
        FieldVersion.objects.filter(change__verb="name.moved").values_list("field", "prior")
    )
    assert prior == {
        "scientific_name": "Lactarius volemus",
        "authorship": "(Fr.) Fr.",
        "genus": "Lactarius",
    }


def test_a_combination_held_as_its_synonym_changes_names_with_it(keeper: Viewer) -> None:
    taxon = make_taxon("Lactarius volemus", family="Russulaceae")
    synonym = make_taxon("Lactifluus volemus", accepted=taxon)
    taxon_move(taxon.pk, scientific_name="Lactifluus volemus", authorship="", by=keeper)
    for row in (taxon, synonym):
        row.refresh_from_db()
    assert (taxon.scientific_name, synonym.scientific_name) == (
        "Lactifluus volemus",
        "Lactarius volemus",
    )
    assert (synonym.accepted, synonym.folded) == (taxon, "lactarius volemus")
    assert Taxon.objects.count() == 2


def test_a_move_that_names_nothing_new_or_somebody_elses_name_is_refused(keeper: Viewer) -> None:
    taxon, other = make_taxon("Lactarius volemus"), make_taxon("Lactifluus volemus")
    synonym = make_taxon("Agaricus volemus", accepted=taxon)
    genus = make_taxon("Lactarius", rank="genus")
    for row, name, code in (
        (taxon, "lactarius VOLEMUS", "same_name"),
        (taxon, other.scientific_name, "held_already"),
        (taxon, "Lactifluus", "rank_differs"),
        (synonym, "Lactifluus novus", "is_synonym"),
        (genus, "Lactifluus novus", "rank_not_moved"),
    ):
        with pytest.raises(Refused) as refused:
            taxon_move(row.pk, scientific_name=name, authorship="", by=keeper)
        assert refused.value.code == code
    assert not Change.objects.exists()


def test_a_split_is_stated_and_taken_back(keeper: Viewer, told: list[int]) -> None:
    taxon, part = make_taxon("Armillaria mellea"), make_taxon("Armillaria gallica")
    split = taxon_split(
        taxon.pk, day=DAY, into_ids=[taxon.pk, part.pk], source="a revision", by=keeper
    )
    assert set(split.into.all()) == {taxon, part}
    assert told == [taxon.pk]
    split_end(split.pk, by=keeper)
    assert told == [taxon.pk, taxon.pk]
    assert not TaxonSplit.objects.exists()
    prior = dict(
        FieldVersion.objects.filter(change__verb="name.split_taken_back").values_list(
            "field", "prior"
        )
    )
    assert prior == {
        "day": "2020-05-01",
        "source": "a revision",
        "into": f"[{taxon.pk}, {part.pk}]",
    }


def test_a_split_into_nothing_else_or_on_a_day_to_come_is_refused(keeper: Viewer) -> None:
    taxon, part, tree = make_taxon(), make_taxon(), make_host()
    synonym = make_taxon(accepted=part)
    genus = make_taxon("Lactarius", rank="genus")
    taxon_split(taxon.pk, day=DAY, into_ids=[part.pk], source="a revision", by=keeper)
    for row, day, into, code in (
        (taxon, dt.date(2019, 1, 1), [taxon.pk], "into_nothing"),
        (taxon, dt.date(2019, 1, 1), [], "into_nothing"),
        (taxon, dt.date(2019, 1, 1), [part.pk, 999_999], "into_nothing"),
        (taxon, dt.date(2019, 1, 1), [synonym.pk], "not_accepted"),
        (taxon, dt.date(2019, 1, 1), [tree.pk], "no_species"),
        (taxon, dt.date(2019, 1, 1), [genus.pk], "no_species"),
        (taxon, dt.date(2900, 1, 1), [part.pk], "in_the_future"),
        (taxon, DAY, [part.pk], "held_already"),
        (synonym, DAY, [taxon.pk], "is_synonym"),
        (genus, DAY, [taxon.pk], "rank_not_split"),
    ):
        with pytest.raises(Refused) as refused:
            taxon_split(row.pk, day=day, into_ids=into, source="a", by=keeper)
        assert refused.value.code == code
    assert TaxonSplit.objects.count() == 1
