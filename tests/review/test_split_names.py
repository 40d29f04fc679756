"""After a split a name reads as s.l. until somebody looks at the find again; no slip is touched."""

import datetime as dt
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from society.core.models import Job
from society.finds.models import DeterminationSlip, Find
from society.finds.services import SlipEntry
from society.members.models import Account
from society.names.models import Taxon, TaxonSplit
from society.names.services import split_end, taxon_merge, taxon_move
from society.review.services import (
    slip_lay,
    standing_recompute,
    standing_recompute_all,
    standing_recompute_many,
    verdict_withdraw,
)
from tests.make import make_account, make_find, make_taxon, viewer
from tests.review.acts import act, fresh, lay
from tests.review.splitting import days_ago, split, work_all

pytestmark = pytest.mark.django_db


@pytest.fixture
def narrower() -> Taxon:
    return make_taxon("Lactarius novellus")


def old_find(taxon: Taxon, *, ago: int = 400, by: Account | None = None, **over: Any) -> Find:
    with days_ago(ago):
        return make_find(by, taxon=taxon, **over)


def confirmed(taxon: Taxon, referee: Account, *, ago: int = 400) -> Find:
    find = old_find(taxon, ago=ago)
    with days_ago(ago - 1):
        act(find, referee)
    assert fresh(find).standing == "confirmed"
    return find


def slips() -> list[dict[str, Any]]:
    return list(DeterminationSlip.objects.order_by("pk").values())


def test_a_split_makes_earlier_finds_read_wide_and_touches_no_slip(
    bea: Account, milkcap: Taxon, narrower: Taxon
) -> None:
    settled, open_, other = confirmed(milkcap, bea), old_find(milkcap), old_find(narrower)
    before = slips()
    split(milkcap, milkcap, narrower, ago=30)
    assert Job.objects.filter(kind="review.names_read_anew").exists()
    assert fresh(settled).reads_wide
    assert fresh(settled).standing == "confirmed"
    assert fresh(settled).standing_taxon == milkcap
    assert fresh(open_).reads_wide
    assert not fresh(other).reads_wide
    assert slips() == before
    assert standing_recompute_all(repair=False) == []


def test_what_was_laid_after_the_split_reads_as_written(milkcap: Taxon, narrower: Taxon) -> None:
    find = old_find(milkcap, ago=20)
    split(milkcap, narrower, ago=30)
    assert not fresh(find).reads_wide
    split(milkcap, narrower, ago=10)
    assert fresh(find).reads_wide


def test_a_split_taken_back_leaves_no_trace(bea: Account, milkcap: Taxon, narrower: Taxon) -> None:
    find = confirmed(milkcap, bea)
    row = split(milkcap, narrower)
    assert fresh(find).reads_wide
    split_end(row.pk, by=viewer(make_account(is_keeper=True)))
    work_all()
    assert not fresh(find).reads_wide


def test_a_referee_who_confirms_again_ends_it_and_withdrawing_that_brings_it_back(
    bea: Account, milkcap: Taxon, narrower: Taxon
) -> None:
    find = confirmed(milkcap, bea)
    split(milkcap, narrower, ago=30)
    again = act(find, bea)
    assert not fresh(find).reads_wide
    verdict_withdraw(again.pk, by=viewer(bea))
    assert fresh(find).reads_wide


def test_a_slip_with_the_narrower_name_ends_it(
    bea: Account, milkcap: Taxon, narrower: Taxon
) -> None:
    find = confirmed(milkcap, bea)
    split(milkcap, narrower, ago=30)
    lay(find, bea, narrower)
    assert (fresh(find).standing_taxon, fresh(find).reads_wide) == (narrower, False)


def test_of_a_find_that_no_referee_settled_the_finders_new_slip_is_the_new_look(
    ann: Account, milkcap: Taxon, narrower: Taxon
) -> None:
    find = old_find(milkcap, by=ann)
    split(milkcap, narrower, ago=30)
    lay(find, make_account("Somebody else"), milkcap)
    assert fresh(find).reads_wide
    lay(find, ann, milkcap)
    assert not fresh(find).reads_wide


def test_of_a_confirmed_find_the_finders_word_is_not_its_referees(
    ann: Account, bea: Account, milkcap: Taxon, narrower: Taxon
) -> None:
    find = old_find(milkcap, by=ann)
    with days_ago(390):
        act(find, bea)
    split(milkcap, narrower, ago=30)
    lay(find, ann, milkcap)
    assert fresh(find).standing == "confirmed"
    assert fresh(find).reads_wide


def test_a_dispute_or_a_request_for_evidence_is_no_confirmation(
    bea: Account, milkcap: Taxon, narrower: Taxon
) -> None:
    find = old_find(milkcap)
    split(milkcap, narrower, ago=30)
    act(find, bea, "ask", wanted="section")
    assert fresh(find).reads_wide
    act(find, bea, "dispute", reason="It does not fit.")
    assert fresh(find).reads_wide


@pytest.mark.parametrize("qualifier", ["agg.", "s.l.", "cf.", "?", "s.str."])
def test_a_slip_with_a_qualifier_of_its_own_is_left_as_it_is(
    ann: Account, milkcap: Taxon, narrower: Taxon, qualifier: str
) -> None:
    entry = SlipEntry(milkcap.scientific_name, milkcap.pk, qualifier=qualifier)
    find = old_find(milkcap, by=ann, slip=entry)
    split(milkcap, narrower)
    assert not fresh(find).reads_wide


def test_a_name_confirmed_as_far_as_the_genus_is_left_as_it_is(
    bea: Account, milkcap: Taxon, narrower: Taxon
) -> None:
    find = old_find(milkcap)
    with days_ago(390):
        act(find, bea, at_rank="genus")
    split(milkcap, narrower)
    assert not fresh(find).reads_wide


def test_an_old_record_was_looked_at_in_its_own_time_whenever_it_was_entered(
    ann: Account, milkcap: Taxon, narrower: Taxon
) -> None:
    split(milkcap, narrower, ago=30)
    entry = SlipEntry(milkcap.scientific_name, milkcap.pk, basis="books")
    find = make_find(ann, slip=entry, date=dt.date(1987, 10, 4))
    assert fresh(find).standing == "from_the_books"
    assert fresh(find).reads_wide


def test_a_slip_under_a_synonym_reads_with_the_accepted_name(
    bea: Account, milkcap: Taxon, narrower: Taxon
) -> None:
    synonym = make_taxon("Lactarius vetustus", accepted=milkcap)
    find = old_find(synonym)
    split(milkcap, narrower)
    assert fresh(find).reads_wide


def test_a_split_goes_with_a_name_that_moves_or_is_merged(
    bea: Account, milkcap: Taxon, narrower: Taxon
) -> None:
    keeper = make_account(is_keeper=True)
    find = confirmed(milkcap, bea)
    split(milkcap, narrower, ago=30)
    taxon_move(
        milkcap.pk, scientific_name="Lactifluus deterrimus", authorship="", by=viewer(keeper)
    )
    work_all()
    assert fresh(find).reads_wide
    wider = make_taxon("Lactarius latus")
    taxon_merge(milkcap.pk, into_id=wider.pk, by=viewer(keeper))
    work_all()
    assert (fresh(find).standing_taxon, fresh(find).reads_wide) == (wider, True)


def test_a_reading_that_was_tampered_with_is_found_and_put_right(
    milkcap: Taxon, narrower: Taxon
) -> None:
    find = old_find(milkcap)
    split(milkcap, narrower)
    call_command("recompute_standing", "--check")
    Find.objects.filter(pk=find.pk).update(reads_wide=False)
    with pytest.raises(CommandError, match="1 finds differ"):
        call_command("recompute_standing", "--check")
    call_command("recompute_standing")
    assert fresh(find).reads_wide


def test_many_finds_read_as_each_alone_would(milkcap: Taxon, narrower: Taxon) -> None:
    finds = [old_find(milkcap), old_find(narrower), make_find(taxon=milkcap)]
    split(milkcap, narrower)
    Find.objects.update(reads_wide=False)
    standing_recompute_many([find.pk for find in finds], actor_id=None)
    assert [fresh(find).reads_wide for find in finds] == [True, False, False]


def test_settling_costs_the_same_however_many_splits_there_are(
    milkcap: Taxon, narrower: Taxon, django_assert_num_queries: Any
) -> None:
    find, writer = old_find(milkcap), make_account()
    for taxon in (narrower, make_taxon(), make_taxon()):
        slip_lay(find.pk, SlipEntry(taxon.scientific_name, taxon.pk), by=viewer(writer))
        for ago in (10, 20, 30):
            TaxonSplit.objects.create(taxon=taxon, day=find.date_start - dt.timedelta(days=ago))
    with django_assert_num_queries(6):
        standing_recompute(find.pk, actor_id=None)
    with django_assert_num_queries(7):
        standing_recompute_many([find.pk], actor_id=None)
