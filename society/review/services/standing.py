"""The one place that writes what stands, by the pure function in ``science/standing.py``."""

from collections.abc import Iterable

from django.db import transaction
from django.utils import timezone

from society.core.history import change_record
from society.finds.models import Basis, DeterminationSlip, Find
from society.members.models import Society
from society.names.models import Need, Taxon
from society.review.models import DeskEntry, Scope, Verdict, VerdictKind, Waits
from society.review.permissions import scope_covers
from society.science import standing as rule
from society.science.names import fold


def standing_recompute(find_id: int, *, actor_id: int | None) -> Find:
    """Work out anew what stands for a find and where it waits; call inside the act's transaction.

    Costs a constant number of queries: the find, its slips, verdicts and the open scopes.
    """
    find = Find.objects.select_for_update().get(pk=find_id)
    slips = list(find.slips.select_related("taxon__accepted").order_by("laid_at", "pk"))
    verdicts = list(find.verdicts.select_related("scope").order_by("laid_at", "pk"))
    result = standing_worked_out(find, slips, verdicts, scopes_ever_held())
    slip = next((slip for slip in slips if slip.pk == result.slip_id), None)
    taxon = _taxon_at_rank(slip, result.rank)
    before = (find.standing, find.standing_taxon_id, find.standing_slip_id, find.standing_rank)
    after = (result.code, taxon.pk if taxon else None, result.slip_id, result.rank or "")
    if before != after:
        find.standing, find.standing_taxon_id, find.standing_slip_id, find.standing_rank = after
        find.standing_since = timezone.now()
        find.save(
            update_fields=[
                "standing",
                "standing_taxon",
                "standing_slip",
                "standing_rank",
                "standing_since",
                "updated_at",
            ]
        )
        if before[0] != after[0]:
            change_record("find.standing_changed", find, actor_id=actor_id, fields=["standing"])
    _desk_entry_write(find, slips, verdicts, result.reason_codes, slip)
    return find


def standing_worked_out(
    find: Find,
    slips: list[DeterminationSlip],
    verdicts: list[Verdict],
    scopes: Iterable[Scope],
) -> rule.Standing:
    """Return the rule's answer for rows already read."""
    acts = sorted(
        [(slip.laid_at, 0, slip.pk) for slip in slips]
        + [(verdict.laid_at, 1, verdict.pk) for verdict in verdicts]
    )
    orders = {("slip" if kind == 0 else "verdict", pk): at for at, (_, kind, pk) in enumerate(acts)}
    by_person: dict[int, list[Scope]] = {}
    for scope in scopes:
        by_person.setdefault(scope.person_id, []).append(scope)
    slip_facts = [
        rule.SlipFacts(
            id=slip.pk,
            order=orders["slip", slip.pk],
            taxon_id=slip.taxon.current.pk if slip.taxon else None,
            name_key=_name_key(slip),
            rank=slip.taxon.current.rank if slip.taxon else slip.rank,
            qualifier=slip.qualifier or None,
            by=slip.by_id,
            by_scope=slip.basis != Basis.BOOKS
            and slip.entered_by_id == slip.by_id
            and any(
                scope.created_at <= slip.laid_at
                and (scope.ended_at is None or slip.laid_at < scope.ended_at)
                and scope_covers(scope.rank, scope.name, slip.taxon.current if slip.taxon else None)
                for scope in by_person.get(slip.by_id, ())
            ),
            basis_from_books=slip.basis == Basis.BOOKS,
        )
        for slip in slips
    ]
    verdict_facts = [
        rule.VerdictFacts(
            id=verdict.pk,
            order=orders["verdict", verdict.pk],
            kind=verdict.kind,  # type: ignore[arg-type]
            slip_id=verdict.slip_id,
            by=verdict.by_id,
            in_scope=True,  # a verdict is refused without the scope that it stores
            at_rank=verdict.at_rank or None,
            other_slip_id=verdict.other_slip_id,
            withdraws=verdict.withdraws_id,
        )
        for verdict in verdicts
    ]
    facts = rule.FindFacts(
        finder_ids=frozenset({find.finder_id}),
        from_books=any(slip.basis == Basis.BOOKS for slip in slips),
        needs_two=any(verdict.required.get("needs_two") for verdict in verdicts),
    )
    return rule.what_stands(facts, slip_facts, verdict_facts)


def scopes_ever_held() -> list[Scope]:
    """Return every scope, ended ones too: a slip counts by the scope held when it was laid."""
    return list(Scope.objects.all())


def _taxon_at_rank(slip: DeterminationSlip | None, rank: str | None) -> Taxon | None:
    """Return the accepted name that stands, climbed to a wider rank where only that is settled.

    A section or aggregate that has no row of its own is listed under its genus.
    """
    if slip is None or slip.taxon is None:
        return None
    taxon = slip.taxon.current
    if not rank or rank == taxon.rank or rank not in ("aggregate", "section", "genus"):
        return taxon
    accepted = Taxon.objects.fungi().accepted()
    if rank == "aggregate":
        aggregate = accepted.filter(rank="aggregate", folded=fold(f"{taxon.folded} agg.")).first()
        if aggregate is not None:
            return aggregate
    return accepted.filter(rank="genus", genus=taxon.genus).first() or taxon


def required_now(find: Find, taxon: Taxon | None) -> dict[str, object]:
    """Return what the name requires at this moment, to be kept with a verdict.

    A first for the society asks for a second referee only once the old books are entered, and
    never for a name that is settled by eye.
    """
    if taxon is None:
        return {"needs": "", "first": False, "needs_two": False}
    first = not Find.objects.filter(standing_taxon=taxon).exclude(pk=find.pk).exists()
    books = Society.objects.filter(pk=1, old_books_entered=True).exists()
    return {
        "needs": taxon.needs,
        "first": first,
        "needs_two": bool(first and books and taxon.needs != Need.EYE),
    }


def _name_key(slip: DeterminationSlip) -> str:
    name = slip.taxon.current.folded if slip.taxon else fold(slip.name_written)
    return f"{name} {slip.qualifier}".strip()


def _desk_entry_write(
    find: Find,
    slips: list[DeterminationSlip],
    verdicts: list[Verdict],
    reasons: tuple[str, ...],
    standing_slip: DeterminationSlip | None,
) -> None:
    current = standing_slip or (slips[-1] if slips else None)
    taxon = current.taxon.current if current is not None and current.taxon is not None else None
    entry, made = DeskEntry.objects.get_or_create(find=find)
    waits = _waits(find, verdicts, reasons)
    if made or entry.waits != waits:
        entry.since = timezone.now()
    entry.waits = waits
    entry.current_slip = current
    entry.order_name = taxon.order if taxon else ""
    entry.family = taxon.family if taxon else ""
    entry.genus = taxon.genus if taxon else ""
    entry.reasons = list(reasons)
    entry.save()


def _waits(find: Find, verdicts: list[Verdict], reasons: tuple[str, ...]) -> str:
    if find.withdrawn_at is not None:
        return Waits.FOR_NOBODY
    withdrawn = {verdict.withdraws_id for verdict in verdicts}
    standing_asks = [
        verdict
        for verdict in verdicts
        if verdict.kind == VerdictKind.ASK
        and verdict.pk not in withdrawn
        and verdict.evidence_version >= find.evidence_version
    ]
    if find.standing in ("unconfirmed", "disputed"):
        return Waits.FOR_FINDER if standing_asks else Waits.FOR_REFEREE
    if "finder_slip_after_confirmation" in reasons:
        return Waits.FOR_REFEREE
    return Waits.FOR_NOBODY


@transaction.atomic
def standing_recompute_all(*, repair: bool) -> list[int]:
    """Compare every find's stored standing with the rule; return the ids that differed.

    With ``repair`` the differing ones are written anew.
    """
    differing = []
    scopes = scopes_ever_held()
    finds = Find.objects.prefetch_related("slips__taxon__accepted", "verdicts__scope")
    for find in finds.iterator(chunk_size=500):
        slips = sorted(find.slips.all(), key=lambda slip: (slip.laid_at, slip.pk))
        verdicts = sorted(find.verdicts.all(), key=lambda verdict: (verdict.laid_at, verdict.pk))
        result = standing_worked_out(find, slips, verdicts, scopes)
        stored = (find.standing, find.standing_slip_id, find.standing_rank)
        if stored != (result.code, result.slip_id, result.rank or ""):
            differing.append(find.pk)
    if repair:
        for pk in differing:
            standing_recompute(pk, actor_id=None)
    return differing
