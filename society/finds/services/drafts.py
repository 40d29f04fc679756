"""Drafts: what is typed is kept as it is typed, and photographs as they arrive."""

from typing import IO
from uuid import UUID, uuid5

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from society.core.errors import NotPermitted, Refused
from society.core.models import Change
from society.finds.models import DraftPhotograph, Find, FindDraft, Photograph, View
from society.finds.permissions import may_edit
from society.finds.services.photographs import PictureKept, photograph_attach, picture_kept
from society.finds.services.pictures import PictureRead
from society.members.permissions import Viewer

MOST_DRAFTS = 200
MOST_CHARACTERS = 100_000


def edit_draft_uuid(find: Find, by: Viewer) -> UUID:
    """Return the identity of a writer's unkept changes to a find: one draft a find and writer."""
    return uuid5(find.uuid, f"changes of {by.account_id}")


@transaction.atomic
def draft_keep(
    uuid: UUID, fields: dict[str, list[str]], *, by: Viewer, find: Find | None = None
) -> FindDraft | None:
    """Keep a form as typed. ``find`` is the one it changes, None for a find not yet posted.

    None when what it holds has been posted already: a late save revives nothing.
    """
    owner_id = _owner_id(by)
    _may_change(uuid, find, by)
    # PostgreSQL stores no NUL, and no form would take one.
    fields = {name: [value.replace("\0", "") for value in fields[name]] for name in fields}
    if sum(len(value) for values in fields.values() for value in values) > MOST_CHARACTERS:
        raise Refused(_("This is too long to keep."), "too_long")
    if Find.objects.filter(uuid=uuid).exists() or _is_kept_already(find, fields, by):
        return None
    draft = _own_draft(uuid, owner_id, find)
    draft.fields = fields
    draft.save(update_fields=["fields", "updated_at"])
    return draft


@transaction.atomic
def draft_drop(uuid: UUID, *, by: Viewer) -> None:
    """Throw a draft of one's own away; nothing happens when there is none."""
    FindDraft.objects.filter(uuid=uuid, owner_id=by.account_id).delete()


def draft_photograph_add(
    draft_uuid: UUID,
    file: IO[bytes],
    *,
    by: Viewer,
    uuid: UUID | None = None,
    view: str = "",
    find: Find | None = None,
) -> DraftPhotograph:
    """Keep a photograph that arrives before its find is posted; a resend gives the same row.

    Without a ``uuid`` its identity follows from its bytes, so that a form sent twice holds it once.
    """
    owner_id = _owner_id(by)
    _may_change(draft_uuid, find, by)
    kept = picture_kept(file)
    uuid = uuid or uuid5(draft_uuid, kept.sha256)
    try:
        with transaction.atomic():
            draft = _own_draft(draft_uuid, owner_id, find)
            stored = DraftPhotograph.objects.filter(uuid=uuid).first()
            if stored is not None:
                return _same(stored, draft, kept)
            return DraftPhotograph.objects.create(
                draft=draft,
                uuid=uuid,
                view=view if view in View.values else View.NOT_SAID,
                original=kept.key,
                sha256=kept.sha256,
                byte_size=kept.byte_size,
                width=kept.read.width,
                height=kept.read.height,
            )
    except IntegrityError:
        stored = DraftPhotograph.objects.select_related("draft").get(uuid=uuid)
        return _same(stored, FindDraft.objects.get(uuid=draft_uuid), kept)


@transaction.atomic
def draft_photograph_drop(draft_uuid: UUID, uuid: UUID, *, by: Viewer) -> None:
    """Take a photograph out of one's own draft."""
    DraftPhotograph.objects.filter(
        uuid=uuid, draft__uuid=draft_uuid, draft__owner_id=by.account_id
    ).delete()


def draft_photographs_attach(
    find: Find, draft_uuid: UUID, views: dict[UUID, str], *, by: Viewer
) -> int:
    """Move the photographs of a draft to its find, in the caller's transaction.

    ``views`` says, by uuid, what each shows; one that is not named there was taken out again.
    Returns how many were moved.
    """
    waiting = DraftPhotograph.objects.filter(
        draft__uuid=draft_uuid, draft__owner_id=by.account_id, uuid__in=views
    )
    there = set(Photograph.objects.filter(uuid__in=views).values_list("uuid", flat=True))
    moved = [row for row in waiting if row.uuid not in there]
    for row in moved:
        kept = PictureKept(
            row.original, row.sha256, row.byte_size, PictureRead("", row.width, row.height)
        )
        photograph_attach(find.pk, kept, by=by, view=views[row.uuid], uuid=row.uuid)
    return len(moved)


def _owner_id(by: Viewer) -> int:
    if by.account_id is None:
        raise NotPermitted(_("Only members keep drafts."))
    return by.account_id


def _may_change(uuid: UUID, find: Find | None, by: Viewer) -> None:
    if find is not None and (not may_edit(by, find) or uuid != edit_draft_uuid(find, by)):
        raise NotPermitted(_("Only its finder, who entered it, or a keeper may change this find."))


def _own_draft(uuid: UUID, owner_id: int, find: Find | None) -> FindDraft:
    draft, made = FindDraft.objects.get_or_create(
        uuid=uuid, defaults={"owner_id": owner_id, "find": find}
    )
    if draft.owner_id != owner_id:
        raise Refused(_("There is no such draft of yours."), "not_found")
    if made and FindDraft.objects.filter(owner_id=owner_id).count() > MOST_DRAFTS:
        raise Refused(
            _("You have %(most)d drafts. Post or throw away some of them first.")
            % {"most": MOST_DRAFTS},
            "too_many_drafts",
        )
    return draft


def _is_kept_already(find: Find | None, fields: dict[str, list[str]], by: Viewer) -> bool:
    """Whether these changes were written on a version that the same writer has replaced since."""
    if find is None or fields.get("base_version") == [str(find.version)]:
        return False
    edits = Change.objects.filter(
        object_kind=Find._meta.label_lower, object_id=find.pk, verb="find.edited"
    )
    last = edits.order_by("-pk").first()
    return last is not None and last.actor_id == by.person_id


def _same(stored: DraftPhotograph, draft: FindDraft, kept: PictureKept) -> DraftPhotograph:
    if stored.draft_id != draft.pk or stored.sha256 != kept.sha256:
        raise Refused(_("There is no such photograph of yours."), "not_found")
    return stored
