"""The acts of referees, and of finders in answer. Verdicts are only ever added."""

from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from society.core.errors import Conflict, NotPermitted, Refused
from society.core.history import change_record
from society.finds.models import DeterminationSlip, Find
from society.finds.services import SlipEntry, slip_add
from society.finds.services.placing import secrecy_refresh
from society.members.permissions import Viewer
from society.names.models import Rank
from society.review.models import Comment, Scope, Verdict, VerdictKind
from society.review.permissions import may_comment, scope_covers
from society.review.services.notices import notices_of_act
from society.review.services.standing import required_now, standing_recompute

CONFIRM_RANKS = (Rank.SPECIES, Rank.VARIETY, Rank.AGGREGATE, Rank.SECTION, Rank.GENUS)
DISPUTE_NEEDS_REASON = 3


@transaction.atomic
def slip_lay(find_id: int, entry: SlipEntry, *, by: Viewer) -> DeterminationSlip:
    """Lay a slip on a find and work out what stands. A referee's own slip counts as a verdict."""
    find = _find_locked(find_id)
    slip = slip_add(find, entry, by=by)
    secrecy_refresh(find)
    standing_recompute(find.pk, actor_id=by.person_id)
    notices_of_act(find, "slip", by=by, key=f"slip:{slip.pk}")
    return slip


@transaction.atomic
def verdict_lay(
    find_id: int,
    *,
    by: Viewer,
    kind: str,
    slip_id: int | None,
    evidence_version: int | None = None,
    at_rank: str = "",
    reason: str = "",
    wanted: str = "",
    other_name: SlipEntry | None = None,
    uuid: UUID | None = None,
) -> Verdict:
    """Lay a verdict: confirm, dispute, ask, leave_open or reopen.

    ``evidence_version`` is the one the referee saw: when the evidence changed meanwhile the act is
    refused as a ``Conflict`` and nothing changes. ``other_name`` is laid as a slip of the referee's
    own. Raises ``NotPermitted`` outside the referee's scope or on an own find.
    """
    if uuid is not None:
        stored = Verdict.objects.filter(uuid=uuid, by_id=by.person_id, find_id=find_id).first()
        if stored is not None:
            return stored
    find = _find_locked(find_id)
    slip = _slip_of(find, slip_id)
    scope = _scope_giving_the_right(find, slip, by)
    if evidence_version is not None and evidence_version != find.evidence_version:
        raise Conflict(
            _("The finder changed the evidence while you were looking. Look again, then decide."),
            {"evidence_version": find.evidence_version},
        )
    _act_checked(kind, slip, at_rank, reason, wanted)
    taxon = slip.taxon.current if slip is not None and slip.taxon is not None else None
    verdict = Verdict(
        find=find,
        slip=slip,
        kind=kind,
        by_id=by.person_id,
        scope=scope,
        at_rank=at_rank or (slip.rank if kind == VerdictKind.CONFIRM and slip else ""),
        wanted=wanted,
        reason=reason,
        evidence_version=find.evidence_version,
        required=required_now(find, taxon),
        **({"uuid": uuid} if uuid else {}),
    )
    if other_name is not None and other_name.name_written.strip():
        verdict.other_slip = slip_add(find, _as_own(other_name, by), by=by)
        secrecy_refresh(find)
    verdict.full_clean(exclude=["find"])
    verdict.save(force_insert=True)
    change_record(f"find.{kind}", find, actor_id=by.person_id, fields=["verdicts"])
    standing_recompute(find.pk, actor_id=by.person_id)
    notices_of_act(find, kind, by=by, key=f"verdict:{verdict.pk}")
    return verdict


@transaction.atomic
def verdict_withdraw(verdict_id: int, *, by: Viewer) -> Verdict:
    """Undo one's own act by laying a verdict that withdraws it; doing so twice changes nothing."""
    verdict = Verdict.objects.select_related("scope").get(pk=verdict_id)
    if verdict.by_id != by.person_id:
        raise NotPermitted(_("Only the referee who laid it may withdraw an act."))
    find = _find_locked(verdict.find_id)
    if verdict.kind == VerdictKind.WITHDRAW:
        raise Refused(_("An act that withdraws cannot itself be withdrawn."), "is_withdrawal")
    already = Verdict.objects.filter(withdraws=verdict).first()
    if already is not None:
        return already
    withdrawal = Verdict(
        find=find,
        slip_id=verdict.slip_id,
        kind=VerdictKind.WITHDRAW,
        by_id=by.person_id,
        scope=verdict.scope,
        withdraws=verdict,
        evidence_version=find.evidence_version,
        required={},
    )
    withdrawal.full_clean(exclude=["find"])
    withdrawal.save(force_insert=True)
    change_record("find.withdraw", find, actor_id=by.person_id, fields=["verdicts"])
    standing_recompute(find.pk, actor_id=by.person_id)
    notices_of_act(find, VerdictKind.WITHDRAW, by=by, key=f"verdict:{withdrawal.pk}")
    return withdrawal


@transaction.atomic
def comment_add(find_id: int, *, text: str, by: Viewer, uuid: UUID | None = None) -> Comment:
    """Add a line to a find's thread. A finder's answer puts the find back in the queue."""
    if uuid is not None:
        stored = Comment.objects.filter(uuid=uuid, by_id=by.person_id, find_id=find_id).first()
        if stored is not None:
            return stored
    find = _find_locked(find_id)
    if not may_comment(by, find):
        raise NotPermitted(_("Only members may write here."))
    if not text.strip():
        raise Refused(_("Write something first."), "empty", field="text")
    comment = Comment(
        find=find, by_id=by.person_id, text=text.strip(), **({"uuid": uuid} if uuid else {})
    )
    comment.full_clean(exclude=["find"])
    comment.save(force_insert=True)
    if by.person_id == find.finder_id:
        find.evidence_version += 1
        find.save(update_fields=["evidence_version", "updated_at"])
        standing_recompute(find.pk, actor_id=by.person_id)
    change_record("find.commented", find, actor_id=by.person_id, fields=["comments"])
    notices_of_act(find, "comment", by=by, key=f"comment:{comment.pk}")
    return comment


def _find_locked(find_id: int) -> Find:
    return Find.objects.select_for_update().get(pk=find_id)


def _slip_of(find: Find, slip_id: int | None) -> DeterminationSlip | None:
    if slip_id is None:
        return None
    slip = find.slips.select_related("taxon__accepted").filter(pk=slip_id).first()
    if slip is None:
        raise Refused(_("This find has no such slip."), "no_slip")
    return slip


def _scope_giving_the_right(find: Find, slip: DeterminationSlip | None, by: Viewer) -> Scope:
    """Return the narrowest open scope that covers the slip's name, read anew from the database."""
    if find.withdrawn_at is not None:
        raise NotPermitted(_("This find has been withdrawn."), "withdrawn")
    if by.person_id is None:
        raise NotPermitted(_("Only a referee may do this."))
    if by.person_id == find.finder_id:
        raise NotPermitted(_("Nobody settles their own find."), "own_find")
    taxon = slip.taxon.current if slip is not None and slip.taxon is not None else None
    narrowness = {"genus": 0, "family": 1, "order": 2, "all": 3}
    scopes = sorted(
        Scope.objects.filter(person_id=by.person_id, ended_at=None),
        key=lambda scope: narrowness[scope.rank],
    )
    for scope in scopes:
        if scope_covers(scope.rank, scope.name, taxon):
            return scope
    raise NotPermitted(_("This name lies outside what you referee."), "outside_scope")


def _act_checked(
    kind: str, slip: DeterminationSlip | None, at_rank: str, reason: str, wanted: str
) -> None:
    if kind not in set(VerdictKind.values) - {VerdictKind.WITHDRAW}:
        raise Refused(_("There is no such act."), "no_act")
    if kind in (VerdictKind.CONFIRM, VerdictKind.DISPUTE) and slip is None:
        raise Refused(_("Choose the slip this is about."), "no_slip", field="slip")
    if kind == VerdictKind.CONFIRM and at_rank and at_rank not in CONFIRM_RANKS:
        raise Refused(_("Choose how far you confirm it."), "no_rank", field="at_rank")
    if kind == VerdictKind.DISPUTE and len(reason.strip()) < DISPUTE_NEEDS_REASON:
        raise Refused(_("Say in a few words what speaks against it."), "no_reason", field="reason")
    if kind == VerdictKind.ASK and not wanted:
        raise Refused(_("Choose the evidence that would settle it."), "no_wanted", field="wanted")


def _as_own(entry: SlipEntry, by: Viewer) -> SlipEntry:
    return SlipEntry(
        name_written=entry.name_written,
        taxon_id=entry.taxon_id,
        qualifier=entry.qualifier,
        by_id=by.person_id,
        basis=entry.basis,
        literature=entry.literature,
        remarks=entry.remarks,
        uuid=entry.uuid,
    )
