"""The referees' queue: finds that wait, those in one's own scope first."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import F, Q, QuerySet
from django.utils import timezone

from society.finds.models import Find, Photograph
from society.finds.queries import PlaceGiven, places_given, site_named_condition
from society.members.permissions import Viewer
from society.names.queries import english_names
from society.review.models import DeskEntry, Waits


@dataclass(frozen=True, slots=True)
class DeskFilter:
    """What of the queue is asked for; empty values ask for everything."""

    whose: str = "mine"
    genus: str = ""
    site_id: int | None = None
    finder_id: int | None = None
    days: int | None = None
    order: str = "oldest"


@dataclass(frozen=True, slots=True)
class DeskRow:
    entry: DeskEntry
    place: PlaceGiven
    english: str
    photograph: Photograph | None
    waiting_days: int


def scope_condition(viewer: Viewer) -> Q:
    """Return the condition on ``DeskEntry`` that the find lies in one of the viewer's scopes."""
    condition = Q(pk__in=[])
    for rank, name in viewer.scopes:
        if rank == "all":
            return ~Q(pk__in=[])
        column = {"order": "order_name", "family": "family", "genus": "genus"}[rank]
        condition |= Q(**{column: name})
    return condition


def desk_queue(viewer: Viewer, wanted: DeskFilter) -> QuerySet[DeskEntry]:
    """Return the finds that wait for a referee and are not the viewer's own."""
    queue = (
        DeskEntry.objects.filter(waits=Waits.FOR_REFEREE)
        .exclude(find__finder_id=viewer.person_id)
        .select_related("find__site", "find__finder", "current_slip__taxon__accepted")
    )
    if wanted.whose != "all":
        queue = queue.filter(scope_condition(viewer))
    if wanted.genus:
        queue = queue.filter(genus__iexact=wanted.genus.strip())
    if wanted.site_id is not None:
        here = Find.objects.filter(site_named_condition(viewer), site_id=wanted.site_id)
        queue = queue.filter(find__in=here)
    if wanted.finder_id is not None:
        queue = queue.filter(find__finder_id=wanted.finder_id)
    if wanted.days:
        queue = queue.filter(since__lte=timezone.now() - dt.timedelta(days=wanted.days))
    return queue.order_by(*_order(wanted.order))


def _order(order: str) -> tuple[object, ...]:
    if order == "newest":
        return ("-since", "-pk")
    if order == "name":
        return (
            F("current_slip__taxon__folded").asc(nulls_last=True),
            "current_slip__name_written",
            "since",
            "pk",
        )
    return ("since", "pk")


def desk_rows(viewer: Viewer, entries: Iterable[DeskEntry]) -> list[DeskRow]:
    """Return the entries with what a row shows. Three queries, however many rows."""
    held = list(entries)
    places = places_given(viewer, [entry.find for entry in held])
    taxa = {
        entry.current_slip.taxon.current.pk
        for entry in held
        if entry.current_slip is not None and entry.current_slip.taxon is not None
    }
    english = english_names(taxa)
    photographs = first_photographs([entry.find_id for entry in held])
    now = timezone.now()
    return [
        DeskRow(
            entry=entry,
            place=places[entry.find_id],
            english=_english(entry, english),
            photograph=photographs.get(entry.find_id),
            waiting_days=(now - entry.since).days,
        )
        for entry in held
    ]


def first_photographs(find_ids: list[int]) -> dict[int, Photograph]:
    """Return the first photograph of each find that has one. One query."""
    found: dict[int, Photograph] = {}
    rows = Photograph.objects.filter(find_id__in=find_ids, removed_at=None)
    for photograph in rows.order_by("find_id", "position", "pk"):
        found.setdefault(photograph.find_id, photograph)
    return found


def desk_neighbours(
    viewer: Viewer, wanted: DeskFilter, find_id: int
) -> tuple[DeskEntry | None, DeskEntry | None, int]:
    """Return the finds before and after one in the queue, and how many wait in all.

    After a find that has left the queue stands its first one. Two queries.
    """
    queue = desk_queue(viewer, wanted)
    ids = list(queue.values_list("find_id", flat=True))
    if find_id in ids:
        at = ids.index(find_id)
        before = ids[at - 1] if at else None
        after = ids[at + 1] if at + 1 < len(ids) else None
    else:
        before, after = None, ids[0] if ids else None
    entries = {
        entry.find_id: entry
        for entry in DeskEntry.objects.select_related("find").filter(
            find_id__in=[pk for pk in (before, after) if pk is not None]
        )
    }
    return entries.get(before or 0), entries.get(after or 0), len(ids)


def _english(entry: DeskEntry, english: dict[int, str]) -> str:
    slip = entry.current_slip
    if slip is None or slip.taxon is None:
        return ""
    return english.get(slip.taxon.current.pk, "")
