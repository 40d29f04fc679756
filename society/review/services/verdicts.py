"""The acts of referees. Verdicts are only ever added; undoing one lays another."""

import datetime as dt
from dataclasses import replace
from itertools import chain
from uuid import UUID

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from society.core.errors import Conflict, NotPermitted, Refused
from society.core.history import change_record
from society.finds.models import DeterminationSlip, Find, Standing
from society.finds.permissions import writer_id
from society.finds.services import SlipEntry, slip_add
from society.finds.services.placing import secrecy_refresh
from society.members.permissions import Viewer
from society.names.models import Rank, Taxon
from society.review.models import Scope, Verdict, VerdictKind
from society.review.permissions import scope_covers, speaks_for_finder
from society.review.queries.evidence import may_be_asked
from society.review.services.assessing import WIDE_RANKS, taxon_at_rank
from society.review.services.notices import notices_of_act
from society.review.services.standing import required_now, standing_recompute

# From narrow to wide, as far as a referee may go.
CONFIRM_RANKS = (Rank.VARIETY, Rank.SPECIES, Rank.AGGREGATE, Rank.SECTION, Rank.GENUS)
MAY_BE_REOPENED = (Standing.FROM_THE_BOOKS, Standing.LEFT_OPEN)
DISPUTE_NEEDS_REASON = 3


@transaction.atomic
def slip_lay(
    find_id: int, entry: SlipEntry, *, by: Viewer, evidence_version: int | None = None
) -> DeterminationSlip:
    """Lay a slip on a find, the writer's own unless ``entry`` says whose, and settle what stands.

    A referee's own slip on another's find is a verdict too: it is confirmed by its author in the
    same act, with the scope, the evidence and the requirements of that moment, and so it can be
    withdrawn like any. ``evidence_version`` is then checked as in ``verdict_lay``.
    A finder's slip answers the referees: it puts the find back in the queue.
    """
    find = _find_locked(find_id)
    entry = replace(entry, by_id=entry.by_id or by.person_id)
    known = entry.uuid is not None and find.slips.filter(uuid=entry.uuid).exists()
    slip = slip_add(find, entry, by=by)
    if known:
        return slip
    verdict = None
    scope = _scope_covering(slip.taxon, by)
    if scope is not None and slip.by_id == by.person_id != find.finder_id:
        _evidence_checked(find, evidence_version)
        verdict = _verdict_saved(
            _verdict(find, slip, VerdictKind.CONFIRM, by, scope, at_rank=slip.rank)
        )
    elif speaks_for_finder(by.person_id, find):
        find.evidence_version += 1
        find.save(update_fields=["evidence_version", "updated_at"])
    secrecy_refresh(find)
    standing_recompute(find.pk, actor_id=by.person_id)
    notices_of_act(find, "slip", by=by, key=f"slip:{slip.pk}", verdict=verdict)
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
    refused as a ``Conflict`` and nothing changes. ``at_rank`` says how far a name is confirmed, or
    what holds of one left open. ``other_name`` goes with a dispute and is laid as a slip of the
    referee's own. Raises ``NotPermitted`` outside the referee's scope or on an own find.
    """
    find = _find_locked(find_id)
    slip = _slip_of(find, slip_id)
    if uuid is not None:
        stored = Verdict.objects.filter(uuid=uuid).first()
        if stored is not None:
            return _resent(stored, find, by, (kind, slip_id, wanted))
    scope = _scope_giving_the_right(find, slip, by)
    _evidence_checked(find, evidence_version)
    _act_checked(find, kind, slip, reason, wanted)
    if kind == VerdictKind.CONFIRM and slip is not None:
        at_rank = at_rank or slip.rank
    _rank_checked(kind, slip, at_rank)
    other = None
    if kind == VerdictKind.DISPUTE and other_name is not None and other_name.name_written.strip():
        other = slip_add(find, replace(other_name, by_id=by.person_id), by=by)
        secrecy_refresh(find)
    verdict = _verdict(find, slip, kind, by, scope, at_rank=at_rank)
    verdict.other_slip = other
    verdict.wanted = wanted if kind == VerdictKind.ASK else ""
    verdict.reason = reason.strip()
    if uuid is not None:
        verdict.uuid = uuid
    return _act_told(_verdict_saved(verdict), by)


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
        by_id=verdict.by_id,
        scope=verdict.scope,
        withdraws=verdict,
        evidence_version=find.evidence_version,
        required={},
    )
    return _act_told(_verdict_saved(withdrawal), by)


# --- what every act does -------------------------------------------------------------------------


def _find_locked(find_id: int) -> Find:
    return Find.objects.select_for_update().get(pk=find_id)


def _slip_of(find: Find, slip_id: int | None) -> DeterminationSlip | None:
    if slip_id is None:
        return None
    slip = find.slips.select_related("taxon__accepted").filter(pk=slip_id).first()
    if slip is None:
        raise Refused(_("This find has no such slip."), "no_slip", field="slip")
    return slip


def _verdict(
    find: Find,
    slip: DeterminationSlip | None,
    kind: str,
    by: Viewer,
    scope: Scope,
    *,
    at_rank: str = "",
) -> Verdict:
    taxon = taxon_at_rank(slip, at_rank) if slip is not None else None
    return Verdict(
        find=find,
        slip=slip,
        kind=kind,
        by_id=writer_id(by),
        scope=scope,
        at_rank=at_rank,
        evidence_version=find.evidence_version,
        required=required_now(find, taxon),
    )


def _verdict_saved(verdict: Verdict) -> Verdict:
    """Write the verdict after everything laid on the find before it, whatever the clocks say."""
    laid = chain(
        verdict.find.slips.order_by("-laid_at").values_list("laid_at", flat=True)[:1],
        verdict.find.verdicts.order_by("-laid_at").values_list("laid_at", flat=True)[:1],
    )
    moment = dt.timedelta(microseconds=1)
    verdict.laid_at = max([timezone.now(), *(before + moment for before in laid)])
    verdict.full_clean(exclude=["find"])
    verdict.save(force_insert=True)
    return verdict


def _act_told(verdict: Verdict, by: Viewer) -> Verdict:
    """Write the act into the history, settle what stands, and tell those concerned."""
    change_record(f"find.{verdict.kind}", verdict.find, actor_id=by.person_id, fields=["verdicts"])
    undoing = verdict.kind == VerdictKind.WITHDRAW
    standing_recompute(verdict.find_id, actor_id=by.person_id, undoing=undoing)
    key = f"verdict:{verdict.pk}"
    notices_of_act(verdict.find, verdict.kind, by=by, key=key, verdict=verdict)
    return verdict


# --- what is refused -----------------------------------------------------------------------------


def _resent(stored: Verdict, find: Find, by: Viewer, act: tuple[str, int | None, str]) -> Verdict:
    """Return the stored verdict for a double click; another act under its uuid is a conflict."""
    if (stored.by_id, stored.find_id) != (by.person_id, find.pk):
        raise Refused(_("There is no such act of yours."), "not_found")
    if (stored.kind, stored.slip_id, stored.wanted) != act:
        raise Conflict(
            _("You have acted on this find from this page already. Look at it anew, then decide."),
            {"kind": stored.kind},
        )
    return stored


def _scope_covering(taxon: Taxon | None, by: Viewer) -> Scope | None:
    """Return the narrowest open scope that covers a name, read anew from the database."""
    narrowness = {"genus": 0, "family": 1, "order": 2, "all": 3}
    held = Scope.objects.filter(person_id=writer_id(by), ended_at=None)
    scopes = sorted(held, key=lambda scope: narrowness[scope.rank])
    covering = (scope for scope in scopes if scope_covers(scope.rank, scope.name, taxon))
    return next(covering, None)


def _scope_giving_the_right(find: Find, slip: DeterminationSlip | None, by: Viewer) -> Scope:
    if find.withdrawn_at is not None:
        raise NotPermitted(_("This find has been withdrawn."), "withdrawn")
    if by.person_id == find.finder_id:
        raise NotPermitted(_("Nobody settles their own find."), "own_find")
    scope = _scope_covering(slip.taxon if slip is not None else None, by)
    if scope is None:
        raise NotPermitted(_("This name lies outside what you referee."), "outside_scope")
    return scope


def _evidence_checked(find: Find, seen: int | None) -> None:
    if seen is not None and seen != find.evidence_version:
        raise Conflict(
            _("The finder changed the evidence while you were looking. Look again, then decide."),
            {"evidence_version": find.evidence_version},
        )


def _act_checked(
    find: Find, kind: str, slip: DeterminationSlip | None, reason: str, wanted: str
) -> None:
    if kind not in set(VerdictKind.values) - {VerdictKind.WITHDRAW}:
        raise Refused(_("There is no such act."), "no_act")
    if kind in (VerdictKind.CONFIRM, VerdictKind.DISPUTE) and slip is None:
        raise Refused(_("Choose the slip this is about."), "no_slip", field="slip")
    if kind == VerdictKind.DISPUTE and len(reason.strip()) < DISPUTE_NEEDS_REASON:
        raise Refused(_("Say in a few words what speaks against it."), "no_reason", field="reason")
    if kind == VerdictKind.ASK and wanted not in may_be_asked(find):
        raise Refused(_("Choose the evidence that would settle it."), "no_wanted", field="wanted")
    if kind == VerdictKind.REOPEN and find.standing not in MAY_BE_REOPENED:
        raise Refused(_("There is nothing here to reopen."), "not_closed")


def _rank_checked(kind: str, slip: DeterminationSlip | None, at_rank: str) -> None:
    """Refuse a rank narrower than the slip's own, or one that the checklist cannot list."""
    if not at_rank:
        return
    field = "holds" if kind == VerdictKind.LEAVE_OPEN else "at_rank"
    if slip is None or at_rank not in CONFIRM_RANKS:
        raise Refused(_("Choose how far it holds."), "no_rank", field=field)
    order = [str(rank) for rank in CONFIRM_RANKS]
    if slip.rank in order and order.index(at_rank) < order.index(slip.rank):
        raise Refused(_("The slip itself does not go that far."), "too_narrow", field=field)
    if at_rank in WIDE_RANKS and slip.taxon is not None and not taxon_at_rank(slip, at_rank):
        raise Refused(
            _("The checklist does not have this genus yet. A keeper can add it."),
            "no_genus",
            field=field,
        )
