"""Rule 1: which acts count, and what was passed over."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from society.science.standing.facts import FindFacts, SlipFacts, VerdictFacts


@dataclass(frozen=True)
class Docket:
    """The find with what counts: slips in order, acts in order, and what was passed over."""

    find: FindFacts
    slips: tuple[SlipFacts, ...]
    by_id: dict[int, SlipFacts]
    acts: tuple[VerdictFacts, ...]
    void_slips: frozenset[int]
    passed_over: frozenset[str]

    @property
    def finder_slips(self) -> list[SlipFacts]:
        """The finders' own slips, in order."""
        return [slip for slip in self.slips if slip.by in self.find.finder_ids]

    @property
    def finders_differ(self) -> bool:
        """Whether the finders' latest slips give different names."""
        latest = {slip.by: slip.name_key for slip in self.finder_slips}
        return len(set(latest.values())) > 1

    @property
    def heading(self) -> SlipFacts | None:
        """The slip that heads the find while nothing is settled (rules 8 and 10)."""
        own = [
            slip
            for slip in self.slips
            if slip.by in self.find.finder_ids or (self.find.from_books and slip.basis_from_books)
        ]
        return next(reversed(own or self.slips), None)

    @property
    def reopened(self) -> bool:
        """Whether a reopening counts, be it a finder's of their own old record."""
        return any(act.kind == "reopen" for act in self.acts)

    @property
    def reopened_at(self) -> int:
        """The order of the last reopening by a referee who is no finder; -1 where none."""
        return max((act.order for act in self.others_acts if act.kind == "reopen"), default=-1)

    @property
    def others_acts(self) -> list[VerdictFacts]:
        """The acts that count, without a finder's reopening of their own old record."""
        return [act for act in self.acts if act.by not in self.find.finder_ids]

    def has_force(self, slip: SlipFacts) -> bool:
        """Whether a slip was laid by a referee in scope as an act of their own (rules 2 and 8)."""
        return slip.by_scope and not slip.basis_from_books and slip.id not in self.void_slips


def sift(find: FindFacts, slips: Iterable[SlipFacts], verdicts: Iterable[VerdictFacts]) -> Docket:
    """Put everything in order and leave out what does not count; ValueError on nonsense."""
    laid = tuple(sorted(slips, key=lambda slip: slip.order))
    said = tuple(sorted(verdicts, key=lambda verdict: verdict.order))
    by_id = {slip.id: slip for slip in laid}
    _refuse_nonsense(laid, said, by_id)
    standing, void_slips, passed_over = _after_withdrawals(said, by_id)
    acts = []
    for verdict in standing:
        if not verdict.in_scope:
            passed_over.add("verdict_not_in_scope_ignored")
        elif verdict.by in find.finder_ids and not (verdict.kind == "reopen" and find.from_books):
            passed_over.add("own_find_verdict_ignored")
        else:
            acts.append(verdict)
    return Docket(find, laid, by_id, tuple(acts), frozenset(void_slips), frozenset(passed_over))


def _refuse_nonsense(
    slips: Sequence[SlipFacts], verdicts: Sequence[VerdictFacts], by_id: dict[int, SlipFacts]
) -> None:
    orders = [slip.order for slip in slips] + [verdict.order for verdict in verdicts]
    if len(set(orders)) != len(orders):
        raise ValueError("two acts share an order")
    for verdict in verdicts:
        for slip_id in (verdict.slip_id, verdict.other_slip_id):
            if slip_id is not None and slip_id not in by_id:
                raise ValueError(f"verdict {verdict.id} names slip {slip_id}, which is not given")
        if verdict.kind in ("confirm", "dispute") and verdict.slip_id is None:
            raise ValueError(f"verdict {verdict.id} ({verdict.kind}) names no slip")


def _after_withdrawals(
    verdicts: Sequence[VerdictFacts], by_id: dict[int, SlipFacts]
) -> tuple[list[VerdictFacts], set[int], set[str]]:
    """What is left of the verdicts, which slips lost their force, and what was passed over.

    Read from the latest to the earliest, so that a withdrawal already withdrawn does nothing.
    """
    authors = {verdict.id: verdict.by for verdict in verdicts}
    void: set[int] = set()
    void_slips: set[int] = set()
    passed_over: set[str] = set()
    standing: list[VerdictFacts] = []
    for verdict in reversed(verdicts):
        if verdict.id in void:
            continue
        if verdict.kind != "withdraw":
            standing.append(verdict)
        elif verdict.withdraws is not None:
            if authors.get(verdict.withdraws) == verdict.by:
                void.add(verdict.withdraws)
            else:
                passed_over.add("withdrawal_by_another_ignored")
        elif verdict.slip_id is not None:
            slip = by_id[verdict.slip_id]
            if slip.by != verdict.by:
                passed_over.add("withdrawal_by_another_ignored")
            elif slip.order < verdict.order:
                void_slips.add(slip.id)
    standing.reverse()
    return standing, void_slips, passed_over
