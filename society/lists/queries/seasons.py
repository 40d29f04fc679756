"""Seasons: which there are, and what each holds."""

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass

from django.db.models import Count, QuerySet

from society.finds.models import PUBLISHED, Find, Standing
from society.lists.queries.listed import TAXON_NOW, named_condition, stands_condition
from society.lists.queries.words import season_words
from society.members.permissions import Viewer
from society.science.dates import season_of


@dataclass(frozen=True, slots=True)
class SeasonCount:
    """What a season holds: finds that stand, names they stand under, finds unconfirmed."""

    season: int
    words: str
    finds: int
    names: int
    unconfirmed: int


def seasons_to_choose(viewer: Viewer, start_month: int) -> list[tuple[int, str]]:
    """Return the seasons with finds of a standing the viewer may read, the latest first.

    One query, answered from an index alone; so a season of nothing but withdrawn finds is offered
    too, and its list is empty.
    """
    finds = Find.objects.all() if viewer.is_member else Find.objects.filter(standing__in=PUBLISHED)
    days = finds.order_by().values_list("date_start", flat=True).distinct()
    seasons = {season_of(day, start_month) for day in days}
    return [(season, season_words(season, start_month)) for season in sorted(seasons, reverse=True)]


def seasons_counted(finds: QuerySet[Find], start_month: int) -> list[SeasonCount]:
    """Return the seasons that hold finds, the latest first; finds whose days lie in one season.

    Two queries, summed in the database by day and name.
    """
    standing: dict[int, int] = defaultdict(int)
    names: dict[int, set[int | None]] = defaultdict(set)
    groups = (
        finds.filter(stands_condition())
        .order_by()
        .values_list("date_start", "date_end", TAXON_NOW)
        .annotate(n=Count("pk"))
    )
    for start, end, taxon_id, n in groups:
        season = _one_season(start, end, start_month)
        if season is not None:
            standing[season] += n
            names[season].add(taxon_id)
    apart: dict[int, int] = defaultdict(int)
    days = (
        finds.filter(named_condition, standing=Standing.UNCONFIRMED)
        .order_by()
        .values_list("date_start", "date_end")
        .annotate(n=Count("pk"))
    )
    for start, end, n in days:
        season = _one_season(start, end, start_month)
        if season is not None:
            apart[season] += n
    return [
        SeasonCount(
            season,
            season_words(season, start_month),
            standing[season],
            len(names[season]),
            apart[season],
        )
        for season in sorted({*standing, *apart}, reverse=True)
    ]


def _one_season(start: dt.date, end: dt.date, start_month: int) -> int | None:
    season = season_of(start, start_month)
    return season if season_of(end, start_month) == season else None
