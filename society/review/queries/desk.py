"""The referees' queue: finds that wait, those in one's own scope first."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import Case, Count, IntegerField, Q, QuerySet, Value, When
from django.utils import timezone

from society.finds.models import Find, Photograph, View
from society.finds.queries import PlaceGiven, places_given, site_named_condition
from society.members.models import Person
from society.members.permissions import Viewer
from society.names.queries import english_names
from society.review.models import DeskEntry, Waits
from society.review.queries.evidence import taxon_of
from society.review.queries.naming import Parts, qualified_parts, qualifier_now

# Whatever the order, what one may settle comes first.
ORDERS = {
    "oldest": ("is_outside", "since", "pk"),
    "newest": ("is_outside", "-since", "-pk"),
    "name": ("is_outside", "sort_name", "since", "pk"),
}

# Views that show something else than the fungus.
AROUND_IT = (View.HABITAT, View.LABEL)


@dataclass(frozen=True, slots=True)
class DeskFilter:
    """What of the queue is asked for; empty values ask for everything.

    ``show`` is "split" for what was not looked at since its species was split, whether it waits or
    not; ``whose`` "mine" for what lies in one's scope only; ``days`` the least days of waiting.
    """

    show: str = ""

    whose: str = ""
    genus: str = ""
    site_id: int | None = None
    finder_id: int | None = None
    days: int | None = None
    order: str = "oldest"

    @property
    def is_wide(self) -> bool:
        """Whether nothing but the order is chosen."""
        return not (
            self.show or self.whose or self.genus or self.site_id or self.finder_id or self.days
        )


@dataclass(frozen=True, slots=True)
class DeskRow:
    """A find on the desk; ``parts`` is empty where it is not named yet. One that does not wait
    (``waits``) is to be looked at again since a split."""

    entry: DeskEntry
    place: PlaceGiven
    parts: Parts
    english: str
    photograph: Photograph | None
    waits: bool
    waiting_days: int
    is_outside: bool


@dataclass(frozen=True, slots=True)
class DeskPosition:
    """Where a find stands in the queue: its neighbours, its place from 1, and how many wait."""

    before: Find | None
    after: Find | None
    at: int | None
    waiting: int


def scope_condition(viewer: Viewer) -> Q:
    """Return the condition on ``DeskEntry`` that the find lies in one of the viewer's scopes."""
    condition = Q(pk__in=[])
    for rank, name in viewer.scopes:
        if rank == "all":
            return ~Q(pk__in=[])
        column = {"order": "order_name", "family": "family", "genus": "genus"}[rank]
        condition |= Q(**{column: name})
    return condition


def desk_queue(viewer: Viewer, wanted: DeskFilter) -> QuerySet[DeskEntry, Any]:
    """Return the finds that wait for a referee and are not the viewer's own, in order.

    Or those of the viewer's scope that nobody looked at since their species was split: the viewer's
    own too, since a new slip by a finder who is the referee is a new look.

    Its rows bear no more than the order needs: all of them are put in order for one page, and
    ``desk_rows`` reads what that page shows.
    """
    inside = scope_condition(viewer)
    if wanted.show == "split":
        queue = since_split(viewer)
    else:
        own = Find.objects.filter(finder_id=viewer.person_id).order_by()
        waiting = DeskEntry.objects.filter(waits=Waits.FOR_REFEREE)
        queue = waiting.exclude(find_id__in=own.values("pk"))
    queue = queue.annotate(
        is_outside=Case(When(inside, then=Value(0)), default=Value(1), output_field=IntegerField())
    )
    if wanted.whose == "mine":
        queue = queue.filter(inside)
    if wanted.genus.strip():
        queue = queue.filter(genus__iexact=wanted.genus.strip())
    if wanted.site_id is not None:
        here = Find.objects.filter(site_named_condition(viewer), site_id=wanted.site_id)
        queue = queue.filter(find__in=here)
    if wanted.finder_id is not None:
        queue = queue.filter(find__finder_id=wanted.finder_id)
    if wanted.days:
        queue = queue.filter(since__lte=timezone.now() - dt.timedelta(days=wanted.days))
    return queue.order_by(*_order(wanted))


def since_split(viewer: Viewer) -> QuerySet[DeskEntry, Any]:
    """Return the finds in the viewer's scope that nobody looked at since their name was split."""
    wide = Find.objects.laid().filter(reads_wide=True).order_by()
    return DeskEntry.objects.filter(scope_condition(viewer), find_id__in=wide.values("pk"))


def _order(wanted: DeskFilter) -> tuple[str, ...]:
    return ORDERS.get(wanted.order, ORDERS["oldest"])


def desk_rows(viewer: Viewer, entries: Iterable[Any]) -> list[DeskRow]:
    """Return the entries of a queue with what a row shows. Four queries, however many rows."""
    queued: list[Any] = list(entries)
    read = DeskEntry.objects.select_related(
        "find__site", "find__finder", "current_slip__taxon__accepted"
    ).in_bulk([entry.pk for entry in queued])
    held = [read[entry.pk] for entry in queued if entry.pk in read]
    outside = {entry.pk: bool(entry.is_outside) for entry in queued}
    places = places_given(viewer, [entry.find for entry in held])
    names = {entry.pk: taxon_of(entry.current_slip) for entry in held}
    english = english_names({taxon.pk for taxon in names.values() if taxon is not None})
    photographs = first_photographs([entry.find_id for entry in held])
    now = timezone.now()
    rows = []
    for entry in held:
        taxon = names[entry.pk]
        rows.append(
            DeskRow(
                entry=entry,
                place=places[entry.find_id],
                parts=_parts(entry),
                english=english.get(taxon.pk, "") if taxon is not None else "",
                photograph=photographs.get(entry.find_id),
                waits=entry.waits == Waits.FOR_REFEREE,
                waiting_days=(now - entry.since).days,
                is_outside=outside[entry.pk],
            )
        )
    return rows


def _parts(entry: DeskEntry) -> Parts:
    slip, taxon = entry.current_slip, taxon_of(entry.current_slip)
    if slip is None:
        return []
    if taxon is None:
        return [(slip.name_written, False)]
    return qualified_parts(taxon.scientific_name, "", qualifier_now(entry.find, slip))


def first_photographs(find_ids: list[int]) -> dict[int, Photograph]:
    """Return the first photograph of each find that has one, of the fungus itself if any.

    One query.
    """
    found: dict[int, Photograph] = {}
    rows = Photograph.objects.filter(find_id__in=find_ids, removed_at=None)
    ordered = sorted(rows, key=lambda row: (row.view in AROUND_IT, row.position, row.pk))
    for photograph in ordered:
        found.setdefault(photograph.find_id, photograph)
    return found


def finders_waiting() -> QuerySet[Person]:
    """Return the finders of whom something lies on the desk, for the filter."""
    waiting = DeskEntry.objects.filter(waits=Waits.FOR_REFEREE)
    wide = Find.objects.laid().filter(reads_wide=True).order_by()
    return Person.objects.filter(
        Q(pk__in=waiting.values("find__finder_id")) | Q(pk__in=wide.values("finder_id"))
    ).by_name()


def desk_position(viewer: Viewer, wanted: DeskFilter, find_id: int) -> DeskPosition:
    """Return where a find stands in the queue. Five queries, however long the queue.

    After a find that has left the queue comes its first one.
    """
    queue = desk_queue(viewer, wanted)
    row = queue.filter(find_id=find_id).first()
    if row is None:
        first = queue.first()
        return DeskPosition(None, first.find if first else None, None, queue.count())
    keys = _order(wanted)
    turned = tuple(map(_turned, keys))
    earlier = _beyond(turned, row)
    counted = queue.aggregate(waiting=Count("pk"), earlier=Count("pk", filter=earlier))
    before = queue.filter(earlier).order_by(*turned).first()
    after = queue.filter(_beyond(keys, row)).first()
    finds = Find.objects.in_bulk([entry.find_id for entry in (before, after) if entry is not None])
    return DeskPosition(
        before=finds.get(before.find_id) if before is not None else None,
        after=finds.get(after.find_id) if after is not None else None,
        at=counted["earlier"] + 1,
        waiting=counted["waiting"],
    )


def desk_next(viewer: Viewer, wanted: DeskFilter, find_id: int) -> Find | None:
    """Return the find that comes after one in the queue, None after its last. Two queries."""
    queue = desk_queue(viewer, wanted)
    row = queue.filter(find_id=find_id).first()
    queue = queue.select_related("find")
    after = queue.filter(_beyond(_order(wanted), row)).first() if row else queue.first()
    return after.find if after else None


def _turned(key: str) -> str:
    return key[1:] if key.startswith("-") else f"-{key}"


def _beyond(keys: tuple[str, ...], row: Any) -> Q:
    """Return the condition of standing after ``row`` when ordered by ``keys``."""
    beyond, level = Q(pk__in=[]), Q()
    for key in keys:
        name = key.lstrip("-")
        value = getattr(row, name)
        side = "lt" if key.startswith("-") else "gt"
        beyond |= level & Q(**{f"{name}__{side}": value})
        level &= Q(**{name: value})
    return beyond
