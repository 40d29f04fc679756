"""Finds as lines of a list: name, place as the viewer may have it, date, finder, hosts."""

from dataclasses import dataclass
from typing import Any

from django.db.models import Prefetch, QuerySet

from society.finds.models import AssociatedOrganism, Find, Photograph, PhotographState, Qualifier
from society.finds.queries import PlaceGiven, places_given
from society.lists.queries.listed import (
    HOST_PARTS,
    QUALIFIER_NOW,
    finds_of_list,
    named_condition,
    of_taxon_condition,
)
from society.lists.queries.wanted import SpeciesListFilter
from society.lists.queries.words import qualified_parts
from society.members.permissions import Viewer
from society.names.models import Rank, Taxon
from society.names.queries import english_names

NAMED_WITH = (
    "site",
    "finder",
    "standing_taxon__accepted",
    "standing_slip",
)


# What a line shows of each row: a page reads a hundred of them, and the rest is long.
_SHOWN = (
    "year", "number", "collector_number", "finder__display_name", "withdrawn_at",
    "evidence_version", "date_start", "date_end", "place_verbatim", "place_verbatim_statement",
    "lat_e7", "lon_e7", "uncertainty_m", "secrecy", "standing", "standing_rank",
    "reads_wide", "site__name", "site__slug", "site__openness", "site__extent_m",
    "standing_taxon__scientific_name", "standing_taxon__accepted__scientific_name",
    "standing_slip__name_written", "standing_slip__qualifier", "standing_slip__taxon",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class FindLine:
    """One find in a list. ``parts`` is empty where the find is not named yet; ``as_written`` tells
    that the checklist does not hold its name. Of the rows only what a line shows is read."""

    find: Find
    parts: list[tuple[str, bool]]
    as_written: bool
    english: str
    place: PlaceGiven
    hosts: list[AssociatedOrganism]
    photographs: list[Photograph]


def find_lines(viewer: Viewer, finds: Any, *, with_hosts: bool = True) -> list[FindLine]:
    """Return finds (a queryset, sliced or not) as lines. Five queries, however many lines; three
    without hosts and photographs."""
    rows = finds.select_related(*NAMED_WITH).only(*_SHOWN)
    rows = list(rows.prefetch_related(_hosts(), _photographs()) if with_hosts else rows)
    places = places_given(viewer, rows)
    english = english_names({taxon.pk for taxon in map(taxon_now, rows) if taxon is not None})
    return [_line(find, places[find.pk], english, with_hosts=with_hosts) for find in rows]


def _hosts() -> "Prefetch[Any]":
    organisms = AssociatedOrganism.objects.filter(removed_at=None, part__in=HOST_PARTS)
    shown = organisms.select_related("taxon__accepted").only(
        "find", "as_written", "taxon__scientific_name", "taxon__accepted__scientific_name"
    )
    return Prefetch("organisms", shown)


def _photographs() -> "Prefetch[Any]":
    photographs = Photograph.objects.filter(removed_at=None, state=PhotographState.READY)
    return Prefetch("photographs", photographs.only("find", "uuid", "view", "position"))


def taxon_now(find: Find) -> Taxon | None:
    """Return the accepted name that a find stands under today."""
    return find.standing_taxon.current if find.standing_taxon is not None else None


def _line(find: Find, place: PlaceGiven, english: dict[int, str], *, with_hosts: bool) -> FindLine:
    taxon, slip = taxon_now(find), find.standing_slip
    parts: list[tuple[str, bool]] = []
    if taxon is not None:
        parts = qualified_parts(taxon.scientific_name, "", _qualifier(find))
    elif slip is not None:
        parts = [(slip.name_written, False)]
    return FindLine(
        find=find,
        parts=parts,
        as_written=taxon is None and slip is not None,
        english=english.get(taxon.pk, "") if taxon is not None else "",
        place=place,
        hosts=list(find.organisms.all()) if with_hosts else [],
        photographs=list(find.photographs.all()) if with_hosts else [],
    )


def _qualifier(find: Find) -> str:
    slip = find.standing_slip
    if slip is None or slip.taxon_id is None or find.standing_rank in (Rank.GENUS, Rank.SECTION):
        return ""
    return Qualifier.SL if find.reads_wide else slip.qualifier


def finds_of_row(
    viewer: Viewer,
    wanted: SpeciesListFilter,
    taxon: Taxon | None,
    *,
    qualifier: str | None = None,
    written: str = "",
) -> QuerySet[Find]:
    """Return the finds behind one row of a list, or behind the whole list, the latest first.

    ``qualifier`` is that of the row; None for every find of the name, however it stands.
    """
    finds = finds_of_list(viewer, wanted)
    if taxon is not None:
        finds = finds.filter(of_taxon_condition(taxon))
        if qualifier is not None:
            finds = finds.alias(qualifier_now=QUALIFIER_NOW).filter(qualifier_now=qualifier)
    elif written:
        finds = finds.filter(standing_taxon=None, standing_slip__name_written__iexact=written)
    return finds.order_by("-date_start", "-pk")


def latest_finds(finds: QuerySet[Find], limit: int) -> QuerySet[Find]:
    """Return the finds named last, newest day first."""
    return finds.filter(named_condition).order_by("-date_start", "-pk")[:limit]
