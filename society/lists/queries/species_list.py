"""The species list of a site, a group of sites or the whole society, for a season or any span."""

import datetime as dt
from collections.abc import Callable, Mapping
from typing import Any

from django.db.models import Count, F, Q, QuerySet

from society.finds.models import Find, Standing
from society.lists.queries.counting import Counted, Key, finds_counted, hosts_counted
from society.lists.queries.listed import (
    finds_at,
    finds_matching,
    in_time_condition,
    named_condition,
    overlapping_condition,
    span_of,
    standings_counted,
    standings_shown,
)
from society.lists.queries.ruling import first_finds, names_ruled
from society.lists.queries.wanted import (
    DangerousLookAlike,
    HostSeen,
    LeftOut,
    Sort,
    SpeciesList,
    SpeciesListFilter,
    SpeciesRow,
)
from society.lists.queries.words import list_title, qualified_parts
from society.members.permissions import Viewer
from society.names.models import Taxon
from society.names.queries import dangerous_look_alikes, english_names
from society.safety.gate import danger_words
from society.science.listing import ListRow
from society.science.names import fold, parse_written_name

SETTLED = (Standing.CONFIRMED, Standing.BY_ITS_REFEREE)


def species_list(viewer: Viewer, wanted: SpeciesListFilter) -> SpeciesList:
    """Return a species list as this viewer may have it. At most 17 queries, however many rows."""
    first, last = span_of(wanted)
    here = finds_at(viewer, wanted.site)
    matching = finds_matching(here, wanted, first, last).filter(named_condition)
    counted = finds_counted(matching.filter(standing__in=standings_shown(wanted)))
    codes = standings_counted(wanted)
    hosts_counted(counted, matching.filter(standing__in=codes))
    taxa = _taxa(counted)
    ruled = names_ruled(counted, taxa, with_unconfirmed=wanted.counted == "with_unconfirmed")
    for_site: set[int] = set()
    for_society: set[int] = set()
    if first is not None:
        can_be_first = taxa
        if wanted.site is not None:
            for_site = _first_here(matching, first_finds(here, taxa, first))
            # What is no first for its site is none for the society.
            can_be_first = {pk: taxon for pk, taxon in taxa.items() if pk in for_site}
        everywhere = first_finds(finds_at(viewer, None), can_be_first, first)
        for_society = _first_here(matching, everywhere)
    rows = _rows(counted, taxa, ruled, codes, for_site, for_society)
    return SpeciesList(
        wanted=wanted,
        title=list_title(wanted, first, last),
        date_from=first,
        date_to=last,
        rows=tuple(sorted(rows, key=_sort_key(wanted))),
        species=sum(row.counts_as_species for row in rows),
        finds=sum(row.finds for row in rows),
        unconfirmed=sum(row.unconfirmed for row in rows),
        left_out=_left_out(here, first, last),
    )


class _DangerWords(dict[tuple[str, str], str]):
    """Danger in words by class and condition, each worked out once a list."""

    def __missing__(self, key: tuple[str, str]) -> str:
        self[key] = danger_words(*key)
        return self[key]


def _taxa(counted: Mapping[Key, Counted]) -> dict[int, Taxon]:
    """Return the names and hosts of a list. One query."""
    ids = {key[0] for key in counted if key[0] is not None}
    for entry in counted.values():
        ids |= entry.hosts.keys()
    narrow = Taxon.objects.only(
        "scientific_name", "authorship", "folded", "rank", "genus", "family", "form", "danger",
        "danger_note", "group",
    )  # fmt: skip
    return {taxon.pk: taxon for taxon in narrow.filter(pk__in=ids)}


def _first_here(matching: QuerySet[Find], firsts: Mapping[int, int]) -> set[int]:
    """Return the names whose first find is among those of the list. One query."""
    here = set(matching.filter(pk__in=firsts.values()).order_by().values_list("pk", flat=True))
    return {taxon_id for taxon_id, find_id in firsts.items() if find_id in here}


def _rows(
    counted: Mapping[Key, Counted],
    taxa: Mapping[int, Taxon],
    ruled: Mapping[Key, ListRow],
    codes: tuple[str, ...],
    for_site: set[int],
    for_society: set[int],
) -> list[SpeciesRow]:
    """Put the rows together. Two queries: English names, dangerous look-alikes."""
    ids = {key[0] for key in counted if key[0] is not None}
    english = english_names(ids)
    look_alikes = dangerous_look_alikes(ids)
    words = _DangerWords()
    rows = []
    for key, entry in counted.items():
        taxon = taxa[key[0]] if key[0] is not None else None
        plain = taxon.pk if taxon is not None and not key[1] else None
        rows.append(
            SpeciesRow(
                **_named(key, entry, taxon),
                **_dated(entry, ruled[key]),
                english=english.get(taxon.pk, "") if taxon else "",
                finds=sum(entry.finds[code] for code in codes),
                settled=sum(entry.finds[code] for code in SETTLED),
                from_the_books=entry.finds[Standing.FROM_THE_BOOKS],
                left_open=entry.finds[Standing.LEFT_OPEN],
                unconfirmed=entry.finds[Standing.UNCONFIRMED],
                hosts=_hosts(entry, taxa),
                first_for_site=plain in for_site,
                first_for_society=plain in for_society,
                counts_as_species=ruled[key].counts_as_species,
                danger=taxon.danger if taxon else "",
                danger_words=words[taxon.danger, taxon.danger_note] if taxon else "",
                dangerous_look_alikes=tuple(
                    DangerousLookAlike(
                        other.pk, other.scientific_name, words[other.danger, other.danger_note]
                    )
                    for other in look_alikes.get(taxon.pk if taxon else 0, ())
                ),
            )
        )
    return rows


def _named(key: Key, entry: Counted, taxon: Taxon | None) -> dict[str, Any]:
    if taxon is None:
        read = parse_written_name(entry.written)
        return {
            "taxon_id": None,
            "name": entry.written,
            "authorship": "",
            "qualifier": "",
            "rank": entry.written_rank,
            "genus": read.genus or "",
            "family": "",
            "form": "",
            "parts": [(entry.written, False)],
        }
    return {
        "taxon_id": taxon.pk,
        "name": taxon.scientific_name,
        "authorship": taxon.authorship,
        "qualifier": key[1],
        "rank": taxon.rank,
        "genus": taxon.genus,
        "family": taxon.family,
        "form": taxon.form,
        "parts": qualified_parts(taxon.scientific_name, "", key[1]),
    }


def _dated(entry: Counted, row: ListRow) -> dict[str, Any]:
    """Return the dates of the finds counted; of the unconfirmed where nothing is counted."""
    return {
        "first_date": row.first or min(start for _, start, _ in entry.dates),
        "last_date": row.last or max(end for _, _, end in entry.dates),
        "first_is_vague": "first_date_vague" in row.flags,
        "last_is_vague": "last_date_vague" in row.flags,
    }


def _hosts(entry: Counted, taxa: Mapping[int, Taxon]) -> tuple[HostSeen, ...]:
    seen = [
        HostSeen(taxon_id, taxa[taxon_id].scientific_name, finds)
        for taxon_id, finds in entry.hosts.items()
    ]
    return tuple(sorted(seen, key=lambda host: (-host.finds, host.name)))


def _sort_key(wanted: SpeciesListFilter) -> Callable[[SpeciesRow], Any]:
    """Return the sequence of the rows; by name where all else is the same, apart rows last where
    the list is sorted by what is counted. Danger is never sorted by."""

    def name(row: SpeciesRow) -> tuple[str, str]:
        return fold(row.name), row.qualifier

    def family(row: SpeciesRow) -> tuple[bool, str]:
        return not row.family, row.family

    keys: dict[Sort, Callable[[SpeciesRow], Any]] = {
        "species": name,
        "family": lambda row: (family(row), name(row)),
        "finds": lambda row: (-row.finds, -row.unconfirmed, name(row)),
        "first": lambda row: (row.first_date, name(row)),
        "last": lambda row: (dt.date.max - row.last_date, name(row)),
    }
    chosen = keys[wanted.sort]
    if wanted.by_family:
        return lambda row: (family(row), chosen(row))
    return chosen


def _left_out(here: QuerySet[Find], first: dt.date | None, last: dt.date | None) -> LeftOut:
    """Return what of this place and time is not counted, and why. At most two queries: finds within
    the time, and those of a day not known that may lie in it, which have an index of their own."""
    within = in_time_condition(first, last)
    not_counted = Q(standing__in=(Standing.DISPUTED, Standing.LEFT_OPEN)) | Q(standing_slip=None)
    numbers = here.filter(within, not_counted).aggregate(
        disputed=Count("pk", filter=Q(standing=Standing.DISPUTED)),
        unnamed=Count("pk", filter=Q(standing_slip=None)),
        open_without_name=Count(
            "pk",
            filter=Q(standing=Standing.LEFT_OPEN, standing_rank="", standing_slip__isnull=False),
        ),
    )
    partly = 0
    if within:
        vague = here.filter(overlapping_condition(first, last), date_end__gt=F("date_start"))
        partly = vague.exclude(within).count()
    return LeftOut(**numbers, partly_in_time=partly)
