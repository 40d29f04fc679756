"""A species list: counting finds by taxon, and the first for a site and for the society.

Method of counting. A find is counted under the taxon that stands for it, at the rank that holds.
Confirmed finds, finds determined by their referee, and finds left open at a rank that holds stand
and are counted (one left open at no rank has no taxon and is not handed in); finds from the books
count too and are shown apart; unconfirmed finds are shown apart and counted only when asked;
disputed finds are never counted. A taxon's first and last dates and its hosts are taken from the
finds counted. Where a day is not known, the earliest possible first and the latest possible last
are given, and the row is marked.

An aggregate, section or genus counts as a species only where no member of it is listed. What is
below a species counts where neither its species nor, earlier in the list, a sibling is listed.

Method of firsts. The first find of a taxon is the one certainly made by the earliest date: by its
end date, then its start date, then its number, which settles ties the same way each time. Only
what stands makes a first, never an unconfirmed find; finds from the books do. A find of an
aggregate or genus is no first where a find of one of its members came before it.

Source: counting an aggregate only where no segregate is listed is common practice in county lists;
the rest is the society's own rule.

Worked example. Counted finds of *Armillaria mellea* agg. (2), *A. ostoyae* (1, member of that
aggregate) and *Russula* sp. (1, genus): two species, A. ostoyae and the Russula. Without A. ostoyae
still two, the aggregate and the Russula.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Final, TypeVar

_Key = TypeVar("_Key")

STANDS: Final = frozenset({"confirmed", "determined_by_its_referee", "left_open"})
FROM_THE_BOOKS: Final = "from_the_books"
UNCONFIRMED: Final = "unconfirmed"
DISPUTED: Final = "disputed"
STANDING_CODES: Final = STANDS | {FROM_THE_BOOKS, UNCONFIRMED, DISPUTED}
BELOW_SPECIES: Final = frozenset({"subspecies", "variety", "form", "special form"})
SPECIES: Final = "species"
# What a row may be marked with, in this sequence.
FLAGS: Final[tuple[str, ...]] = (
    "unconfirmed_only",
    "from_the_books_only",
    "by_its_referee_only",
    "left_open",
    "first_date_vague",
    "last_date_vague",
    "member_listed",
)


@dataclass(frozen=True)
class ListedFind:
    """A find as the list needs it.

    `standing` is its code. `start` and `end` are the local dates between which it was made, the
    same where the day is known. `counted_member_of`: taxa (genus, section, aggregate) that this
    taxon is a member of. `species_id`: for what is below a species, its species.
    """

    find_id: int
    taxon_id: int
    taxon_rank: str
    genus: str
    standing: str
    start: date
    end: date
    site_id: int | None
    host_ids: frozenset[int] = frozenset()
    counted_member_of: frozenset[int] = frozenset()
    species_id: int | None = None


@dataclass(frozen=True)
class ListRow:
    """One taxon of the list. `finds` is the number counted; dates are None where none is.

    `standing` + `from_books` (+ `unconfirmed`, when asked) = `finds`. `find_ids` are those counted,
    ascending.
    """

    taxon_id: int
    taxon_rank: str
    genus: str
    finds: int
    standing: int
    from_books: int
    unconfirmed: int
    first: date | None
    last: date | None
    host_ids: frozenset[int]
    site_ids: frozenset[int]
    standing_counts: Mapping[str, int]
    counts_as_species: bool
    flags: tuple[str, ...]
    find_ids: tuple[int, ...]


@dataclass(frozen=True)
class CountedList:
    """The rows by taxon id, and the totals; `species` counts rows that count as a species."""

    rows: tuple[ListRow, ...]
    species: int
    finds: int
    unconfirmed: int
    disputed: int


def count_list(
    rows: Iterable[ListedFind], *, with_unconfirmed: bool = False, with_books: bool = True
) -> CountedList:
    """Count finds into a species list.

    `with_unconfirmed` counts unconfirmed finds as well, `with_books` False leaves finds from the
    books out of the count; either is always shown in its own column. A taxon of which only
    disputed finds are known has no row. Raises ValueError for a standing not known, or an end
    before its start.
    """
    by_taxon: dict[int, dict[int, ListedFind]] = defaultdict(dict)
    disputed: set[int] = set()
    for find in rows:
        _refuse_nonsense(find)
        if find.standing == DISPUTED:
            disputed.add(find.find_id)
        else:
            by_taxon[find.taxon_id][find.find_id] = find
    counted_codes = _counted(with_unconfirmed=with_unconfirmed, with_books=with_books)
    counted = {
        taxon_id: [find for find in _by_id(finds) if find.standing in counted_codes]
        for taxon_id, finds in by_taxon.items()
    }
    as_species = _taxa_that_count(counted)
    listed = tuple(
        _row(_by_id(by_taxon[taxon_id]), counted[taxon_id], counts=taxon_id in as_species)
        for taxon_id in sorted(by_taxon)
    )
    return CountedList(
        rows=listed,
        species=sum(row.counts_as_species for row in listed),
        finds=sum(row.finds for row in listed),
        unconfirmed=sum(row.unconfirmed for row in listed),
        disputed=len(disputed),
    )


def _by_id(finds: Mapping[int, ListedFind]) -> list[ListedFind]:
    return [finds[find_id] for find_id in sorted(finds)]


def _refuse_nonsense(find: ListedFind) -> None:
    if find.standing not in STANDING_CODES:
        raise ValueError(f"find {find.find_id} has a standing not known: {find.standing}")
    if find.end < find.start:
        raise ValueError(f"find {find.find_id} ends before it starts")


def _counted(*, with_unconfirmed: bool, with_books: bool) -> frozenset[str]:
    extra = {UNCONFIRMED} if with_unconfirmed else set()
    return STANDS | extra | ({FROM_THE_BOOKS} if with_books else set())


def _taxa_that_count(counted: Mapping[int, list[ListedFind]]) -> set[int]:
    """The taxa that count as a species, among those with a find counted."""
    listed = {taxon_id: finds[0] for taxon_id, finds in counted.items() if finds}
    has_member: set[int] = set()
    for taxon_id, finds in counted.items():
        for find in finds:
            has_member |= find.counted_member_of - {taxon_id}
    counts: set[int] = set()
    species_met: set[int] = set()
    for taxon_id in sorted(listed):
        find = listed[taxon_id]
        if find.taxon_rank in BELOW_SPECIES:
            species = find.species_id
            if species is not None and (species in listed or species in species_met):
                continue
            if species is not None:
                species_met.add(species)
            counts.add(taxon_id)
        elif find.taxon_rank == SPECIES or taxon_id not in has_member:
            counts.add(taxon_id)
    return counts


def _row(finds: list[ListedFind], counted: list[ListedFind], *, counts: bool) -> ListRow:
    codes = Counter(find.standing for find in finds)
    head = finds[0]
    return ListRow(
        taxon_id=head.taxon_id,
        taxon_rank=head.taxon_rank,
        genus=head.genus,
        finds=len(counted),
        standing=sum(codes[code] for code in STANDS),
        from_books=codes[FROM_THE_BOOKS],
        unconfirmed=codes[UNCONFIRMED],
        first=min((find.start for find in counted), default=None),
        last=max((find.end for find in counted), default=None),
        host_ids=frozenset().union(*(find.host_ids for find in counted)),
        site_ids=frozenset(find.site_id for find in counted if find.site_id is not None),
        standing_counts=dict(sorted(codes.items())),
        counts_as_species=counts,
        flags=_flags(codes, counted, counts=counts),
        find_ids=tuple(find.find_id for find in counted),
    )


def _flags(codes: Counter[str], counted: list[ListedFind], *, counts: bool) -> tuple[str, ...]:
    present = {code for code, number in codes.items() if number}
    flags = set()
    if present == {UNCONFIRMED}:
        flags.add("unconfirmed_only")
    if present & STANDS == set() and FROM_THE_BOOKS in present:
        flags.add("from_the_books_only")
    if present & (STANDS | {FROM_THE_BOOKS}) == {"determined_by_its_referee"}:
        flags.add("by_its_referee_only")
    if "left_open" in present:
        flags.add("left_open")
    if counted:
        first, last = min(find.start for find in counted), max(find.end for find in counted)
        # Vague where no find of a known day bears the date out.
        if not any(find.start == find.end == first for find in counted):
            flags.add("first_date_vague")
        if not any(find.start == find.end == last for find in counted):
            flags.add("last_date_vague")
        if not counts:
            flags.add("member_listed")
    return tuple(flag for flag in FLAGS if flag in flags)


@dataclass(frozen=True)
class Firsts:
    """The find that is the first: `for_society` by taxon, `for_site` by (site, taxon)."""

    for_society: Mapping[int, int]
    for_site: Mapping[tuple[int, int], int]


def firsts(rows: Iterable[ListedFind], *, with_books: bool = True) -> Firsts:
    """Find the first of each taxon for the society and for each site, from all finds ever made.

    Hand in the whole record, not one season's. Raises ValueError as `count_list`.
    """
    making = _counted(with_unconfirmed=False, with_books=with_books)
    society: dict[int, ListedFind] = {}
    sites: dict[tuple[int, int], ListedFind] = {}
    for find in rows:
        _refuse_nonsense(find)
        if find.standing not in making:
            continue
        above = {find.species_id} if find.species_id is not None else set()
        # A member's find comes before its aggregate's, so it stands for each taxon above as well.
        for taxon_id in {find.taxon_id, *find.counted_member_of, *above}:
            _keep_earlier(society, taxon_id, find)
            if find.site_id is not None:
                _keep_earlier(sites, (find.site_id, taxon_id), find)
    return Firsts(
        for_society={
            taxon_id: find.find_id
            for taxon_id, find in sorted(society.items())
            if find.taxon_id == taxon_id
        },
        for_site={
            (site_id, taxon_id): find.find_id
            for (site_id, taxon_id), find in sorted(sites.items())
            if find.taxon_id == taxon_id
        },
    )


def _keep_earlier(held: dict[_Key, ListedFind], key: _Key, find: ListedFind) -> None:
    before = held.get(key)
    if before is None or _sequence(find) < _sequence(before):
        held[key] = find


def _sequence(find: ListedFind) -> tuple[date, date, int]:
    return find.end, find.start, find.find_id
