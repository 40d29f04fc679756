"""Reads for the keepers' pages: what lists say, splits, what a merging would move, history."""

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import Q

from society.core.models import Change, FieldVersion
from society.core.signals import finds_counted
from society.members.models import Person
from society.names.models import (
    Account,
    ListedStatus,
    LookAlike,
    Taxon,
    TaxonSplit,
    VernacularName,
)

LONGEST_HISTORY = 100
# The field of the history in which a merging keeps what it moved.
MOVED = "moved"


@dataclass(frozen=True, slots=True)
class SplitShown:
    """A species taken apart: from ``day`` on its name holds in a narrower sense."""

    split_id: int
    taxon_id: int
    day: dt.date
    source: str
    into: tuple[Taxon, ...]


def splits_of(taxon_ids: Iterable[int]) -> dict[int, list[SplitShown]]:
    """Return the splits of those names that have any, the latest first. Two queries.

    ``into`` gives accepted names, also where one was merged with another since.
    """
    found: dict[int, list[SplitShown]] = {}
    rows = TaxonSplit.objects.filter(taxon_id__in=set(taxon_ids)).order_by("-day", "pk")
    for row in rows.prefetch_related("into__accepted"):
        parts = {part.current.pk: part.current for part in row.into.all()}
        shown = SplitShown(
            split_id=row.pk,
            taxon_id=row.taxon_id,
            day=row.day,
            source=row.source,
            into=tuple(sorted(parts.values(), key=lambda part: part.folded)),
        )
        found.setdefault(row.taxon_id, []).append(shown)
    return found


def split_days(taxon_ids: Iterable[int] | None = None) -> dict[int, list[dt.date]]:
    """Return the days on which those names were split, of all names for None. One query."""
    found: dict[int, list[dt.date]] = {}
    rows = TaxonSplit.objects.order_by("day")
    if taxon_ids is not None:
        rows = rows.filter(taxon_id__in=set(taxon_ids))
    for taxon_id, day in rows.values_list("taxon_id", "day"):
        found.setdefault(taxon_id, []).append(day)
    return found


@dataclass(frozen=True, slots=True)
class ListedShown:
    """What a list says. ``under`` is the name it uses where that is a synonym of the one asked."""

    status_id: int
    taxon_id: int
    kind: str
    kind_words: str
    area: str
    edition: str
    year: int
    says: str
    under: str


def listed_statuses(taxon_ids: Iterable[int]) -> dict[int, list[ListedShown]]:
    """Return what lists say of those accepted names, under any name of theirs. One query."""
    wanted = set(taxon_ids)
    found: dict[int, list[ListedShown]] = {}
    rows = ListedStatus.objects.filter(
        Q(taxon_id__in=wanted) | Q(taxon__accepted_id__in=wanted)
    ).select_related("taxon")
    for row in rows:
        # A synonym that is itself asked for keeps its own entries.
        own = row.taxon_id in wanted
        taxon_id = row.taxon_id if own else row.taxon.accepted_id
        assert taxon_id is not None
        shown = ListedShown(
            status_id=row.pk,
            taxon_id=row.taxon_id,
            kind=row.kind,
            kind_words=str(ListedStatus.Kind(row.kind).label),
            area=row.area,
            edition=row.edition,
            year=row.year,
            says=row.says,
            under="" if own else row.taxon.scientific_name,
        )
        found.setdefault(taxon_id, []).append(shown)
    return found


@dataclass(frozen=True, slots=True)
class Movement:
    """What would move if a name were made a synonym of another, and what would not."""

    synonyms: int
    english: int
    look_alikes: int
    account_goes: bool
    account_stays: bool
    finds: int


def movement_of(taxon: Taxon, into: Taxon) -> Movement:
    """Return what a merging would move. Five queries, and those of the rooms that count finds."""
    has_account = Account.objects.filter(taxon=taxon).exists()
    is_met = Account.objects.filter(taxon=into).exists()
    return Movement(
        synonyms=Taxon.objects.filter(accepted=taxon).count(),
        english=VernacularName.objects.filter(taxon=taxon).count(),
        look_alikes=LookAlike.objects.filter(Q(taxon=taxon) | Q(other=taxon)).count(),
        account_goes=has_account and not is_met,
        account_stays=has_account and is_met,
        finds=finds_under([taxon.pk]),
    )


def finds_under(taxon_ids: list[int]) -> int:
    """Return how many finds bear one of these names or a synonym of one, as other rooms count."""
    answers = finds_counted.send(Taxon, taxon_ids=taxon_ids)
    return sum(int(count or 0) for _receiver, count in answers)


@dataclass(frozen=True, slots=True)
class ChangeShown:
    """A line of history: when, by whom ('' for nobody), what was done, what stood before."""

    at: dt.datetime
    by: str
    verb: str
    before: tuple[tuple[str, str], ...]


def history_of(kind: str, object_id: int) -> list[ChangeShown]:
    """Return the latest changes of one row, with the values before each. Three queries."""
    changes = list(
        Change.objects.filter(object_kind=kind, object_id=object_id).prefetch_related("versions")[
            :LONGEST_HISTORY
        ]
    )
    people: dict[Any, str] = dict(
        Person.objects.filter(pk__in={change.actor_id for change in changes}).values_list(
            "pk", "display_name"
        )
    )
    return [
        ChangeShown(
            at=change.at,
            by=people.get(change.actor_id, ""),
            verb=change.verb,
            before=tuple(
                (version.field, version.prior)
                for version in sorted(change.versions.all(), key=lambda row: row.field)
            ),
        )
        for change in changes
    ]


def moved_record(taxon: Taxon) -> FieldVersion | None:
    """Return what the last merging of a synonym has kept, None where there was none. One query."""
    if taxon.accepted_id is None:
        return None
    return (
        FieldVersion.objects.filter(
            change__object_kind=Taxon._meta.label_lower, change__object_id=taxon.pk, field=MOVED
        )
        .order_by("-change_id")
        .first()
    )


def was_merged(taxon: Taxon) -> bool:
    """Whether a name leads to another by a merging that can be undone. One query at most."""
    return moved_record(taxon) is not None
