"""Drafts: what is typed is kept as it is typed, and photographs as they arrive."""

from typing import IO
from uuid import UUID

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from society.core.errors import NotPermitted, Refused
from society.finds.models import DraftPhotograph, Find, FindDraft, Photograph
from society.finds.services.photographs import PictureKept, photograph_attach, picture_kept
from society.finds.services.pictures import PictureRead
from society.members.permissions import Viewer

MOST_DRAFTS = 200
MOST_CHARACTERS = 100_000


@transaction.atomic
def draft_keep(uuid: UUID, fields: dict[str, list[str]], *, by: Viewer) -> FindDraft | None:
    """Keep a form as typed. None when its find is posted already: a late save revives nothing."""
    if by.account_id is None:
        raise NotPermitted(_("Only members keep drafts."))
    if sum(len(value) for values in fields.values() for value in values) > MOST_CHARACTERS:
        raise Refused(_("This is too long to keep."), "too_long")
    if Find.objects.filter(uuid=uuid).exists() and "base_version" not in _filled(fields):
        return None
    draft = _own_draft(uuid, by)
    draft.fields = fields
    draft.save(update_fields=["fields", "updated_at"])
    return draft


@transaction.atomic
def draft_drop(uuid: UUID, *, by: Viewer) -> None:
    """Throw a draft of one's own away; nothing happens when there is none."""
    FindDraft.objects.filter(uuid=uuid, owner_id=by.account_id).delete()


def draft_photograph_add(
    draft_uuid: UUID, file: IO[bytes], *, uuid: UUID, view: str = "", by: Viewer
) -> DraftPhotograph:
    """Keep a photograph that arrives before its find is posted; a resend gives the same row."""
    if by.account_id is None:
        raise NotPermitted(_("Only members keep drafts."))
    kept = picture_kept(file)
    try:
        with transaction.atomic():
            draft = _own_draft(draft_uuid, by)
            stored = DraftPhotograph.objects.filter(uuid=uuid).first()
            if stored is not None:
                return _same(stored, draft, kept)
            return DraftPhotograph.objects.create(
                draft=draft,
                uuid=uuid,
                view=view,
                original=kept.key,
                sha256=kept.sha256,
                byte_size=kept.byte_size,
                width=kept.read.width,
                height=kept.read.height,
            )
    except IntegrityError:
        stored = DraftPhotograph.objects.get(uuid=uuid)
        return _same(stored, stored.draft, kept)


@transaction.atomic
def draft_photograph_drop(draft_uuid: UUID, uuid: UUID, *, by: Viewer) -> None:
    """Take a photograph out of one's own draft."""
    DraftPhotograph.objects.filter(
        uuid=uuid, draft__uuid=draft_uuid, draft__owner_id=by.account_id
    ).delete()


def draft_photographs_attach(find: Find, views: dict[UUID, str], *, by: Viewer) -> int:
    """Move the photographs of the find's draft to the find, in the caller's transaction.

    ``views`` says, by uuid, what each shows; one that is not named there was taken out again.
    Returns how many were moved.
    """
    waiting = DraftPhotograph.objects.filter(
        draft__uuid=find.uuid, draft__owner_id=by.account_id, uuid__in=views
    )
    moved = 0
    for row in waiting:
        if Photograph.objects.filter(uuid=row.uuid).exists():
            continue
        kept = PictureKept(
            row.original, row.sha256, row.byte_size, PictureRead("", row.width, row.height)
        )
        photograph_attach(find.pk, kept, by=by, view=views[row.uuid], uuid=row.uuid)
        moved += 1
    return moved


def _own_draft(uuid: UUID, by: Viewer) -> FindDraft:
    draft, made = FindDraft.objects.get_or_create(uuid=uuid, defaults={"owner_id": by.account_id})
    if draft.owner_id != by.account_id:
        raise Refused(_("There is no such draft of yours."), "not_found")
    if made and FindDraft.objects.filter(owner_id=by.account_id).count() > MOST_DRAFTS:
        raise Refused(
            _("You have 200 drafts. Post or throw away some of them first."), "too_many_drafts"
        )
    return draft


def _same(stored: DraftPhotograph, draft: FindDraft, kept: PictureKept) -> DraftPhotograph:
    if stored.draft_id != draft.pk or stored.sha256 != kept.sha256:
        raise Refused(_("There is no such photograph of yours."), "not_found")
    return stored


def _filled(fields: dict[str, list[str]]) -> set[str]:
    return {name for name, values in fields.items() if any(values)}
