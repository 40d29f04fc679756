"""The rows that belong to a find: what stood with it, readings, characters, notes on eating.

An edit keeps a row that is unchanged, marks one that is gone as removed and adds what is new, so
that nothing laid is ever lost. Everything here runs inside the caller's transaction.
"""

from collections.abc import Callable, Collection, Iterable
from typing import Any
from uuid import UUID

from django.utils import timezone

from society.core.free_text import FreeText
from society.finds.models import (
    AssociatedOrganism,
    EatingNote,
    Find,
    ObservedCharacter,
    Photograph,
    Reading,
)
from society.finds.permissions import writer_id
from society.finds.services.entry import (
    EatingNoteEntry,
    FindEntry,
    OrganismEntry,
    PhotographEntry,
    ReadingEntry,
)
from society.members.permissions import Viewer
from society.names.models import CharacterState

ORGANISM_FIELDS = ("as_written", "taxon_id", "part", "certainty", "distance_m", "state")
READING_FIELDS = ("exposed", "reagent", "minutes", "looked", "seen")
EATING_FIELDS = ("said_by", "source", "text")


def rows_set(find: Find, entry: FindEntry, by: Viewer) -> tuple[dict[str, str], set[str]]:
    """Give ``find`` the rows of ``entry``.

    Returns what was overwritten (companions, characters), each with what stood before, and the
    names of the other rows that changed: theirs stay in the database, marked as removed.
    """
    overwritten = {
        "companions": _companions_set(find, entry.companion_ids),
        "observed_characters": _characters_set(find, entry.state_ids),
    }
    replaced = {
        "organisms": _replaced(
            find.organisms, entry.organisms, ORGANISM_FIELDS, lambda row: _organism(find, row)
        ),
        "readings": _replaced(
            find.readings, entry.readings, READING_FIELDS, lambda row: _reading(find, row)
        ),
        "eating_notes": _replaced(
            find.eating_notes, entry.eating_notes, EATING_FIELDS, lambda row: _note(find, row, by)
        ),
        "photographs": _photographs_told(find, entry.photographs),
    }
    return (
        {name: before for name, before in overwritten.items() if before is not None},
        {name for name, changed in replaced.items() if changed},
    )


def rows_lay(find: Find, entry: FindEntry, by: Viewer) -> None:
    """Give a find just stored the rows of ``entry``; it has none yet to ask for or to replace."""
    if entry.companion_ids:
        find.companions.add(*entry.companion_ids)
    if entry.state_ids:
        _characters_set(find, entry.state_ids)
    _laid(entry.organisms, lambda row: _organism(find, row))
    _laid(entry.readings, lambda row: _reading(find, row))
    _laid(entry.eating_notes, lambda row: _note(find, row, by))


def _companions_set(find: Find, person_ids: Iterable[int]) -> str | None:
    before = sorted(find.companions.values_list("pk", flat=True))
    wanted = sorted(set(person_ids))
    if before == wanted:
        return None
    find.companions.set(wanted)
    return " ".join(map(str, before))


def _characters_set(find: Find, state_ids: Iterable[int]) -> str | None:
    """Set the characters seen. What no form asks for, such as a taste once written, is kept."""
    asked_for = find.observed_characters.filter(character__never_asked=False)
    wanted = {
        state.pk: state.character_id for state in CharacterState.objects.filter(pk__in=state_ids)
    }
    held = {
        row.state_id: f"{row.character.code}:{row.state.code}"
        for row in asked_for.select_related("character", "state")
    }
    kept = set(find.observed_characters.values_list("state_id", flat=True)) - held.keys()
    if held.keys() == wanted.keys() - kept:
        return None
    asked_for.exclude(state_id__in=wanted).delete()
    ObservedCharacter.objects.bulk_create(
        ObservedCharacter(find=find, character_id=character_id, state_id=state_id)
        for state_id, character_id in wanted.items()
        if state_id not in held and state_id not in kept
    )
    return " ".join(sorted(held.values()))


def _replaced(
    stored_rows: Any, new_rows: Iterable[Any], fields: tuple[str, ...], made: Callable[[Any], Any]
) -> bool:
    """Mark stored rows that are not among the new as removed, lay the new; say whether any."""
    waiting = list(new_rows)
    changed = False
    taken = set(stored_rows.values_list("uuid", flat=True))
    for stored in stored_rows.filter(removed_at=None):
        same = next((new for new in waiting if _is_same(stored, new, fields)), None)
        if same is None:
            stored.removed_at = timezone.now()
            stored.save(update_fields=["removed_at", "updated_at"])
            changed = True
        else:
            waiting.remove(same)
    _laid(waiting, made, taken)
    return changed or bool(waiting)


def _laid(
    new_rows: Iterable[Any], made: Callable[[Any], Any], taken: Collection[UUID] = ()
) -> None:
    """Clean and store new rows. One whose words changed gets an identity of its own: the old one
    keeps its uuid, which is among the ``taken``."""
    for new in new_rows:
        row = made(new)
        known = ["find"]
        if new.uuid is not None and new.uuid not in taken:
            row.uuid = new.uuid
        else:
            known.append("uuid")  # made a moment ago
        row.full_clean(exclude=known)
        row.save(force_insert=True)


def _is_same(stored: Any, new: Any, fields: tuple[str, ...]) -> bool:
    return all(_plain(getattr(stored, name)) == getattr(new, name) for name in fields)


def _plain(value: Any) -> Any:
    return getattr(value, "raw", value)


def _organism(find: Find, entry: OrganismEntry) -> AssociatedOrganism:
    values = {name: getattr(entry, name) for name in ORGANISM_FIELDS}
    return AssociatedOrganism(find=find, **values)


def _reading(find: Find, entry: ReadingEntry) -> Reading:
    values = {name: getattr(entry, name) for name in READING_FIELDS}
    return Reading(find=find, device_at=entry.device_at, **values)


def _note(find: Find, entry: EatingNoteEntry, by: Viewer) -> EatingNote:
    values = {name: getattr(entry, name) for name in EATING_FIELDS}
    return EatingNote(find=find, by_id=writer_id(by), **values)


def _photographs_told(find: Find, entries: Iterable[PhotographEntry]) -> bool:
    """Take over what is said anew of photographs: view, caption, taken away or put back."""
    told = {entry.uuid: entry for entry in entries}
    stored = list(find.photographs.filter(uuid__in=told)) if told else []
    # A list, not a generator: every photograph is told, not only up to the first that changed.
    return any([_photograph_told(row, told[row.uuid]) for row in stored])  # noqa: C419


def _photograph_told(photograph: Photograph, entry: PhotographEntry) -> bool:
    before = (photograph.view, FreeText(photograph.caption).raw, photograph.removed_at is not None)
    if before == (entry.view, entry.caption, entry.is_removed):
        return False
    photograph.view, photograph.caption = entry.view, entry.caption
    if entry.is_removed != (photograph.removed_at is not None):
        photograph.removed_at = timezone.now() if entry.is_removed else None
    photograph.full_clean(exclude=["find"])
    photograph.save()
    return True
