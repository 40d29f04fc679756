"""What the rule is given, what it gives back, and the words for both."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

VerdictKind = Literal["confirm", "dispute", "ask", "leave_open", "withdraw", "reopen"]
Code = Literal[
    "unconfirmed",
    "confirmed",
    "determined_by_its_referee",
    "from_the_books",
    "disputed",
    "left_open",
]

CODES: Final[tuple[Code, ...]] = (
    "unconfirmed",
    "confirmed",
    "determined_by_its_referee",
    "from_the_books",
    "disputed",
    "left_open",
)
KINDS: Final[tuple[VerdictKind, ...]] = (
    "confirm",
    "dispute",
    "ask",
    "leave_open",
    "withdraw",
    "reopen",
)
# Every reason a standing may carry, in the order in which they are given back.
REASONS: Final[tuple[str, ...]] = (
    "no_slip",
    "no_verdict",
    "taken_from_the_books",
    "finder_is_its_referee",
    "one_referee_agrees",
    "confirmed_by_a_referee",
    "redetermined_by_a_referee",
    "confirmed_by_several",
    "settled_after_dispute",
    "confirmed_short_of_the_slip",
    "referees_differ",
    "referee_objects",
    "referee_leaves_open",
    "objection_met",
    "finders_differ",
    "needs_second_referee",
    "evidence_asked_for",
    "reopened",
    "acts_wait_for_reopening",
    "finder_slip_after_confirmation",
    "finder_slip_agrees",
    "own_find_verdict_ignored",
    "verdict_not_in_scope_ignored",
    "withdrawal_by_another_ignored",
)
# From narrow to wide. A rank not listed is read as a species.
RANKS: Final[tuple[str, ...]] = (
    "form",
    "variety",
    "subspecies",
    "species",
    "aggregate",
    "series",
    "subsection",
    "section",
    "subgenus",
    "genus",
    "family",
    "order",
    "class",
    "phylum",
    "kingdom",
)
_WIDTH: Final = {rank: width for width, rank in enumerate(RANKS)}


@dataclass(frozen=True)
class SlipFacts:
    """A determination slip as the rule needs it.

    `order` is one increasing sequence shared with the verdicts. `name_key` is the folded accepted
    name with its qualifier: two slips agree when their keys are equal. `by_scope`: its layer was a
    referee in scope for this name. `above` may give (rank, name_key) of the aggregate, section and
    genus it stands under; without it the genus is read from the key's first word, and an
    aggregate or section confirmed through one slip is not known to be that of another.
    """

    id: int
    order: int
    taxon_id: int | None
    name_key: str
    rank: str
    qualifier: str | None
    by: int
    by_scope: bool
    basis_from_books: bool = False
    above: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class VerdictFacts:
    """A verdict as the rule needs it; `in_scope` as stored when it was laid.

    `withdraws` is the id of the author's own earlier verdict. A 'withdraw' with a `slip_id` and no
    `withdraws` takes back the force as a verdict of the author's own slip; the slip stays.
    """

    id: int
    order: int
    kind: VerdictKind
    slip_id: int | None
    by: int
    in_scope: bool
    at_rank: str | None = None
    other_slip_id: int | None = None
    withdraws: int | None = None


@dataclass(frozen=True)
class FindFacts:
    """The find: who found it, whether it was taken over from old records, and if it needs two."""

    finder_ids: frozenset[int]
    from_books: bool = False
    needs_two: bool = False


@dataclass(frozen=True)
class Standing:
    """What stands, and why.

    `taxon_id` is the slip's own row: where `rank` is wider than the slip's, the caller climbs to
    the taxon of that rank. `by` are the people whose acts carry it, ascending. `rank` is None
    where no rank holds.
    """

    code: Code
    slip_id: int | None
    taxon_id: int | None
    rank: str | None
    by: tuple[int, ...]
    reason_codes: tuple[str, ...]
