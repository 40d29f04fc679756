"""What the rules plan: plain frozen rows which the command lays through the services.

Codes of views, stages, bases, parts played and verdicts are those of the find's and the
verdict's own fields; days are local dates of the society.
"""

import datetime as dt
from dataclasses import dataclass
from uuid import UUID


@dataclass(frozen=True)
class PlannedForay:
    key: str
    title: str
    site: str
    day: dt.date
    starts: dt.time
    ends: dt.time
    leader: str
    people: tuple[str, ...]
    all_species: bool
    notes: str


@dataclass(frozen=True)
class PlannedOrganism:
    """A plant that stood there: ``part`` is host, probable_host or nearby; distance in metres."""

    name: str
    part: str
    certainty: str
    distance_m: float | None
    state: str


@dataclass(frozen=True)
class PlannedWood:
    part: str
    position: str
    decay: int
    girth_cm: int | None


@dataclass(frozen=True)
class PlannedStep:
    """What was seen after so many minutes; not looked means nothing is said."""

    minute: int
    looked: bool
    seen: str


@dataclass(frozen=True)
class PlannedReading:
    exposed: str
    reagent: str
    steps: tuple[PlannedStep, ...]


@dataclass(frozen=True)
class PlannedSlip:
    by: str
    day: dt.date
    written: str
    qualifier: str
    basis: str
    literature: str
    remarks: str


@dataclass(frozen=True)
class PlannedVerdict:
    """``slip`` counts the find's slips from 0; ``wanted`` is a code of evidence."""

    kind: str
    by: str
    day: dt.date
    slip: int | None
    at_rank: str
    reason: str
    other_name: str
    wanted: str


@dataclass(frozen=True)
class PlannedComment:
    by: str
    day: dt.date
    text: str


@dataclass(frozen=True)
class PlannedEating:
    """A statement on eating: ``where`` is note, comment, remark or notes; ``kind`` is praise,
    warning, question or report."""

    where: str
    kind: str
    by: str
    said_by: str
    source: str
    text: str


@dataclass(frozen=True)
class PlannedFind:
    """One find. ``species`` is what it truly is (None never); ``slips`` what was written.

    ``outcome``: confirmed, unconfirmed, disputed, asked, left_open, by_its_referee, from_the_books.
    """

    key: str
    uuid: UUID
    species: str
    outcome: str
    day: dt.date
    time_of_day: dt.time | None
    date_verbatim: str
    site: str
    point: tuple[float, float] | None
    uncertainty_m: int | None
    foray: str | None
    finder: str
    companions: tuple[str, ...]
    entered_by: str
    collector_number: str
    form: str
    organisms: tuple[PlannedOrganism, ...]
    substrate: str
    substrate_note: str
    wood: PlannedWood | None
    habitat: str
    soil: str
    count: int
    growth: str
    stage: str
    base: str
    views: tuple[str, ...]
    readings: tuple[PlannedReading, ...]
    spore_print: str
    in_hand: str
    specimen_kept: bool
    specimen_number: str
    notes: str
    made_secret: int | None
    slips: tuple[PlannedSlip, ...]
    verdicts: tuple[PlannedVerdict, ...]
    comments: tuple[PlannedComment, ...]
    eating: tuple[PlannedEating, ...]


@dataclass(frozen=True)
class Plan:
    """``forays`` by day, ``finds`` by day and key."""

    forays: tuple[PlannedForay, ...]
    finds: tuple[PlannedFind, ...]
