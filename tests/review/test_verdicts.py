"""The acts of referees: who may, what a verdict keeps, disputes, own slips, undoing."""

from typing import Any
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction

from society.core.errors import Conflict, NotPermitted, Refused
from society.core.models import Change
from society.finds.models import Find
from society.finds.services import SlipEntry
from society.members.models import Account
from society.members.permissions import GUEST
from society.names.models import Taxon
from society.review.models import DeskEntry, Verdict, VerdictKind, Waits
from society.review.services import comment_add, slip_lay, verdict_lay, verdict_withdraw
from tests.make import (
    make_account,
    make_find,
    make_referee,
    make_society,
    make_taxon,
    viewer,
)
from tests.review.acts import act, fresh, lay, waits

pytestmark = pytest.mark.django_db


# --- who may --------------------------------------------------------------------------------------


def test_a_referee_in_scope_confirms_and_the_find_leaves_the_queue(
    milkcap: Taxon, bea: Account
) -> None:
    find = make_find(taxon=milkcap)
    assert waits(find) == Waits.FOR_REFEREE
    act(find, bea)
    find = fresh(find)
    assert (find.standing, find.standing_taxon) == ("confirmed", milkcap)
    assert find.standing_rank == "species"
    assert waits(find) == Waits.FOR_NOBODY


def test_nobody_settles_their_own_find_whatever_the_act(milkcap: Taxon) -> None:
    ann = make_referee("Ann Hartley")
    find = make_find(ann, taxon=milkcap)
    for kind in ("confirm", "dispute", "ask", "leave_open", "reopen"):
        with pytest.raises(NotPermitted) as refused:
            act(find, ann, kind, reason="because of the gills", wanted="section")
        assert refused.value.code == "own_find"
    assert not Verdict.objects.exists()


def test_the_find_of_a_referee_stands_as_determined_by_its_referee(
    milkcap: Taxon, carl: Account
) -> None:
    bea = make_referee("Bea Lowther", "genus", "Lactarius")
    find = make_find(bea, taxon=milkcap)
    assert find.standing == "determined_by_its_referee"
    assert waits(find) == Waits.FOR_NOBODY
    act(find, carl)
    assert fresh(find).standing == "confirmed"


def test_a_slip_entered_for_a_referee_by_another_hand_is_not_that_referees_act(
    milkcap: Taxon, bea: Account
) -> None:
    clerk = make_account("Clerk")
    slip = SlipEntry("Lactarius deterrimus", milkcap.pk, by_id=bea.person_id)
    find = make_find(clerk, finder_id=bea.person_id, slip=slip)
    assert find.finder == bea.person
    assert find.standing == "unconfirmed"


@pytest.mark.parametrize("kind", ["confirm", "dispute", "ask", "leave_open"])
def test_outside_the_scope_every_act_is_refused(milkcap: Taxon, kind: str) -> None:
    stranger = make_referee("Cap Wright", "genus", "Cortinarius")
    find = make_find(taxon=milkcap)
    with pytest.raises(NotPermitted) as refused:
        act(find, stranger, kind, reason="not at all like it", wanted="section")
    assert refused.value.code == "outside_scope"


def test_members_without_a_scope_and_guests_are_refused(milkcap: Taxon) -> None:
    find = make_find(taxon=milkcap)
    with pytest.raises(NotPermitted):
        act(find, make_account())
    with pytest.raises(NotPermitted):
        verdict_lay(find.pk, by=GUEST, kind="confirm", slip_id=find.slips.get().pk)


def test_a_name_outside_the_checklist_is_for_who_referees_everything(bea: Account) -> None:
    find = make_find(name="Lactarius novissimus")
    with pytest.raises(NotPermitted):
        act(find, bea)
    act(find, make_referee("Ottoline Brack"))
    find = fresh(find)
    assert (find.standing, find.standing_taxon) == ("confirmed", None)


def test_a_synonym_is_in_the_scope_of_its_old_genus_and_of_its_new_one(bea: Account) -> None:
    accepted = make_taxon("Lactifluus volemus")
    synonym = make_taxon("Lactarius volemus", accepted=accepted)
    find = make_find(taxon=synonym)
    act(find, bea)
    find = fresh(find)
    assert (find.standing, find.standing_taxon) == ("confirmed", accepted)


def test_a_scope_that_ended_gives_no_right_and_takes_nothing_back(
    milkcap: Taxon, bea: Account
) -> None:
    one, other = make_find(taxon=milkcap), make_find(taxon=milkcap)
    by = viewer(bea)
    act(one, bea)
    bea.person.scopes.update(ended_at=one.created_at)
    with pytest.raises(NotPermitted):
        # The scopes at hand are stale; the service reads them anew.
        verdict_lay(other.pk, by=by, kind="confirm", slip_id=other.slips.get().pk)
    assert fresh(one).standing == "confirmed"


def test_a_withdrawn_find_takes_no_act(milkcap: Taxon, bea: Account) -> None:
    find = make_find(taxon=milkcap)
    Find.objects.filter(pk=find.pk).update(withdrawn_at=find.created_at)
    with pytest.raises(NotPermitted):
        act(find, bea)


# --- what a verdict keeps -------------------------------------------------------------------------


def test_a_verdict_keeps_the_narrowest_scope_the_evidence_seen_and_what_was_required(
    carl: Account,
) -> None:
    make_society(old_books_entered=True)
    taxon = make_taxon("Lactarius sphagni", needs="microscope")
    carl.person.scopes.create(rank="genus", name="Lactarius")
    find = make_find(taxon=taxon)
    verdict = act(find, carl)
    assert (verdict.scope.rank, verdict.scope.name) == ("genus", "Lactarius")
    assert verdict.evidence_version == find.evidence_version
    assert verdict.required == {"needs": "microscope", "first": True, "needs_two": True}


def test_verdicts_are_never_edited(milkcap: Taxon, bea: Account) -> None:
    verdict = act(make_find(taxon=milkcap), bea)
    with pytest.raises(IntegrityError), transaction.atomic():
        Verdict.objects.filter(pk=verdict.pk).update(kind="dispute")


def test_evidence_changed_meanwhile_is_a_conflict_and_changes_nothing(
    milkcap: Taxon, bea: Account
) -> None:
    ann = make_account("Ann")
    find = make_find(ann, taxon=milkcap)
    seen = find.evidence_version
    comment_add(find.pk, text="It had orange milk that turned wine red.", by=viewer(ann))
    with pytest.raises(Conflict):
        act(find, bea, evidence_version=seen)
    assert not Verdict.objects.exists()
    assert fresh(find).standing == "unconfirmed"
    act(find, bea, evidence_version=fresh(find).evidence_version)
    assert fresh(find).standing == "confirmed"


def test_evidence_changed_later_flags_and_never_unconfirms(
    milkcap: Taxon, bea: Account, client: Any
) -> None:
    ann = make_account("Ann")
    find = make_find(ann, taxon=milkcap)
    act(find, bea)
    comment_add(find.pk, text="There was a birch too.", by=viewer(ann))
    assert fresh(find).standing == "confirmed"
    client.force_login(bea)
    page = client.get(f"/finds/{find.year}/{find.number}/").content.decode()
    assert "evidence was added or changed after it" in page


def test_a_double_click_lays_one_verdict(milkcap: Taxon, bea: Account) -> None:
    find, uuid = make_find(taxon=milkcap), uuid4()
    assert act(find, bea, uuid=uuid) == act(find, bea, uuid=uuid)
    assert Verdict.objects.count() == 1
    assert Change.objects.filter(verb="find.confirm").count() == 1


def test_another_act_from_the_same_page_is_a_conflict_not_silence(
    milkcap: Taxon, bea: Account
) -> None:
    find, uuid = make_find(taxon=milkcap), uuid4()
    act(find, bea, uuid=uuid)
    with pytest.raises(Conflict):
        act(find, bea, "leave_open", uuid=uuid)


def test_a_uuid_of_somebody_elses_verdict_is_not_found(
    milkcap: Taxon, bea: Account, carl: Account
) -> None:
    find, uuid = make_find(taxon=milkcap), uuid4()
    act(find, bea, uuid=uuid)
    with pytest.raises(Refused) as refused:
        act(find, carl, uuid=uuid)
    assert refused.value.code == "not_found"


# --- disputes, slips, undoing ---------------------------------------------------------------------


def test_a_dispute_says_why_and_may_give_another_name(milkcap: Taxon, bea: Account) -> None:
    find = make_find(taxon=milkcap)
    with pytest.raises(Refused) as refused:
        act(find, bea, "dispute", reason=" ")
    assert refused.value.field == "reason"
    other = make_taxon("Lactarius salmonicolor")
    verdict = act(
        find,
        bea,
        "dispute",
        reason="It stood under fir.",
        other_name=SlipEntry("L. salmonicolor", other.pk),
    )
    assert verdict.other_slip is not None
    assert (verdict.other_slip.by, verdict.other_slip.taxon) == (bea.person, other)
    assert fresh(find).standing == "disputed"
    assert waits(find) == Waits.FOR_REFEREE
    verdict_withdraw(verdict.pk, by=viewer(bea))
    # The slip stays to be read, and is nobody's confirmation.
    assert fresh(find).standing == "unconfirmed"
    assert find.slips.count() == 2


def test_two_referees_with_two_names_make_a_dispute_that_one_of_them_settles(
    milkcap: Taxon, bea: Account, carl: Account
) -> None:
    other = make_taxon("Lactarius deliciosus")
    find = make_find(taxon=milkcap)
    first = find.slips.get()
    act(find, bea)
    lay(find, carl, other)
    assert fresh(find).standing == "disputed"
    act(find, carl, slip_id=first.pk)
    find = fresh(find)
    assert (find.standing, find.standing_taxon) == ("confirmed", milkcap)


def test_a_referees_own_slip_on_anothers_find_counts_and_keeps_what_a_verdict_keeps(
    milkcap: Taxon, bea: Account
) -> None:
    other = make_taxon("Lactarius deliciosus")
    find = make_find(taxon=milkcap)
    slip = lay(find, bea, other)
    find = fresh(find)
    assert (find.standing, find.standing_slip) == ("confirmed", slip)
    verdict = slip.verdicts.get()
    assert (verdict.kind, verdict.by) == ("confirm", bea.person)
    assert verdict.evidence_version == find.evidence_version
    assert verdict.required["needs"] == "eye"
    assert [row.name_written for row in find.slips.order_by("pk")] == [
        "Lactarius deterrimus",
        "Lactarius deliciosus",
    ]


def test_the_force_of_a_referees_slip_can_be_withdrawn_and_the_slip_stays(
    milkcap: Taxon, bea: Account
) -> None:
    find = make_find(taxon=milkcap)
    slip = lay(find, bea, make_taxon("Lactarius deliciosus"))
    verdict_withdraw(slip.verdicts.get().pk, by=viewer(bea))
    find = fresh(find)
    assert (find.standing, find.standing_taxon) == ("unconfirmed", milkcap)
    assert find.slips.count() == 2


def test_a_referees_slip_on_changed_evidence_is_a_conflict_and_lays_nothing(
    milkcap: Taxon, bea: Account
) -> None:
    ann = make_account("Ann")
    find = make_find(ann, taxon=milkcap)
    seen = find.evidence_version
    comment_add(find.pk, text="The milk was white.", by=viewer(ann))
    with pytest.raises(Conflict):
        lay(find, bea, milkcap, evidence_version=seen)
    assert find.slips.count() == 1


@pytest.mark.parametrize("scope", [None, "Cortinarius"])
def test_a_slip_without_scope_settles_nothing(milkcap: Taxon, scope: str | None) -> None:
    writer = make_referee("Writer", "genus", scope) if scope else make_account("Writer")
    find = make_find(taxon=milkcap)
    lay(find, writer, milkcap)
    assert fresh(find).standing == "unconfirmed"
    assert find.slips.count() == 2
    assert not Verdict.objects.exists()


def test_a_slip_is_the_writers_own_unless_said_otherwise(milkcap: Taxon) -> None:
    writer, find = make_account("Writer"), make_find(taxon=milkcap)
    assert lay(find, writer, milkcap).by == writer.person


def test_a_slip_sent_again_is_the_same_slip_and_tells_nobody_twice(
    milkcap: Taxon, bea: Account
) -> None:
    find = make_find(taxon=milkcap)
    entry = SlipEntry("Lactarius deliciosus", make_taxon("Lactarius deliciosus").pk, uuid=uuid4())
    first = slip_lay(find.pk, entry, by=viewer(bea))
    assert slip_lay(find.pk, entry, by=viewer(bea)) == first
    assert (find.slips.count(), find.verdicts.count()) == (2, 1)


def test_undoing_lays_a_withdrawal_and_removes_nothing(milkcap: Taxon, bea: Account) -> None:
    find = make_find(taxon=milkcap)
    verdict = act(find, bea)
    undone = verdict_withdraw(verdict.pk, by=viewer(bea))
    assert (undone.kind, undone.withdraws) == (VerdictKind.WITHDRAW, verdict)
    assert fresh(find).standing == "unconfirmed"
    assert waits(find) == Waits.FOR_REFEREE
    assert verdict_withdraw(verdict.pk, by=viewer(bea)) == undone
    assert Verdict.objects.count() == 2
    with pytest.raises(Refused):
        verdict_withdraw(undone.pk, by=viewer(bea))


def test_nobody_undoes_anothers_act(milkcap: Taxon, bea: Account, carl: Account) -> None:
    verdict = act(make_find(taxon=milkcap), bea)
    with pytest.raises(NotPermitted):
        verdict_withdraw(verdict.pk, by=viewer(carl))


def test_a_finders_new_slip_after_confirmation_stands_beside_and_comes_before_a_referee(
    milkcap: Taxon, bea: Account
) -> None:
    ann = make_account("Ann")
    find = make_find(ann, taxon=milkcap)
    act(find, bea)
    lay(find, ann, make_taxon("Lactarius deliciosus"))
    find = fresh(find)
    assert (find.standing, find.standing_taxon) == ("confirmed", milkcap)
    entry = DeskEntry.objects.get(find=find)
    assert entry.waits == Waits.FOR_REFEREE
    assert "finder_slip_after_confirmation" in entry.reasons


# --- comments -------------------------------------------------------------------------------------


def test_a_comment_sent_again_is_the_same_one(milkcap: Taxon) -> None:
    ann = make_account("Ann")
    find, uuid = make_find(ann, taxon=milkcap), uuid4()
    first = comment_add(find.pk, text="Under spruce.", by=viewer(ann), uuid=uuid)
    assert comment_add(find.pk, text="Under spruce.", by=viewer(ann), uuid=uuid) == first
    assert fresh(find).evidence_version == find.evidence_version + 1
    with pytest.raises(Refused) as refused:
        comment_add(find.pk, text="Mine", by=viewer(make_account()), uuid=uuid)
    assert refused.value.code == "not_found"


def test_an_empty_comment_and_a_guests_are_refused(milkcap: Taxon) -> None:
    find = make_find(taxon=milkcap)
    with pytest.raises(Refused) as refused:
        comment_add(find.pk, text=" \n ", by=viewer(make_account()))
    assert refused.value.field == "text"
    with pytest.raises(NotPermitted):
        comment_add(find.pk, text="Hello", by=GUEST)
