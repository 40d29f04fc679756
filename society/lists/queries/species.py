"""The page of a species: its names, what was seen of it here, and what it is taken for."""

import datetime as dt
from collections import Counter
from dataclasses import dataclass

from django.db.models import Count, QuerySet
from django.db.models.functions import Coalesce

from society.finds.models import PUBLISHED, Find, Photograph, PhotographState, Standing
from society.finds.queries import site_named_condition
from society.lists.queries.find_lines import FindLine, find_lines, latest_finds
from society.lists.queries.listed import (
    HOST_PARTS,
    finds_at,
    named_condition,
    of_taxon_condition,
    stands_condition,
)
from society.lists.queries.wanted import HostSeen
from society.members.permissions import Viewer
from society.names.models import LookAlike, Taxon, VernacularName
from society.names.queries import dangerous_look_alikes, look_alikes_of, other_of
from society.places.models import Site
from society.safety.gate import NoticeContext, notice_context
from society.science.names import render_parts

PHOTOGRAPHS = 12
LATEST = 8


@dataclass(frozen=True, slots=True)
class MonthCount:
    """Finds of a month; ``height`` is their share of the fullest month, 0 to 100."""

    first_day: dt.date
    finds: int
    height: int


@dataclass(frozen=True, slots=True)
class SynonymShown:
    parts: list[tuple[str, bool]]
    is_misapplied: bool


@dataclass(frozen=True, slots=True)
class LookAlikeShown:
    row: LookAlike
    other: Taxon
    parts: list[tuple[str, bool]]
    context: NoticeContext


@dataclass(frozen=True, slots=True)
class SpeciesPage:
    """What the page of an accepted name shows one viewer.

    ``months`` holds twelve counts of finds that stand and whose month is known; ``month_unknown``
    the finds that stand beside them. ``sites`` are those the viewer may name for finds of it.
    """

    taxon: Taxon
    parts: list[tuple[str, bool]]
    english: list[str]
    synonyms: list[SynonymShown]
    finds: int
    unconfirmed: int
    months: list[MonthCount]
    month_unknown: int
    hosts: list[HostSeen]
    sites: list[tuple[Site, int]]
    photographs: list[Photograph]
    look_alikes: list[LookAlikeShown]
    context: NoticeContext
    latest: list[FindLine]


def species_page(viewer: Viewer, taxon: Taxon) -> SpeciesPage:
    """Return the page of an accepted name. Fifteen queries, however many finds."""
    finds = finds_at(viewer, None).filter(of_taxon_condition(taxon), named_condition)
    stands = finds.filter(stands_condition())
    months, month_unknown = _months(stands)
    dangerous = dangerous_look_alikes({taxon.pk}).get(taxon.pk, [])
    return SpeciesPage(
        taxon=taxon,
        parts=render_parts(taxon.scientific_name, taxon.authorship),
        english=list(
            VernacularName.objects.filter(taxon=taxon, language="en").values_list("name", flat=True)
        ),
        synonyms=[
            SynonymShown(
                render_parts(synonym.scientific_name, synonym.authorship), synonym.is_misapplied
            )
            for synonym in taxon.synonyms.all()
        ],
        finds=sum(month.finds for month in months) + month_unknown,
        unconfirmed=finds.filter(standing=Standing.UNCONFIRMED).count(),
        months=months,
        month_unknown=month_unknown,
        hosts=_hosts(stands),
        sites=_sites(viewer, stands),
        photographs=_photographs(finds),
        look_alikes=[_look_alike(row, taxon) for row in look_alikes_of(taxon)],
        context=notice_context(taxon, dangerous=dangerous),
        latest=find_lines(viewer, latest_finds(stands, LATEST)),
    )


def _months(stands: QuerySet[Find]) -> tuple[list[MonthCount], int]:
    """Count finds by month; summed in the database by day, so that no row is read twice."""
    counted: Counter[int] = Counter()
    unknown = 0
    days = stands.order_by().values_list("date_start", "date_end").annotate(n=Count("pk"))
    for start, end, n in days:
        if (start.year, start.month) == (end.year, end.month):
            counted[start.month] += n
        else:
            unknown += n
    most = max(counted.values(), default=0)
    months = [
        MonthCount(
            # Any year does: the page shows the month's name only.
            first_day=dt.date(2000, month, 1),
            finds=counted[month],
            height=round(100 * counted[month] / most) if most else 0,
        )
        for month in range(1, 13)
    ]
    return months, unknown


def _hosts(stands: QuerySet[Find]) -> list[HostSeen]:
    rows = (
        stands.filter(
            organisms__part__in=HOST_PARTS,
            organisms__removed_at=None,
            organisms__taxon__isnull=False,
        )
        .order_by()
        .values_list(
            Coalesce("organisms__taxon__accepted_id", "organisms__taxon_id"),
            Coalesce(
                "organisms__taxon__accepted__scientific_name", "organisms__taxon__scientific_name"
            ),
        )
        .annotate(n=Count("pk", distinct=True))
    )
    seen = [HostSeen(*row) for row in rows]
    return sorted(seen, key=lambda host: (-host.finds, host.name))


def _sites(viewer: Viewer, stands: QuerySet[Find]) -> list[tuple[Site, int]]:
    rows = dict(
        stands.filter(site_named_condition(viewer))
        .order_by()
        .values_list("site_id")
        .annotate(n=Count("pk"))
    )
    sites = Site.objects.visible_to(viewer).filter(pk__in=rows)
    return [(site, rows[site.pk]) for site in sites]


def _photographs(finds: QuerySet[Find]) -> list[Photograph]:
    """Return photographs of finds whose name is settled, the latest find first."""
    return list(
        Photograph.objects.filter(
            find__in=finds.filter(standing__in=PUBLISHED).values("pk"),
            removed_at=None,
            state=PhotographState.READY,
        )
        .select_related("find", "author")
        .order_by("-find__date_start", "find_id", "position", "pk")[:PHOTOGRAPHS]
    )


def _look_alike(row: LookAlike, taxon: Taxon) -> LookAlikeShown:
    other = other_of(row, taxon)
    return LookAlikeShown(
        row, other, render_parts(other.scientific_name, other.authorship), notice_context(other)
    )
