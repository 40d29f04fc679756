"""What is stored of a find's standing is what the rule says, after any sequence of acts."""

import contextlib
import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.db import transaction
from django.utils import timezone
from hypothesis import given, settings
from hypothesis import strategies as st

from society.core.errors import Refused
from society.core.models import Change, Job
from society.core.tasks import run_next
from society.finds.models import Find, Standing
from society.finds.services import SlipEntry, find_put_back, find_withdraw
from society.members.models import Account
from society.names.models import Taxon
from society.names.services import taxon_edit
from society.review.models import DeskEntry, Verdict, Waits, Wanted
from society.review.services import (
    comment_add,
    slip_lay,
    standing_recompute,
    standing_recompute_all,
    standing_recompute_many,
    verdict_lay,
    verdict_withdraw,
)
from society.review.services.assessing import waiting_stored
from tests.make import make_account, make_find, make_referee, make_society, make_taxon, viewer

pytestmark = pytest.mark.django_db

PEOPLE = ("finder", "bea", "carl", "member")
STORED = ("standing", "standing_taxon_id", "standing_slip_id", "standing_rank", "reads_wide")
KINDS = ("confirm", "dispute", "ask", "leave_open", "reopen")


@dataclass
class Table:
    """A find of a referee's, two other referees, a member, and three names of one genus."""

    find: Find
    people: dict[str, Account]
    taxa: list[Taxon]


def table() -> Table:
    make_society(old_books_entered=True)
    genus = make_taxon("Lactarius", rank="genus")
    taxa = [
        make_taxon("Lactarius deterrimus"),
        make_taxon("Lactarius sphagni", needs="microscope"),
        make_taxon("Russula emetica"),
        genus,
    ]
    people = {
        "finder": make_referee("Finder", "genus", "Lactarius"),
        "bea": make_referee("Bea", "genus", "Lactarius"),
        "carl": make_referee("Carl", "family", "Russulaceae"),
        "member": make_account("Member"),
    }
    return Table(make_find(people["finder"], taxon=taxa[0]), people, taxa)


@contextlib.contextmanager
def undone_after() -> Iterator[None]:
    """Leave no trace of one example for the next."""
    with transaction.atomic():
        yield
        transaction.set_rollback(True)


# An act: who, what, on which slip, with which name or rank, and which earlier verdict.
ACTS = st.tuples(
    st.sampled_from(PEOPLE),
    st.sampled_from((*KINDS, "slip", "withdraw", "comment", "leave", "return")),
    st.integers(0, 3),
    st.integers(0, 3),
    st.sampled_from(("", "", "genus", "aggregate")),
)


def play(at: Table, act: tuple[str, str, int, int, str]) -> bool:
    """Do one act through the services; False where it was refused."""
    who, kind, slip_number, number, rank = act
    by = viewer(at.people[who])
    slips = list(at.find.slips.order_by("pk"))
    slip = slips[slip_number % len(slips)]
    taxon = at.taxa[number]
    with contextlib.suppress(Refused):
        if kind == "slip":
            entry = SlipEntry(taxon.scientific_name, taxon.pk, qualifier="cf." if rank else "")
            slip_lay(at.find.pk, entry, by=by)
        elif kind == "withdraw":
            verdicts = list(Verdict.objects.order_by("pk"))
            if not verdicts:
                return False
            verdict_withdraw(verdicts[number % len(verdicts)].pk, by=by)
        elif kind == "comment":
            comment_add(at.find.pk, text="Look again.", by=by)
        elif kind == "leave":
            find_withdraw(at.find.pk, by=by)
        elif kind == "return":
            find_put_back(at.find.pk, by=by)
        else:
            verdict_lay(
                at.find.pk,
                by=by,
                kind=kind,
                slip_id=slip.pk,
                at_rank=rank if kind in ("confirm", "leave_open") else "",
                reason="It does not fit.",
                wanted=Wanted.SECTION if kind == "ask" else "",
                other_name=SlipEntry(taxon.scientific_name, taxon.pk) if rank else None,
            )
        return True
    return False


@settings(max_examples=40)
@given(acts=st.lists(ACTS, max_size=9))
def test_after_any_acts_what_is_stored_is_what_the_rule_says(
    acts: list[tuple[str, str, int, int, str]],
) -> None:
    with undone_after():
        at = table()
        for act in acts:
            verdicts, slips = set(Verdict.objects.values_list("pk")), at.find.slips.count()
            play(at, act)
            # Nothing laid is ever removed.
            assert verdicts <= set(Verdict.objects.values_list("pk"))
            assert at.find.slips.count() >= slips
        assert standing_recompute_all(repair=False) == []
        find = Find.objects.get(pk=at.find.pk)
        waits = DeskEntry.objects.get(find=find).waits
        if find.withdrawn_at is not None:
            assert waits == Waits.FOR_NOBODY
        elif find.standing in (Standing.UNCONFIRMED, Standing.DISPUTED):
            assert waits != Waits.FOR_NOBODY


@settings(max_examples=40)
@given(acts=st.lists(ACTS, max_size=12))
def test_no_acts_by_a_finder_confirm_their_own_find(
    acts: list[tuple[str, str, int, int, str]],
) -> None:
    with undone_after():
        at = table()
        for _, *rest in acts:
            play(at, ("finder", *rest))  # type: ignore[arg-type]
        find = Find.objects.get(pk=at.find.pk)
        assert find.standing in (Standing.BY_ITS_REFEREE, Standing.UNCONFIRMED)
        assert not find.verdicts.exists()


def test_a_cache_that_was_tampered_with_is_found_and_put_right(capsys: Any) -> None:
    bea = make_referee("Bea")
    finds = [make_find(taxon=make_taxon()) for _ in range(3)]
    verdict_lay(finds[0].pk, by=viewer(bea), kind="confirm", slip_id=finds[0].slips.get().pk)
    call_command("recompute_standing", "--check")
    Find.objects.filter(pk=finds[0].pk).update(standing="unconfirmed")
    Find.objects.filter(pk=finds[1].pk).update(standing_taxon=None)
    DeskEntry.objects.filter(find=finds[2]).update(genus="Cortinarius")
    with pytest.raises(CommandError, match="3 finds differ"):
        call_command("recompute_standing", "--check")
    assert Find.objects.get(pk=finds[0].pk).standing == "unconfirmed"
    call_command("recompute_standing")
    assert "3 finds differed" in capsys.readouterr().out
    call_command("recompute_standing", "--check")
    assert Find.objects.get(pk=finds[0].pk).standing == "confirmed"


def test_a_missing_place_on_the_desk_is_a_difference() -> None:
    find = make_find(taxon=make_taxon())
    DeskEntry.objects.filter(find=find).delete()
    assert standing_recompute_all(repair=True) == [find.pk]
    assert DeskEntry.objects.get(find=find).waits == Waits.FOR_REFEREE


def test_the_moment_since_when_changes_only_with_what_stands() -> None:
    find = make_find(taxon=make_taxon())
    entry = DeskEntry.objects.get(find=find)
    standing_recompute(find.pk, actor_id=None)
    assert Find.objects.get(pk=find.pk).standing_since == find.standing_since
    assert DeskEntry.objects.get(find=find).updated_at == entry.updated_at


def test_what_stands_is_recorded_in_the_history_when_it_changes() -> None:
    find, bea = make_find(taxon=make_taxon()), make_referee()
    verdict_lay(find.pk, by=viewer(bea), kind="confirm", slip_id=find.slips.get().pk)
    verbs = Change.objects.filter(object_kind="finds.find", object_id=find.pk).order_by("pk")
    assert list(verbs.values_list("verb", flat=True)) == [
        "find.posted",
        "find.slip_laid",
        "find.confirm",
        "find.standing_changed",
    ]


def test_a_withdrawn_find_waits_for_nobody_and_comes_back_as_it_was() -> None:
    ann = make_account("Ann")
    find = make_find(ann, taxon=make_taxon())
    find_withdraw(find.pk, by=viewer(ann))
    assert DeskEntry.objects.get(find=find).waits == Waits.FOR_NOBODY
    find_put_back(find.pk, by=viewer(ann))
    assert DeskEntry.objects.get(find=find).waits == Waits.FOR_REFEREE


def work_all() -> None:
    while run_next("test"):
        pass


def test_a_name_that_became_a_synonym_is_read_anew_by_a_job() -> None:
    keeper, bea = make_account(is_keeper=True), make_referee()
    old, new = make_taxon("Lactarius vetus"), make_taxon("Lactifluus novus", family="Other")
    find, untouched = make_find(taxon=old), make_find(taxon=make_taxon())
    verdict_lay(find.pk, by=viewer(bea), kind="confirm", slip_id=find.slips.get().pk)
    since = Find.objects.get(pk=untouched.pk).standing_since
    taxon_edit(old.pk, {"accepted": new}, by=viewer(keeper))
    assert Job.objects.filter(kind="review.names_read_anew").exists()
    work_all()
    find = Find.objects.get(pk=find.pk)
    assert (find.standing, find.standing_taxon) == ("confirmed", new)
    assert find.slips.get().taxon == old
    entry = DeskEntry.objects.get(find=find)
    assert (entry.genus, entry.family) == ("Lactifluus", "Other")
    assert standing_recompute_all(repair=False) == []
    assert Find.objects.get(pk=untouched.pk).standing_since == since


def test_two_names_merged_settle_what_they_divided() -> None:
    keeper = make_account(is_keeper=True)
    bea, carl = make_referee("Bea"), make_referee("Carl")
    one, other = make_taxon("Lactarius unus"), make_taxon("Lactarius alter")
    find = make_find(taxon=one)
    verdict_lay(find.pk, by=viewer(bea), kind="confirm", slip_id=find.slips.get().pk)
    slip_lay(find.pk, SlipEntry("Lactarius alter", other.pk), by=viewer(carl))
    assert Find.objects.get(pk=find.pk).standing == "disputed"
    taxon_edit(other.pk, {"accepted": one}, by=viewer(keeper))
    work_all()
    find = Find.objects.get(pk=find.pk)
    assert (find.standing, find.standing_taxon) == ("confirmed", one)


def test_a_genus_moved_out_of_a_referees_family_unconfirms_nothing() -> None:
    keeper = make_account(is_keeper=True)
    bea = make_referee("Bea", "family", "Russulaceae")
    own, old = make_taxon("Lactarius vetus"), make_taxon("Lactarius antiquus")
    new = make_taxon("Novus vetus", family="Novaceae")
    find, own_find = make_find(taxon=old), make_find(bea, taxon=own)
    verdict_lay(find.pk, by=viewer(bea), kind="confirm", slip_id=find.slips.get().pk)
    assert own_find.standing == "determined_by_its_referee"
    for taxon in (old, own):
        taxon_edit(taxon.pk, {"accepted": new}, by=viewer(keeper))
    work_all()
    assert Find.objects.get(pk=find.pk).standing == "confirmed"
    assert Find.objects.get(pk=own_find.pk).standing == "determined_by_its_referee"


def test_reading_names_anew_twice_changes_nothing(django_assert_num_queries: Any) -> None:
    from society.review.services import names_read_anew

    taxon = make_taxon()
    for _ in range(3):
        make_find(taxon=taxon)
    before = list(Find.objects.values_list("updated_at", flat=True))
    assert names_read_anew([taxon.pk]) == 3
    assert names_read_anew([taxon.pk]) == 3
    assert list(Find.objects.values_list("updated_at", flat=True)) == before


def test_settling_costs_the_same_however_many_slips_lie_there(
    django_assert_num_queries: Any, django_assert_max_num_queries: Any
) -> None:
    taxon, writer = make_taxon(), make_account()
    small, large = make_find(taxon=taxon), make_find(taxon=taxon)
    for _ in range(12):
        slip_lay(large.pk, SlipEntry(taxon.scientific_name, taxon.pk), by=viewer(writer))
    for find in (small, large):
        # The six reads that the service states; within an act's transaction it needs no other.
        with django_assert_num_queries(6):
            standing_recompute(find.pk, actor_id=None)


def test_checking_all_costs_the_same_for_five_finds_as_for_fifty(
    django_assert_max_num_queries: Any,
) -> None:
    taxon = make_taxon()
    for _ in range(5):
        make_find(taxon=taxon)
    with django_assert_max_num_queries(6):
        standing_recompute_all(repair=False)
    for _ in range(45):
        make_find(taxon=taxon)
    with django_assert_max_num_queries(6):
        standing_recompute_all(repair=False)


def test_many_finds_are_settled_as_each_alone_would_be() -> None:
    writer = make_account()
    finds = [make_find(taxon=make_taxon()) for _ in range(3)]
    slip_lay(finds[0].pk, SlipEntry("Lactarius quietus"), by=viewer(writer))
    DeskEntry.objects.filter(find=finds[2]).delete()
    before = list(Find.objects.order_by("pk").values(*STORED))
    waiting = {entry.find_id: waiting_stored(entry) for entry in DeskEntry.objects.all()}
    Find.objects.update(standing="disputed", standing_slip=None)
    DeskEntry.objects.filter(find=finds[1]).update(waits="nobody", family="Boletaceae")
    past = timezone.now() - dt.timedelta(days=400)

    standing_recompute_many([find.pk for find in finds], actor_id=None, since={finds[2].pk: past})

    assert list(Find.objects.order_by("pk").values(*STORED)) == before
    assert standing_recompute_all(repair=False) == []
    entries = {entry.find_id: entry for entry in DeskEntry.objects.all()}
    assert {pk: waiting_stored(entries[pk]) for pk in waiting} == waiting
    assert entries[finds[2].pk].since == past
    assert Find.objects.get(pk=finds[2].pk).standing_since == past
    assert Find.objects.get(pk=finds[0].pk).standing_since > past
