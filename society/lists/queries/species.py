"""The page of a species: its names, what was seen of it here, and what it is taken for."""

import datetime as dt
from collections import Counter
from dataclasses import dataclass

from django.db.models import Count, QuerySet

from society.finds.models import PUBLISHED, Find, Standing
from society.finds.queries import site_named_condition
from society.lists.queries.find_lines import FindLine, find_lines, latest_finds
from society.lists.queries.listed import (
    finds_at,
    named_condition,
    of_taxon_condition,
    stands_condition,
)
from society.lists.queries.species_account import LookAlikeShown, Studied, look_alikes, studied
from society.lists.queries.species_seen import (
    ColourByStage,
    HostsCompared,
    ViewShown,
    colours_by_stage,
    hosts_compared,
    photographs_by_view,
)
from society.lists.queries.species_times import TimesShown, times_shown
from society.members.permissions import Viewer
from society.names.models import Taxon, VernacularName
from society.names.queries import ListedShown, facts_of, listed_statuses
from society.places.models import Site
from society.safety.gate import NoticeContext, notice_context
from society.science.contrast import months_of
from society.science.names import render_parts

LATEST = 8


@dataclass(frozen=True, slots=True)
class MonthCount:
    """Finds of a month; ``height`` is their share of the fullest month, 0 to 100; ``expected``
    whether it is held as one of the species."""

    first_day: dt.date
    finds: int
    height: int
    expected: bool


@dataclass(frozen=True, slots=True)
class SynonymShown:
    parts: list[tuple[str, bool]]
    is_misapplied: bool


@dataclass(frozen=True, slots=True)
class WeekCount:
    """Finds of an ISO week, all years together, and how many lie outside the months held."""

    week: int
    finds: int
    outside: int


@dataclass(frozen=True, slots=True)
class MonthsCompared:
    """Twelve counts of finds that stand and whose month is known, against the months held.

    ``unknown`` finds stand beside them. ``is_known``: months are held of it; then ``outside``
    finds were made in others. ``weeks`` are those with finds whose week is known.
    """

    rows: list[MonthCount]
    weeks: list[WeekCount]
    unknown: int
    is_known: bool

    @property
    def finds(self) -> int:
        return sum(month.finds for month in self.rows)

    @property
    def outside(self) -> int:
        return sum(month.finds for month in self.rows if not month.expected)


@dataclass(frozen=True)
class SpeciesPage:
    """What the page of an accepted name shows one viewer.

    ``wide`` finds stand under the name but read as s.l. since its split; nothing else counts them.
    ``sites`` are those the viewer may name for finds of it. Of secret finds colours, hosts and
    months are counted as of others; neither site nor caption is told.
    """

    taxon: Taxon
    parts: list[tuple[str, bool]]
    english: list[str]
    synonyms: list[SynonymShown]
    listed: list[ListedShown]
    studied: Studied
    times: list[TimesShown]
    finds: int
    wide: int
    unconfirmed: int
    months: MonthsCompared
    hosts: HostsCompared
    sites: list[tuple[Site, int]]
    views: list[ViewShown]
    colours: list[ColourByStage]
    look_alikes: list[LookAlikeShown]
    context: NoticeContext
    latest: list[FindLine]


def species_page(viewer: Viewer, taxon: Taxon, view: str | None = None) -> SpeciesPage:
    """Return the page of an accepted name; with ``view`` photographs of that view only.

    Twenty-four queries at most, however many finds; eight more when the accounts have changed
    since this process read them.
    """
    finds = finds_at(viewer, None).filter(of_taxon_condition(taxon), named_condition)
    narrow = finds.filter(reads_wide=False)
    stands = narrow.filter(stands_condition())
    settled = narrow.filter(standing__in=PUBLISHED)
    held = studied(taxon)
    months = _months(stands, taxon)
    alike = look_alikes(held)
    written = [item.other for item in alike if item.row is not None]
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
        listed=listed_statuses([taxon.pk]).get(taxon.pk, []),
        studied=held,
        times=times_shown(settled, held.facts, held.shown.readings if held.shown else ()),
        finds=months.finds + months.unknown,
        wide=finds.filter(stands_condition(), reads_wide=True).count(),
        unconfirmed=narrow.filter(standing=Standing.UNCONFIRMED).count(),
        months=months,
        hosts=hosts_compared(stands, taxon.hosts, of=months.finds + months.unknown),
        sites=_sites(viewer, stands),
        views=photographs_by_view(viewer, settled, view),
        colours=colours_by_stage(settled, held.book),
        look_alikes=alike,
        context=notice_context(taxon, dangerous=[row for row in written if row.is_dangerous]),
        latest=find_lines(viewer, latest_finds(stands, LATEST)),
    )


def _months(stands: QuerySet[Find], taxon: Taxon) -> MonthsCompared:
    """Count finds by month; summed in the database by day, so that no row is read twice."""
    counted: Counter[int] = Counter()
    weeks: Counter[int] = Counter()
    outside: Counter[int] = Counter()
    held_months = facts_of(taxon).months
    expected = months_of(held_months) if held_months else frozenset()
    unknown = 0
    days = stands.order_by().values_list("date_start", "date_end").annotate(n=Count("pk"))
    for start, end, n in days:
        if (start.year, start.month) == (end.year, end.month):
            counted[start.month] += n
        else:
            unknown += n
        if start.isocalendar()[:2] == end.isocalendar()[:2]:
            week = start.isocalendar().week
            weeks[week] += n
            outside[week] += n if start.month not in expected else 0
    most = max(counted.values(), default=0)
    rows = [
        MonthCount(
            # Any year does: the page shows the month's name only.
            first_day=dt.date(2000, month, 1),
            finds=counted[month],
            height=round(100 * counted[month] / most) if most else 0,
            expected=month in expected,
        )
        for month in range(1, 13)
    ]
    by_week = [WeekCount(week, weeks[week], outside[week]) for week in sorted(weeks)]
    return MonthsCompared(rows, by_week, unknown, bool(expected))


def _sites(viewer: Viewer, stands: QuerySet[Find]) -> list[tuple[Site, int]]:
    rows = dict(
        stands.filter(site_named_condition(viewer))
        .order_by()
        .values_list("site_id")
        .annotate(n=Count("pk"))
    )
    sites = Site.objects.visible_to(viewer).filter(pk__in=rows)
    return [(site, rows[site.pk]) for site in sites]
