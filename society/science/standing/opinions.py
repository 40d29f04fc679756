"""Rule 2: names as far as they are held, and each referee's opinion."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from society.science.standing.docket import Docket
from society.science.standing.facts import RANKS, SlipFacts, VerdictFacts

_WIDTH: Final = {rank: width for width, rank in enumerate(RANKS)}
SPECIES: Final = _WIDTH["species"]


def width(rank: str | None) -> int:
    """How wide a rank is: its place in RANKS; a rank not listed there counts as a species."""
    return _WIDTH.get(rank or "species", SPECIES)


@dataclass(frozen=True)
class Name:
    """A name held or objected to: its key at its rank, and every wider key it lies within."""

    key: str
    rank: str
    lineage: frozenset[str]
    slip: SlipFacts


def name_on(slip: SlipFacts, at_rank: str | None = None) -> Name:
    """The slip's name as far as `at_rank`; never narrower than the slip itself."""
    known = dict(slip.above)
    known.setdefault("genus", slip.name_key.split(" ", 1)[0])
    own_width = width(slip.rank)
    own_key = slip.name_key
    if slip.rank == "genus" and slip.qualifier == "sp.":
        own_key = known["genus"]  # 'Lactarius sp.' says no more than 'Lactarius'
    keys = {
        rank: known.get(rank) or f"{slip.name_key} @{rank}"
        for rank in RANKS[own_width + 1 :]
        if rank in known or width(rank) < width("genus")
    }
    if at_rank is None or width(at_rank) <= own_width:
        return Name(own_key, slip.rank, frozenset([own_key, *keys.values()]), slip)
    wider = {rank: key for rank, key in keys.items() if width(rank) >= width(at_rank)}
    key = wider.setdefault(at_rank, f"{slip.name_key} @{at_rank}")
    return Name(key, at_rank, frozenset(wider.values()), slip)


@dataclass(frozen=True)
class Opinion:
    """One referee's opinion. `since`: when they came to it; `last`: when they last said so."""

    by: int
    since: int
    last: int
    pro: Name | None = None
    contra: Name | None = None
    leaves_open: bool = False
    own_slip: bool = False
    about: SlipFacts | None = None
    at_rank: str | None = None

    @property
    def firm(self) -> bool:
        """A confirmation or a slip of one's own, not the proposal that goes with an objection."""
        return self.pro is not None and self.contra is None

    @property
    def said(self) -> tuple[str | None, str | None, bool, str | None]:
        """What it says, whenever said and through whichever slip."""
        return (
            self.pro.key if self.pro else None,
            self.contra.key if self.contra else None,
            self.leaves_open,
            self.at_rank if self.leaves_open else None,
        )


def opinions_on(docket: Docket) -> list[Opinion]:
    """One opinion for each referee who has one, by the order in which they came to it."""
    said = [*_from_slips(docket), *_from_verdicts(docket)]
    held: dict[int, Opinion] = {}
    for opinion in sorted(said, key=lambda each: each.last):
        before = held.get(opinion.by)
        if before is not None and before.said == opinion.said:
            opinion = replace(opinion, since=before.since)
        held[opinion.by] = opinion
    lifted = docket.reopened_at
    kept = [each for each in held.values() if not (each.leaves_open and each.last < lifted)]
    return sorted(kept, key=lambda each: each.since)


def _from_slips(docket: Docket) -> list[Opinion]:
    """A referee's own slip on another's find, unless it only goes with their own dispute."""
    proposals = {(act.by, act.other_slip_id) for act in docket.acts if act.kind == "dispute"}
    return [
        Opinion(slip.by, slip.order, slip.order, pro=name_on(slip), own_slip=True)
        for slip in docket.slips
        if docket.has_force(slip)
        and slip.by not in docket.find.finder_ids
        and (slip.by, slip.id) not in proposals
    ]


def _from_verdicts(docket: Docket) -> list[Opinion]:
    opinions = (_opinion_of(act, docket.by_id) for act in docket.acts)
    return [opinion for opinion in opinions if opinion is not None]


def _opinion_of(act: VerdictFacts, by_id: dict[int, SlipFacts]) -> Opinion | None:
    slip = None if act.slip_id is None else by_id[act.slip_id]
    bare = Opinion(act.by, act.order, act.order)
    if act.kind == "confirm" and slip is not None:
        return replace(bare, pro=name_on(slip, act.at_rank))
    if act.kind == "dispute" and slip is not None:
        other = None if act.other_slip_id is None else name_on(by_id[act.other_slip_id])
        return replace(bare, pro=other, contra=name_on(slip))
    if act.kind == "leave_open":
        return replace(bare, leaves_open=True, about=slip, at_rank=act.at_rank)
    return None


def evidence_asked_for(docket: Docket, opinions: Sequence[Opinion]) -> bool:
    """Whether a referee waits for evidence: asked, and has given no opinion since."""
    last = {opinion.by: opinion.last for opinion in opinions}
    return any(act.kind == "ask" and act.order > last.get(act.by, -1) for act in docket.others_acts)
