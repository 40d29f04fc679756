"""Posting, editing and withdrawing finds."""

from typing import Any
from uuid import UUID

from django.db import IntegrityError, transaction
from django.db.models import F
from django.utils import timezone
from django.utils.translation import gettext as _

from society.core.errors import Conflict, NotPermitted, Refused
from society.core.history import change_record, values_before
from society.core.signals import find_changed
from society.finds.models import Find, FindDraft, YearNumber
from society.finds.permissions import may_edit, may_post, writer_id
from society.finds.services.drafts import draft_photographs_attach, edit_draft_uuid
from society.finds.services.entry import PLAIN_FIELDS, FindEntry, entry_digest
from society.finds.services.placing import cells_set, secrecy_refresh
from society.finds.services.rows import rows_lay, rows_set
from society.finds.services.slips import slip_add
from society.members.permissions import Viewer

# Written by other services, or unique by a constraint that tells a resend by its error.
NOT_CLEANED = ("uuid", "standing_slip", "standing_taxon")
# What a change of is no change of the evidence a referee judged.
NOT_EVIDENCE = {
    "collector_number",
    "companions",
    "fungarium",
    "made_secret",
    "specimen_number",
    "visit_id",
}


@transaction.atomic
def find_post(entry: FindEntry, *, by: Viewer, draft_views: dict[UUID, str] | None = None) -> Find:
    """Post a find once, however often it is sent.

    ``draft_views`` names the photographs of its draft to take along, with what each shows.

    The same uuid and content from the same writer gives the stored find again; other content is a
    ``Conflict``; another writer's uuid is refused as not found.
    """
    if not may_post(by):
        raise NotPermitted(_("Only members may post finds."))
    digest = entry_digest(entry)
    stored = Find.objects.filter(uuid=entry.uuid).first() if entry.uuid is not None else None
    find = stored or _stored(entry, digest, by)
    _is_the_same(find, digest, by)
    moved = draft_photographs_attach(find, find.uuid, draft_views or {}, by=by)
    FindDraft.objects.filter(uuid=find.uuid, owner_id=by.account_id).delete()
    if stored is None or moved:
        find_changed.send(Find, find_id=find.pk, acted_by=by.person_id)
    return find


def _stored(entry: FindEntry, digest: str, by: Viewer) -> Find:
    """Store a new find its rows and its slip; one of the same uuid that was quicker is kept."""
    _place_required(entry)
    year = entry.date_start.year
    find = Find(
        year=year,
        entered_by_id=writer_id(by),
        posted_digest=digest,
        **({"uuid": entry.uuid} if entry.uuid else {}),
        **_columns(entry),
    )
    cells_set(find)
    try:
        with transaction.atomic():
            find.number = _next_number(year)
            # The constraints are the database's to check, all at once, as the row goes in.
            find.full_clean(exclude=_known(find), validate_constraints=False)
            find.save(force_insert=True)
    except IntegrityError:
        quicker = Find.objects.filter(uuid=find.uuid).first()
        if quicker is None:
            find.validate_constraints(exclude=NOT_CLEANED)  # says in words which was not met
            raise
        return quicker
    rows_lay(find, entry, by)
    change_record("find.posted", find, actor_id=by.person_id)
    slip = slip_add(find, entry.slip, by=by) if entry.slip is not None else None
    secrecy_refresh(find, [slip.taxon] if slip is not None and slip.taxon is not None else [])
    return find


def _known(find: Find) -> list[str]:
    """Return what need not be cleaned of a new find: who enters it is signed in, hence there."""
    finder = ["finder"] if find.finder_id == find.entered_by_id else []
    return [*NOT_CLEANED, "entered_by", *finder]


@transaction.atomic
def find_edit(
    find_id: int,
    entry: FindEntry,
    *,
    base_version: int,
    by: Viewer,
    draft_views: dict[UUID, str] | None = None,
) -> Find:
    """Change what was written of a find; its slips stay. Sending what stands already does nothing.

    ``draft_views`` names the photographs of the writer's draft to add, with what each shows.
    Raises ``Conflict`` when somebody changed it since ``base_version``; the writer's version is
    then the caller's to keep as a draft.
    """
    find = _own(find_id, by)
    if find.withdrawn_at is not None:
        raise Refused(_("This find is withdrawn. Put it back first."), "withdrawn")
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
    find.full_clean(exclude=NOT_CLEANED)
    overwritten, replaced = rows_set(find, entry, by)
    prior |= overwritten
    if draft_photographs_attach(find, edit_draft_uuid(find, by), draft_views or {}, by=by):
        replaced.add("photographs")
    FindDraft.objects.filter(find=find, owner_id=by.account_id).delete()
    changed = prior.keys() | replaced
    if not changed:
        return find
    find.version = base_version + 1
    if not changed <= NOT_EVIDENCE:
        find.evidence_version += 1
    find.save()
    change_record("find.edited", find, actor_id=by.person_id, fields=replaced, prior=prior)
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
    find = _own(find_id, by)
    if (find.withdrawn_at is not None) == withdrawn:
        return find
    find.withdrawn_at = timezone.now() if withdrawn else None
    find.version += 1
    find.save(update_fields=["withdrawn_at", "version", "updated_at"])
    verb = "find.withdrawn" if withdrawn else "find.put_back"
    change_record(verb, find, actor_id=by.person_id, fields=["withdrawn_at"])
    find_changed.send(Find, find_id=find.pk, acted_by=by.person_id)
    return find


def _own(find_id: int, by: Viewer) -> Find:
    """Return the find, its row held until the transaction ends, if the writer may change it."""
    find = Find.objects.select_for_update().get(pk=find_id)
    if not may_edit(by, find):
        raise NotPermitted(_("Only its finder, who entered it, or a keeper may change this find."))
    return find


def _is_the_same(stored: Find, digest: str, by: Viewer) -> None:
    """Refuse a uuid that is taken: by somebody else, or by other words of one's own."""
    if stored.entered_by_id != by.person_id:
        raise Refused(_("There is no such find of yours."), "not_found")
    if stored.posted_digest != digest:
        raise Conflict(
            _("This find is already posted, with other words. Open it and change it there."),
            {"id": stored.pk, "version": stored.version},
        )


def _place_required(entry: FindEntry) -> None:
    if entry.site_id is None and entry.place.lat_e7 is None and not entry.place.verbatim:
        raise Refused(
            _("Say where: choose a site, give a position, or write the place in words."),
            "no_place",
            field="site",
        )


def _next_number(year: int) -> int:
    """Return the next number of ``year``; the row's lock keeps two writers apart."""
    counted = YearNumber.objects.filter(year=year)
    if not counted.update(last=F("last") + 1):
        YearNumber.objects.get_or_create(year=year)
        counted.update(last=F("last") + 1)
    return counted.get().last


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
        "position_verbatim": entry.place.position_verbatim,
        "place_verbatim": entry.place.verbatim,
        "made_secret": entry.made_secret,
        "collector_number": entry.collector_number,
        **entry.plain,
    }
