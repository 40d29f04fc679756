"""What red lists, laws and regional lists say of a name: entered, edited, removed, taken over."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass

from django.db import transaction

from society.core.history import change_record, values_before
from society.members.permissions import Viewer
from society.names.models import ListedStatus, Taxon
from society.names.permissions import keeper_demanded
from society.names.services.stamp import stamp_raise


@dataclass(frozen=True, slots=True)
class ListEntry:
    """One entry of a list: ``kind`` is a code of ``ListedStatus.Kind``."""

    kind: str
    area: str
    edition: str
    year: int
    says: str


@transaction.atomic
def listed_status_add(taxon_id: int, entry: ListEntry, *, by: Viewer) -> ListedStatus:
    """Enter what a list says of a name, under the name that the list uses."""
    keeper_demanded(by)
    row = _kept(ListedStatus(taxon=Taxon.objects.get(pk=taxon_id)), entry)
    change_record("list_entry.added", row, actor_id=by.person_id)
    stamp_raise()
    return row


@transaction.atomic
def listed_status_edit(status_id: int, entry: ListEntry, *, by: Viewer) -> ListedStatus:
    """Change an entry; where nothing differs nothing is written."""
    keeper_demanded(by)
    row = ListedStatus.objects.select_for_update().get(pk=status_id)
    prior = values_before(row, asdict(_tidied(entry)))
    if not prior:
        return row
    _kept(row, entry)
    change_record("list_entry.edited", row, actor_id=by.person_id, prior=prior)
    stamp_raise()
    return row


@transaction.atomic
def listed_status_remove(status_id: int, *, by: Viewer) -> Taxon:
    """Remove an entry made in error; the history keeps what it said. Returns its name."""
    keeper_demanded(by)
    row = ListedStatus.objects.select_for_update().select_related("taxon").get(pk=status_id)
    prior = {name: getattr(row, name) for name in ("kind", "area", "edition", "year", "says")}
    taxon = row.taxon
    change_record("list_entry.removed", row, actor_id=by.person_id, prior=prior)
    row.delete()
    stamp_raise()
    return taxon


@transaction.atomic
def listed_statuses_take(entries: Iterable[tuple[int, ListEntry]], *, by: Viewer) -> int:
    """Enter what a file of entries says, each with the id of its name; returns how many were new.

    What is held already, in the same words or in others that a keeper wrote, is left as it is.
    """
    keeper_demanded(by)
    return entries_take(entries, actor_id=by.person_id)


def entries_take(entries: Iterable[tuple[int, ListEntry]], *, actor_id: int | None) -> int:
    """Do what ``listed_statuses_take`` says, in the caller's transaction."""
    held = set(ListedStatus.objects.values_list("taxon_id", "kind", "area", "edition", "year"))
    new = 0
    for taxon_id, entry in entries:
        key = (taxon_id, entry.kind, entry.area, entry.edition, entry.year)
        if key in held:
            continue
        held.add(key)
        row = _kept(ListedStatus(taxon_id=taxon_id), entry)
        change_record("list_entry.added", row, actor_id=actor_id)
        new += 1
    if new:
        stamp_raise()
    return new


def _kept(row: ListedStatus, entry: ListEntry) -> ListedStatus:
    for name, value in asdict(_tidied(entry)).items():
        setattr(row, name, value)
    row.full_clean()
    row.save()
    return row


def _tidied(entry: ListEntry) -> ListEntry:
    words = {name: " ".join(getattr(entry, name).split()) for name in ("area", "edition", "says")}
    return ListEntry(kind=entry.kind, year=entry.year, **words)
