"""The rule itself: from opinions to what stands (rules 3 to 10)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from society.science.standing.docket import Docket, sift
from society.science.standing.facts import (
    REASONS,
    Code,
    FindFacts,
    SlipFacts,
    Standing,
    VerdictFacts,
)
from society.science.standing.opinions import (
    SPECIES,
    Opinion,
    evidence_asked_for,
    name_on,
    opinions_on,
    width,
)
from society.science.standing.weighing import Weighing, latest, narrowest_standing, weigh_all


def what_stands(
    find: FindFacts, slips: Iterable[SlipFacts], verdicts: Iterable[VerdictFacts]
) -> Standing:
    """Say what stands for a find. In which sequence slips and verdicts are handed in is nothing.

    Raises ValueError where two acts share an `order`, or a verdict names a slip not given or, for
    'confirm' and 'dispute', none.
    """
    docket = sift(find, slips, verdicts)
    opinions = opinions_on(docket)
    reasons = set(docket.passed_over)
    if evidence_asked_for(docket, opinions):
        reasons.add("evidence_asked_for")
    if find.from_books and not docket.reopened:
        return _from_the_books(docket, reasons)
    firm = [opinion for opinion in opinions if opinion.firm]
    opens = [o for o in opinions if o.leaves_open and o.since > latest(firm)]
    if firm:
        return _among_referees(docket, opinions, opens, reasons)
    if opens:
        return _left_open(docket, opens, None, reasons)
    return _without_referee(docket, opinions, reasons)


# --- a referee stands for a name: rules 3 to 5 and 7 ---------------------------------------------


def _among_referees(
    docket: Docket, opinions: Sequence[Opinion], opens: Sequence[Opinion], reasons: set[str]
) -> Standing:
    held = weigh_all(opinions)
    best = narrowest_standing(held, need=1)
    if best is None:
        if opens:  # a third, coming after a dispute, leaves it open
            return _left_open(docket, opens, None, reasons)
        return _disputed([w for w in held if w.opposers], opens, reasons)
    if opens:
        return _opened_after(docket, opens, best, reasons)
    if not docket.find.needs_two:
        return _confirmed(docket, best, reasons)
    by_two = narrowest_standing(held, need=2)
    if by_two is not None:
        return _confirmed(docket, by_two, reasons)
    return _one_agrees(docket, best, reasons)


def _opened_after(
    docket: Docket, opens: Sequence[Opinion], best: Weighing, reasons: set[str]
) -> Standing:
    """A referee left open, later, what others had settled among themselves."""
    rank_that_holds = opens[-1].at_rank
    wide_enough = width(best.name.rank) > SPECIES and (
        rank_that_holds is None or width(best.name.rank) >= width(rank_that_holds)
    )
    if wide_enough:
        return _left_open(docket, opens, best, reasons)
    if len(opens) > len(best.supporters):
        return _left_open(docket, opens, None, reasons)
    return _disputed([best], opens, reasons)


def _confirmed(docket: Docket, best: Weighing, reasons: set[str]) -> Standing:
    own = any(opinion.own_slip for opinion in best.supporters)
    reasons.add("redetermined_by_a_referee" if own else "confirmed_by_a_referee")
    if len(best.supporters) > 1:
        reasons.add("confirmed_by_several")
    if best.opposers:
        reasons.add("settled_after_dispute")
    if width(best.name.rank) > width(best.name.slip.rank):
        reasons.add("confirmed_short_of_the_slip")
    confirmed_at = max(opinion.last for opinion in best.supporters)
    later = [slip for slip in docket.finder_slips if slip.order > confirmed_at]
    if later:
        reasons.add("finder_slip_after_confirmation")
        if best.name.key in name_on(later[-1]).lineage:
            reasons.add("finder_slip_agrees")
    return _standing("confirmed", best.name.slip, best.name.rank, best.by, reasons)


def _one_agrees(docket: Docket, best: Weighing, reasons: set[str]) -> Standing:
    """Rule 5; an agreeing second referee takes away nothing that stood before (rule 6)."""
    reasons.add("one_referee_agrees")
    own = _own_determination(docket)
    agreed = own is not None and name_on(own).key == best.name.key
    if own is not None and agreed and _others_who_acted(docket, own) <= best.by:
        reasons.add("finder_is_its_referee")
        return _standing("determined_by_its_referee", own, own.rank, {own.by, *best.by}, reasons)
    return _standing("unconfirmed", best.name.slip, best.name.rank, best.by, reasons)


def _disputed(
    contested: Sequence[Weighing], opens: Sequence[Opinion], reasons: set[str]
) -> Standing:
    """Disputed, under the name that a referee came to first."""
    first = min(contested, key=lambda w: min(o.since for o in w.supporters))
    opposers = [opinion for weighing in contested for opinion in weighing.opposers]
    parties = {opinion.by for opinion in (*opposers, *opens)}.union(*(w.by for w in contested))
    if opens:
        reasons.add("referee_leaves_open")
    if any(opinion.contra is not None for opinion in opposers):
        reasons.add("referee_objects")
    if any(opinion.pro is not None for opinion in opposers):
        reasons.add("referees_differ")
    return _standing("disputed", first.name.slip, first.name.rank, parties, reasons)


def _left_open(
    docket: Docket, opens: Sequence[Opinion], best: Weighing | None, reasons: set[str]
) -> Standing:
    """Left open by the latest such act, at the rank that holds."""
    reasons.add("referee_leaves_open")
    act = opens[-1]
    by = {opinion.by for opinion in opens}
    if best is not None:
        by |= best.by
    slip = act.about or (best.name.slip if best else docket.heading)
    if slip is not None and act.at_rank is not None:
        return _standing("left_open", slip, name_on(slip, act.at_rank).rank, by, reasons)
    if best is not None:
        return _standing("left_open", best.name.slip, best.name.rank, by, reasons)
    return _standing("left_open", slip, None, by, reasons)


# --- no referee stands for a name: rules 4, 6, 8 and 10 ------------------------------------------


def _from_the_books(docket: Docket, reasons: set[str]) -> Standing:
    reasons.add("taken_from_the_books")
    acted = any(act.kind != "ask" for act in docket.acts)
    if acted or any(docket.has_force(slip) for slip in docket.slips):
        reasons.add("acts_wait_for_reopening")
    copied = [slip for slip in docket.slips if slip.basis_from_books]
    slip = copied[-1] if copied else docket.heading
    if slip is None:
        return _standing("from_the_books", None, None, set(), {*reasons, "no_slip"})
    return _standing("from_the_books", slip, slip.rank, {slip.by}, reasons)


def _own_determination(docket: Docket) -> SlipFacts | None:
    """The latest slip of a finder who is the referee for it, unless the finders differ."""
    latest_of_each = {slip.by: slip for slip in docket.finder_slips}
    own = [slip for slip in latest_of_each.values() if docket.has_force(slip)]
    if docket.finders_differ:
        return None
    return max(own, key=lambda slip: slip.order, default=None)


def _without_referee(docket: Docket, opinions: Sequence[Opinion], reasons: set[str]) -> Standing:
    slip = docket.heading
    if slip is None:
        return _standing("unconfirmed", None, None, set(), {*reasons, "no_slip"})
    lineage = name_on(slip).lineage
    objections = [o for o in opinions if o.contra is not None]
    against = {o.by for o in objections if o.contra is not None and o.contra.key in lineage}
    if against:
        return _standing("disputed", slip, slip.rank, against, {*reasons, "referee_objects"})
    own = _own_determination(docket)
    if own is not None and not _others_who_acted(docket, own):
        reasons.add("finder_is_its_referee")
        if docket.find.needs_two:
            reasons.add("needs_second_referee")
        return _standing("determined_by_its_referee", own, own.rank, {own.by}, reasons)
    if objections:
        reasons.add("objection_met")
    if docket.finders_differ:
        reasons.add("finders_differ")
    if docket.reopened:
        reasons.add("reopened")
    if not docket.acts:
        reasons.add("no_verdict")
    return _standing("unconfirmed", slip, slip.rank, set(), reasons)


def _others_who_acted(docket: Docket, own: SlipFacts) -> set[int]:
    """Other referees who have acted, but for a reopening that the finder's slip answers."""
    return {act.by for act in docket.others_acts if act.kind != "reopen" or act.order > own.order}


def _standing(
    code: Code, slip: SlipFacts | None, rank: str | None, by: set[int], reasons: set[str]
) -> Standing:
    """Put the answer together; where no rank holds there is no taxon either."""
    unplaced = reasons - set(REASONS)
    if unplaced:
        raise ValueError(f"reasons without a place in REASONS: {sorted(unplaced)}")
    return Standing(
        code=code,
        slip_id=None if slip is None else slip.id,
        taxon_id=None if slip is None or rank is None else slip.taxon_id,
        rank=rank,
        by=tuple(sorted(by)),
        reason_codes=tuple(reason for reason in REASONS if reason in reasons),
    )
