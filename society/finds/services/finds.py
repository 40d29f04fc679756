"""Posting, editing and withdrawing finds."""

from collections.abc import Iterable
from dataclasses import replace
from typing import Any
from uuid import UUID

from django.db import IntegrityError, transaction
from django.db.models import F
from django.utils import timezone
from django.utils.translation import gettext as _

from society.core.errors import Conflict, NotPermitted, Refused
from society.core.history import change_record, values_before
from society.core.signals import find_changed
from society.finds.models import (
    AssociatedOrganism,
    EatingNote,
    Find,
    FindDraft,
    ObservedCharacter,
    Reading,
    YearNumber,
)
from society.finds.permissions import may_edit, may_post
from society.finds.services.drafts import draft_photographs_attach
from society.finds.services.entry import PLAIN_FIELDS, FindEntry, entry_digest
from society.finds.services.placing import cells_set, secrecy_refresh
from society.finds.services.slips import slip_add
from society.members.permissions import Viewer
from society.names.models import CharacterState


@transaction.atomic
def find_post(
    entry: FindEntry, *, by: Viewer, draft_views: dict[UUID, str] | None = None
) -> Find:
    """Post a find once, however often it is sent.

    ``draft_views`` names the photographs of its draft to take along, with what each shows.

    The same uuid and content from the same writer gives the stored find again; other content is a
    ``Conflict``; another writer's uuid is refused as not found.
    """
    if not may_post(by):
        raise NotPermitted(_("Only members may post finds."))
    digest = entry_digest(entry)
    if entry.uuid is not None:
        stored = Find.objects.filter(uuid=entry.uuid).first()
        if stored is not None:
            return _resent(stored, digest, by)
    _place_required(entry)
    assert by.person_id is not None
    year = entry.date_start.year
    find = Find(
        year=year,
        number=_next_number(year),
        entered_by_id=by.person_id,
        posted_digest=digest,
        **({"uuid": entry.uuid} if entry.uuid else {}),
        **_columns(entry),
    )
    cells_set(find)
    find.full_clean(exclude=["standing_slip", "standing_taxon"])
    try:
        with transaction.atomic():
            find.save(force_insert=True)
    except IntegrityError:
        # Two sends of one find at once: the other was first.
        return _resent(Find.objects.get(uuid=entry.uuid), digest, by)
    find.companions.set(entry.companion_ids)
    _organisms_add(find, entry)
    _readings_add(find, entry)
    _characters_set(find, entry.state_ids)
    _eating_notes_add(find, entry, by)
    change_record("find.posted", find, actor_id=by.person_id)
    if entry.slip is not None:
        slip_add(find, entry.slip, by=by)
    secrecy_refresh(find)
    if draft_views:
        draft_photographs_attach(find, draft_views, by=by)
    if entry.uuid is not None:
        FindDraft.objects.filter(uuid=entry.uuid, owner_id=by.account_id).delete()
    find_changed.send(Find, find_id=find.pk, acted_by=by.person_id)
    return find


@transaction.atomic
def find_edit(find_id: int, entry: FindEntry, *, base_version: int, by: Viewer) -> Find:
    """Change what was written of a find; its slips stay. Returns the find.

    Raises ``Conflict`` when somebody changed it since ``base_version``; the writer's version is
    then the caller's to keep as a draft.
    """
    find = Find.objects.select_for_update().get(pk=find_id)
    if not may_edit(by, find):
        raise NotPermitted(_("Only its finder, who entered it, or a keeper may change this find."))
    if find.version != base_version:
        raise Conflict(
            _("Somebody changed this find while you were writing. Both versions are kept."),
            {"version": find.version},
        )
    _place_required(entry)
    columns = _columns(entry)
    prior = values_before(find, columns)
    for name, value in columns.items():
        setattr(find, name, value)
    cells_set(find)
    find.version = base_version + 1
    find.evidence_version += 1
    find.full_clean(exclude=["standing_slip", "standing_taxon"])
    find.save()
    find.companions.set(entry.companion_ids)
    _organisms_replace(find, entry)
    _readings_replace(find, entry)
    _characters_set(find, entry.state_ids)
    _eating_notes_replace(find, entry, by)
    change_record("find.edited", find, actor_id=by.person_id, prior=prior)
    secrecy_refresh(find)
    find_changed.send(Find, find_id=find.pk, acted_by=by.person_id)
    return find


@transaction.atomic
def find_withdraw(find_id: int, *, by: Viewer) -> Find:
    """Take a find out of every list; its row and slips stay, and it can be put back."""
    return _withdrawn_set(find_id, True, by)


@transaction.atomic
def find_put_back(find_id: int, *, by: Viewer) -> Find:
    """Undo a withdrawal."""
    return _withdrawn_set(find_id, False, by)


def _withdrawn_set(find_id: int, withdrawn: bool, by: Viewer) -> Find:
    find = Find.objects.select_for_update().get(pk=find_id)
    if not may_edit(by, find):
        raise NotPermitted(_("Only its finder, who entered it, or a keeper may withdraw this find."))
    if (find.withdrawn_at is not None) == withdrawn:
        return find
    find.withdrawn_at = timezone.now() if withdrawn else None
    find.version = F("version") + 1
    find.save(update_fields=["withdrawn_at", "version", "updated_at"])
    find.refresh_from_db()
    verb = "find.withdrawn" if withdrawn else "find.put_back"
    change_record(verb, find, actor_id=by.person_id, fields=["withdrawn_at"])
    find_changed.send(Find, find_id=find.pk, acted_by=by.person_id)
    return find


def _resent(stored: Find, digest: str, by: Viewer) -> Find:
    if stored.entered_by_id != by.person_id:
        raise Refused(_("There is no such find of yours."), "not_found")
    if stored.posted_digest != digest:
        raise Conflict(
            _("This find is already posted, with other words. Open it and edit it there."),
            {"id": stored.pk, "version": stored.version},
        )
    return stored


def _place_required(entry: FindEntry) -> None:
    if entry.site_id is None and entry.place.lat_e7 is None and not entry.place.verbatim:
        raise Refused(
            _("Say where: choose a site, give a position, or write the place in words."),
            "no_place",
            field="site",
        )


def _next_number(year: int) -> int:
    """Return the next number of ``year``; the row's lock keeps two writers apart."""
    YearNumber.objects.get_or_create(year=year)
    YearNumber.objects.filter(year=year).update(last=F("last") + 1)
    return YearNumber.objects.get(year=year).last


def _columns(entry: FindEntry) -> dict[str, Any]:
    unknown = set(entry.plain) - set(PLAIN_FIELDS)
    if unknown:
        raise ValueError(f"not fields of a find: {sorted(unknown)}")
    return {
        "finder_id": entry.finder_id,
        "date_start": entry.date_start,
        "date_end": entry.date_end,
        "date_verbatim": entry.date_verbatim,
        "time_of_day": entry.time_of_day,
        "site_id": entry.site_id,
        "visit_id": entry.visit_id,
        "lat_e7": entry.place.lat_e7,
        "lon_e7": entry.place.lon_e7,
        "uncertainty_m": entry.place.uncertainty_m,
        "position_source": entry.place.source,
        "place_verbatim": entry.place.verbatim,
        "made_secret": entry.made_secret,
        "collector_number": entry.collector_number,
        **entry.plain,
    }


def _with_uuid(uuid: UUID | None) -> dict[str, UUID]:
    return {} if uuid is None else {"uuid": uuid}


def _cleaned(rows: Iterable[Any]) -> list[Any]:
    kept = list(rows)
    for row in kept:
        row.full_clean(exclude=["find"])
    return kept


def _organisms_add(find: Find, entry: FindEntry) -> None:
    AssociatedOrganism.objects.bulk_create(
        _cleaned(
            AssociatedOrganism(
                find=find,
                taxon_id=organism.taxon_id,
                as_written=organism.as_written,
                part=organism.part,
                certainty=organism.certainty,
                distance_m=organism.distance_m,
                state=organism.state,
                **_with_uuid(organism.uuid),
            )
            for organism in entry.organisms
        )
    )


def _readings_add(find: Find, entry: FindEntry) -> None:
    Reading.objects.bulk_create(
        _cleaned(
            Reading(
                find=find,
                exposed=reading.exposed,
                reagent=reading.reagent,
                minutes=reading.minutes,
                looked=reading.looked,
                seen=reading.seen,
                device_at=reading.device_at,
                **_with_uuid(reading.uuid),
            )
            for reading in entry.readings
        )
    )


def _eating_notes_add(find: Find, entry: FindEntry, by: Viewer) -> None:
    for note in entry.eating_notes:
        row = EatingNote(
            find=find,
            by_id=by.person_id,
            said_by=note.said_by,
            source=note.source,
            text=note.text,
            **_with_uuid(note.uuid),
        )
        row.full_clean(exclude=["find"])
        row.save()


def _characters_set(find: Find, state_ids: tuple[int, ...]) -> None:
    wanted = {
        state.pk: state.character_id for state in CharacterState.objects.filter(pk__in=state_ids)
    }
    held = set(find.observed_characters.values_list("state_id", flat=True))
    find.observed_characters.exclude(state_id__in=wanted).delete()
    ObservedCharacter.objects.bulk_create(
        ObservedCharacter(find=find, character_id=character_id, state_id=state_id)
        for state_id, character_id in wanted.items()
        if state_id not in held
    )


def _organisms_replace(find: Find, entry: FindEntry) -> None:
    """Keep what is unchanged, mark the rest as removed, add what is new."""
    fields = ("as_written", "taxon_id", "part", "certainty", "distance_m", "state")
    added = _replaced(find.organisms, entry.organisms, fields)
    _organisms_add(find, _only(entry, organisms=added))


def _readings_replace(find: Find, entry: FindEntry) -> None:
    fields = ("exposed", "reagent", "minutes", "looked", "seen")
    added = _replaced(find.readings, entry.readings, fields)
    _readings_add(find, _only(entry, readings=added))


def _eating_notes_replace(find: Find, entry: FindEntry, by: Viewer) -> None:
    added = _replaced(find.eating_notes, entry.eating_notes, ("said_by", "source", "text"))
    _eating_notes_add(find, _only(entry, eating_notes=added), by)


def _only(entry: FindEntry, **rows: Any) -> FindEntry:
    return FindEntry(
        finder_id=entry.finder_id, date_start=entry.date_start, date_end=entry.date_end, **rows
    )


def _replaced(stored_rows: Any, new_rows: Iterable[Any], fields: tuple[str, ...]) -> tuple[Any, ...]:
    """Mark the stored rows that are not among the new ones as removed; return the new ones."""
    waiting = list(new_rows)
    for stored in stored_rows.filter(removed_at=None):
        same = next((new for new in waiting if _same(stored, new, fields)), None)
        if same is None:
            stored.removed_at = timezone.now()
            stored.save(update_fields=["removed_at", "updated_at"])
        else:
            waiting.remove(same)
    # A row whose words changed gets an identity of its own; the old one keeps its uuid.

    return tuple(replace(row, uuid=None) for row in waiting)


def _same(stored: Any, new: Any, fields: tuple[str, ...]) -> bool:
    return all(_plain(getattr(stored, name)) == _plain(getattr(new, name)) for name in fields)


def _plain(value: Any) -> Any:
    return getattr(value, "raw", value)
