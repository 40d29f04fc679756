"""From rows to what stands for a find and where it waits: reads of the rule, no writing.

``science/standing`` decides; here its facts are put together and its answer is turned into the
columns that ``Find`` and ``DeskEntry`` keep.
"""

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields

from django.utils import timezone

from society.finds.models import Basis, DeterminationSlip, Find, Qualifier, Standing
from society.names.models import Rank, Taxon
from society.review.models import DeskEntry, Scope, Verdict, VerdictKind, Waits
from society.review.permissions import scope_covers
from society.science import standing as rule
from society.science.names import fold

# With one of these behind it a species' name means the aggregate called after it.
WIDENINGS = (Qualifier.AGG, Qualifier.SL, Qualifier.GROUP)
WIDE_RANKS = (Rank.AGGREGATE, Rank.SECTION, Rank.GENUS)


@dataclass(frozen=True, slots=True)
class Stands:
    """The columns of ``Find`` that hold what stands."""

    standing: str
    standing_taxon_id: int | None
    standing_slip_id: int | None
    standing_rank: str
    reads_wide: bool


@dataclass(frozen=True, slots=True)
class Waiting:
    """The columns of ``DeskEntry``, but for the moment since when."""

    waits: str
    current_slip_id: int | None
    order_name: str
    family: str
    genus: str
    sort_name: str
    reasons: list[str]


def stands_stored(find: Find) -> Stands:
    return Stands(**{field.name: getattr(find, field.name) for field in fields(Stands)})


def waiting_stored(entry: DeskEntry) -> Waiting:
    return Waiting(**{field.name: getattr(entry, field.name) for field in fields(Waiting)})


def find_assessed(
    find: Find,
    slips: Sequence[DeterminationSlip],
    verdicts: Sequence[Verdict],
    finders_scopes: Iterable[Scope],
    splits: Mapping[int, Sequence[dt.date]],
) -> tuple[Stands, Waiting]:
    """Return what both caches of a find must hold.

    ``slips`` (with their taxa) and ``verdicts`` are all of the find's, in the order laid;
    ``finders_scopes`` all that its finder ever had; ``splits`` the days on which names were split,
    by ``Taxon`` id, at least of the names on the slips. Asks nothing of the database, but for up to
    two queries where a wider name than the slip's is what stands.
    """
    result = rule.what_stands(
        rule.FindFacts(
            finder_ids=frozenset({find.finder_id}),
            from_books=any(slip.basis == Basis.BOOKS for slip in slips),
            needs_two=_needs_two(verdicts),
        ),
        *_acts(find, slips, verdicts, list(finders_scopes)),
    )
    slip = next((slip for slip in slips if slip.pk == result.slip_id), None)
    acts = _days_of_acts(find, result, slip, slips, verdicts)
    stands = _stands(result, slip, acts, splits)
    current = slip or (slips[-1] if slips else None)
    taxon = current.taxon.current if current is not None and current.taxon is not None else None
    waiting = Waiting(
        waits=_waits(find, stands.standing, verdicts, result.reason_codes),
        current_slip_id=current.pk if current else None,
        order_name=taxon.order if taxon else "",
        family=taxon.family if taxon else "",
        genus=taxon.genus if taxon else "",
        sort_name=taxon.folded if taxon else fold(current.name_written if current else "")[:200],
        reasons=list(result.reason_codes),
    )
    return stands, waiting


def _acts(
    find: Find,
    slips: Sequence[DeterminationSlip],
    verdicts: Sequence[Verdict],
    scopes: Sequence[Scope],
) -> tuple[list[rule.SlipFacts], list[rule.VerdictFacts]]:
    """Return slips and verdicts as the rule takes them, in one order."""
    rows: list[tuple[DeterminationSlip | Verdict, int]] = [
        *((slip, 0) for slip in slips),
        *((verdict, 1) for verdict in verdicts),
    ]
    # Of two laid in one instant the slip comes first: verdicts are laid on slips.
    rows.sort(key=lambda row: (row[0].laid_at, row[1], row[0].pk))
    slip_facts, verdict_facts = [], []
    for order, (row, _) in enumerate(rows):
        if isinstance(row, Verdict):
            verdict_facts.append(_verdict_facts(row, order))
        else:
            slip_facts.append(_slip_facts(row, order, find, scopes))
    return slip_facts, verdict_facts


def _slip_facts(
    slip: DeterminationSlip, order: int, find: Find, scopes: Sequence[Scope]
) -> rule.SlipFacts:
    taxon = slip.taxon.current if slip.taxon is not None else None
    name = taxon.folded if taxon is not None else fold(slip.name_written)
    rank = taxon.rank if taxon is not None else slip.rank
    aggregate = f"{name} agg"
    above: tuple[tuple[str, str], ...] = ()
    if rank == Rank.SPECIES and slip.qualifier in WIDENINGS:
        key, rank = aggregate, str(Rank.AGGREGATE)
    else:
        key = f"{name} {slip.qualifier}".strip()
        above = (("aggregate", aggregate),) if rank == Rank.SPECIES else ()
    return rule.SlipFacts(
        id=slip.pk,
        order=order,
        taxon_id=taxon.pk if taxon is not None else None,
        name_key=key,
        rank=rank,
        qualifier=slip.qualifier or None,
        by=slip.by_id,
        by_scope=_is_its_referees(slip, find, scopes),
        basis_from_books=slip.basis == Basis.BOOKS,
        above=above,
    )


def _is_its_referees(slip: DeterminationSlip, find: Find, scopes: Sequence[Scope]) -> bool:
    """Whether the finder laid this slip, by their own hand, as the referee for its name.

    Another referee's slip has its force from the verdict laid with it (``slip_lay``).
    """
    return (
        slip.basis != Basis.BOOKS
        and slip.by_id == slip.entered_by_id == find.finder_id
        and any(
            scope.created_at <= slip.laid_at
            and (scope.ended_at is None or slip.laid_at < scope.ended_at)
            and scope_covers(scope.rank, scope.name, slip.taxon)
            for scope in scopes
        )
    )


def _verdict_facts(verdict: Verdict, order: int) -> rule.VerdictFacts:
    return rule.VerdictFacts(
        id=verdict.pk,
        order=order,
        kind=verdict.kind,  # type: ignore[arg-type]
        slip_id=verdict.slip_id,
        by=verdict.by_id,
        in_scope=True,  # a verdict is refused without the scope that it stores
        at_rank=verdict.at_rank or None,
        other_slip_id=verdict.other_slip_id,
        withdraws=verdict.withdraws_id,
    )


def verdicts_that_stand(verdicts: Iterable[Verdict]) -> list[Verdict]:
    """Return the verdicts without withdrawals and what they withdrew."""
    held = list(verdicts)
    withdrawn = {verdict.withdraws_id for verdict in held}
    return [row for row in held if row.kind != VerdictKind.WITHDRAW and row.pk not in withdrawn]


def _needs_two(verdicts: Iterable[Verdict]) -> bool:
    """Whether a name that a referee holds to now needed a second one when it was confirmed."""
    latest: dict[int, Verdict] = {}
    for verdict in verdicts_that_stand(verdicts):
        if verdict.kind not in (VerdictKind.ASK, VerdictKind.REOPEN):
            latest[verdict.by_id] = verdict
    return any(
        row.kind == VerdictKind.CONFIRM and row.required.get("needs_two") for row in latest.values()
    )


def _stands(
    result: rule.Standing,
    slip: DeterminationSlip | None,
    acts: Iterable[dt.date],
    splits: Mapping[int, Sequence[dt.date]],
) -> Stands:
    taxon, rank = None, result.rank or ""
    if slip is not None and slip.taxon is not None and result.taxon_id is not None:
        taxon = taxon_at_rank(slip, result.rank)
        if slip.qualifier in WIDENINGS and taxon == slip.taxon.current:
            rank = taxon.rank  # its qualifier, kept with it, says that the aggregate is meant
    reads_wide = (
        slip is not None
        and taxon is not None
        and rule.reads_wide(
            rank=rank or None,
            qualifier=slip.qualifier,
            acts=acts,
            splits=[day for pk in names_of(slip) for day in splits.get(pk, ())],
        )
    )
    return Stands(
        result.code, taxon.pk if taxon is not None else None, result.slip_id, rank, reads_wide
    )


def names_of(slip: DeterminationSlip) -> set[int]:
    """Return the rows whose splits touch a slip: the one it points at and the accepted one."""
    return set() if slip.taxon is None else {slip.taxon.pk, slip.taxon.current.pk}


def _days_of_acts(
    find: Find,
    result: rule.Standing,
    slip: DeterminationSlip | None,
    slips: Sequence[DeterminationSlip],
    verdicts: Sequence[Verdict],
) -> list[dt.date]:
    """Return the days of the acts that carry the name: its slip, and who confirmed it as far."""
    if slip is None or slip.taxon is None:
        return []
    same = {
        other.pk
        for other in slips
        if other.taxon is not None
        and (other.taxon.current, other.qualifier) == (slip.taxon.current, slip.qualifier)
    }
    days = [timezone.localdate(slip.laid_at)]
    if slip.basis == Basis.BOOKS:
        # Taken over as it was determined at the time: copying is no second look.
        days = [min(days[0], find.date_end)]
    return days + [
        timezone.localdate(verdict.laid_at)
        for verdict in verdicts_that_stand(verdicts)
        if verdict.kind == VerdictKind.CONFIRM
        and verdict.slip_id in same
        and verdict.by_id in result.by
        and verdict.at_rank not in WIDE_RANKS
    ]


def taxon_at_rank(slip: DeterminationSlip, rank: str | None) -> Taxon | None:
    """Return a slip's accepted name, climbed where only a wider rank is settled.

    What has no row of its own is listed under its genus, but for an aggregate that the slip itself
    writes: its qualifier tells. None where the checklist has no such genus. Two queries at most.
    """
    if slip.taxon is None:
        return None
    taxon = slip.taxon.current
    if not rank or rank == taxon.rank or rank not in WIDE_RANKS:
        return taxon
    accepted = Taxon.objects.fungi().accepted()
    if rank == Rank.AGGREGATE:
        aggregate = accepted.filter(rank=rank, folded=f"{taxon.folded} agg").first()
        if aggregate is not None or slip.qualifier in WIDENINGS:
            return aggregate or taxon
    return accepted.filter(rank=Rank.GENUS, genus=taxon.genus).first()


def _waits(find: Find, standing: str, verdicts: Sequence[Verdict], reasons: Iterable[str]) -> str:
    """Say for whom a find waits; what its finder answers or adds brings it back to the referees."""
    if find.withdrawn_at is not None:
        return Waits.FOR_NOBODY
    is_open = standing in (Standing.UNCONFIRMED, Standing.DISPUTED)
    opinions = [row for row in verdicts_that_stand(verdicts) if row.kind != VerdictKind.REOPEN]
    asks = _asks_not_met(opinions, is_open=is_open)
    if asks:
        answered = all(row.evidence_version < find.evidence_version for row in asks)
        return Waits.FOR_REFEREE if answered else Waits.FOR_FINDER
    if is_open:
        return Waits.FOR_REFEREE
    left_open = [row for row in opinions if row.kind == VerdictKind.LEAVE_OPEN]
    if standing == Standing.LEFT_OPEN and left_open[-1].evidence_version < find.evidence_version:
        return Waits.FOR_REFEREE
    if "finder_slip_after_confirmation" in reasons and "finder_slip_agrees" not in reasons:
        return Waits.FOR_REFEREE
    return Waits.FOR_NOBODY


def _asks_not_met(opinions: Sequence[Verdict], *, is_open: bool) -> list[Verdict]:
    """Return the requests after which their own referee, or of a settled find any, said no more."""
    return [
        ask
        for at, ask in enumerate(opinions)
        if ask.kind == VerdictKind.ASK
        and not any(
            later.kind != VerdictKind.ASK and (not is_open or later.by_id == ask.by_id)
            for later in opinions[at + 1 :]
        )
    ]
