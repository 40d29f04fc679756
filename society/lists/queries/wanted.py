"""What a species list is asked for, and what it answers: the values page and files share."""

import datetime as dt
from dataclasses import dataclass, field
from typing import Literal

from society.names.models import Taxon
from society.places.models import Site

Counted = Literal["stands", "only", "settled", "books", "with_unconfirmed"]
"""What a list counts: ``stands`` (what stands, with the unconfirmed in a column apart), ``only``
(what stands and nothing else), ``settled`` (what stands, without the old books), ``books`` (the old
books alone), ``with_unconfirmed`` (both together, since it was asked for)."""

Sort = Literal["species", "family", "finds", "first", "last"]


@dataclass(frozen=True, slots=True)
class SpeciesListFilter:
    """What a list is asked for; empty values ask for everything.

    ``site`` stands for itself and everything that belongs to it. ``date_from`` and ``date_to``
    (both included) narrow a season, or stand alone. Made by ``lists.forms.SpeciesListForm``.
    """

    site: Site | None = None
    season: int | None = None
    date_from: dt.date | None = None
    date_to: dt.date | None = None
    family: str = ""
    host: Taxon | None = None
    form: str = ""
    counted: Counted = "stands"
    sort: Sort = "species"
    by_family: bool = False


@dataclass(frozen=True, slots=True)
class HostSeen:
    """A tree or plant recorded as host or probable host of the finds counted in a row."""

    taxon_id: int
    name: str
    finds: int


@dataclass(frozen=True, slots=True)
class DangerousLookAlike:
    """A dangerous species that a name is taken for, with its danger in words."""

    taxon_id: int
    name: str
    danger: str


@dataclass(frozen=True, slots=True)
class SpeciesRow:
    """One name of a list.

    ``taxon_id`` is the accepted name's, or None for a name that the checklist does not hold (then
    ``name`` is as written). ``qualifier`` is ``cf.``, ``aff.`` or ``?`` (``agg.``, ``s.l.``,
    ``group``) for finds that stand as no more than that: they have a row of their own. ``parts``
    set the name with its qualifier, without its authorship.

    ``finds`` is what the list counts; ``from_the_books`` and ``left_open`` are the parts of it that
    stand so; ``unconfirmed`` is apart, unless the list was asked to count both together. Dates are
    those of the finds counted, or of the unconfirmed ones in a row that has no other; a date is
    vague where the day is not known and no other find bears it out. ``first_for_*`` are judged from
    what stands only, and are False in a list that has no first day.
    """

    taxon_id: int | None
    name: str
    authorship: str
    qualifier: str
    rank: str
    english: str
    genus: str
    family: str
    form: str
    finds: int
    settled: int
    from_the_books: int
    left_open: int
    unconfirmed: int
    first_date: dt.date
    last_date: dt.date
    first_is_vague: bool
    last_is_vague: bool
    hosts: tuple[HostSeen, ...]
    first_for_site: bool
    first_for_society: bool
    counts_as_species: bool
    danger: str
    danger_words: str
    dangerous_look_alikes: tuple[DangerousLookAlike, ...]
    parts: list[tuple[str, bool]] = field(compare=False)

    @property
    def is_apart(self) -> bool:
        """Whether nothing in the row stands: it is shown apart and never counted."""
        return self.finds == 0


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Finds of this place and time that are not counted, and why; of those the viewer sees."""

    disputed: int = 0
    unnamed: int = 0
    open_without_name: int = 0
    partly_in_time: int = 0


@dataclass(frozen=True, slots=True)
class SpeciesList:
    """A species list as one viewer may have it.

    ``title`` says place and time in words. ``species`` counts names by the society's rule (an
    aggregate or genus only where no member of it is listed); ``finds`` is the sum of the rows'.
    """

    wanted: SpeciesListFilter
    title: str
    date_from: dt.date | None
    date_to: dt.date | None
    rows: tuple[SpeciesRow, ...]
    species: int
    finds: int
    unconfirmed: int
    left_out: LeftOut

    @property
    def from_the_books(self) -> int:
        return sum(row.from_the_books for row in self.rows)
