"""The rows of an index of names, what a search finds, and what words come to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from society.science.names.vocabulary import Qualifier
from society.science.names.written import WrittenName

EntryKind = Literal["accepted", "synonym", "combination", "misapplied", "english"]
Via = Literal["exact", "synonym", "combination", "abbreviation", "vernacular", "spelling"]
Outcome = Literal["resolved", "candidates", "unknown"]
Reason = Literal[
    "says_nothing",  # only that the fungus is not named
    "too_long",
    "not_listed",  # nothing in the checklist is near
    "another_sense",  # auct., sensu, non; or a name that is in use for another species
    "several_names",  # a formula of two names, 'or', a list
    "fits_several",
    "near_dangerous",  # only a guess leads here, and a dangerous species is the match or near it
    "unsure",  # below the line
]


@dataclass(frozen=True)
class IndexEntry:
    """A row of the checklist. `key`: the row's own; `accepted_key`: where it leads."""

    key: int
    name: str
    kind: EntryKind
    accepted_key: int
    group: str
    rank: str
    dangerous: bool


@dataclass(frozen=True)
class Match:
    """A name found. In a search `confidence` (0 to 1) only sorts what was found; in a `Resolution`
    it is the share of such cases in which the name is the one that was meant."""

    key: int
    accepted_key: int
    matched_name: str
    via: Via
    confidence: float
    dangerous: bool = False


@dataclass(frozen=True)
class Resolution:
    """What words come to. `candidates` hold what they may mean, best first, the match leading.

    `qualifier` is the written one less what the row itself says: 'agg.' on an aggregate's row.
    `reason` is a code where nothing was chosen, else None.
    """

    outcome: Outcome
    match: Match | None
    candidates: tuple[Match, ...]
    written: WrittenName
    qualifier: Qualifier | None
    reason: Reason | None = None
