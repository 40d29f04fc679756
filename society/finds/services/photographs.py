"""Adding, describing and removing photographs; making their renditions."""

import hashlib
import secrets
from dataclasses import dataclass
from typing import IO
from uuid import UUID

from django.conf import settings
from django.core.files.base import ContentFile, File
from django.core.files.storage import default_storage
from django.db import IntegrityError, transaction
from django.db.models import F
from django.utils.translation import gettext as _

from society.core.errors import NotPermitted, Refused
from society.core.history import change_record
from society.core.services import job_add
from society.core.signals import find_changed
from society.finds.models import Find, Photograph, PhotographState
from society.finds.permissions import may_edit, writer_id
from society.finds.services.pictures import SIZES, PictureRead, picture_read, rendition_made
from society.members.permissions import Viewer

RENDITIONS_JOB = "finds.make_renditions"
MOST_PHOTOGRAPHS = 60


@dataclass(frozen=True, slots=True)
class PictureKept:
    """A picture whose original is stored: where, its digest, and what its header says."""

    key: str
    sha256: str
    byte_size: int
    read: PictureRead


def picture_kept(file: IO[bytes]) -> PictureKept:
    """Check an upload and store its original. Raises ``Refused`` with the reason.

    Decoding happens here, outside any transaction, so that a slow picture holds no lock.
    """
    digest, size = _digested(file)
    read = picture_read(file)
    return PictureKept(_original_kept(file, digest), digest, size, read)


def photograph_add(
    find_id: int,
    file: IO[bytes],
    *,
    by: Viewer,
    view: str = "",
    caption: str = "",
    uuid: UUID | None = None,
    is_drawn: bool = False,
) -> Photograph:
    """Keep a picture with its find; a Job makes its sizes. Raises ``Refused`` with the reason.

    The same uuid and bytes from the same writer give the stored photograph again.
    """
    find = Find.objects.get(pk=find_id)
    if not may_edit(by, find) or find.withdrawn_at is not None:
        raise NotPermitted(_("Only its finder, who entered it, or a keeper may add photographs."))
    kept = picture_kept(file)
    if uuid is not None:
        stored = Photograph.objects.filter(uuid=uuid).first()
        if stored is not None:
            return _resent(stored, find_id, kept.sha256)
    try:
        with transaction.atomic():
            photograph = photograph_attach(
                find_id, kept, by=by, view=view, caption=caption, uuid=uuid, is_drawn=is_drawn
            )
            _evidence_changed(find_id, by)
    except IntegrityError:
        if uuid is None:
            raise
        return _resent(Photograph.objects.get(uuid=uuid), find_id, kept.sha256)
    return photograph


def photograph_attach(
    find_id: int,
    kept: PictureKept,
    *,
    by: Viewer,
    view: str = "",
    caption: str = "",
    uuid: UUID | None = None,
    is_drawn: bool = False,
) -> Photograph:
    """Put a stored picture with its find, inside the caller's transaction."""
    find = Find.objects.select_for_update().get(pk=find_id)
    position = find.photographs.count()
    if position >= MOST_PHOTOGRAPHS:
        raise Refused(_("A find holds at most 60 photographs."), "too_many", field="photograph")
    photograph = Photograph(
        find=find,
        author_id=writer_id(by),
        view=view,
        caption=caption,
        position=position,
        original=kept.key,
        sha256=kept.sha256,
        byte_size=kept.byte_size,
        width=kept.read.width,
        height=kept.read.height,
        is_drawn=is_drawn,
        **({"uuid": uuid} if uuid else {}),
    )
    photograph.full_clean(exclude=["find", "uuid"])
    photograph.save(force_insert=True)
    job_add(
        RENDITIONS_JOB,
        {"photograph_id": photograph.pk},
        key=f"{RENDITIONS_JOB}:{photograph.pk}",
    )
    change_record("find.photograph_added", find, actor_id=by.person_id, fields=["photographs"])
    return photograph


def renditions_make(photograph_id: int) -> Photograph:
    """Make whatever sizes of a photograph are missing; running it again changes nothing.

    Raises ``OSError`` where the original cannot be read, and marks the photograph as failed.
    """
    photograph = Photograph.objects.get(pk=photograph_id)
    held = dict(photograph.renditions)
    missing = [
        size
        for size in SIZES
        if str(size) not in held or not default_storage.exists(held[str(size)])
    ]
    try:
        for size in missing:
            with default_storage.open(photograph.original) as file:
                content = rendition_made(file, size)
            held[str(size)] = default_storage.save(
                f"renditions/{secrets.token_hex(16)}.jpg", ContentFile(content)
            )
    except OSError:
        Photograph.objects.filter(pk=photograph_id).update(state=PhotographState.FAILED)
        raise
    if missing or photograph.state != PhotographState.READY:
        photograph.renditions, photograph.state = held, PhotographState.READY
        photograph.save(update_fields=["renditions", "state", "updated_at"])
    return photograph


def _digested(file: IO[bytes]) -> tuple[str, int]:
    """Return the SHA-256 and size of an upload, refusing one that is too large or empty."""
    most = settings.PHOTOGRAPH_MAX_MB * 1024 * 1024
    digest, size = hashlib.sha256(), 0
    file.seek(0)
    while chunk := file.read(1 << 20):
        digest.update(chunk)
        size += len(chunk)
        if size > most:
            raise Refused(
                _("This file is larger than %(most)d MB. Send it smaller.")
                % {"most": settings.PHOTOGRAPH_MAX_MB},
                "too_large",
                field="photograph",
            )
    if not size:
        raise Refused(_("This file is empty."), "empty", field="photograph")
    return digest.hexdigest(), size


def _original_kept(file: IO[bytes], digest: str) -> str:
    """Store the original under its own digest; the same bytes are stored once."""
    key = f"originals/{digest[:2]}/{digest}"
    if not default_storage.exists(key):
        file.seek(0)
        saved = default_storage.save(key, File(file))
        if saved != key:  # another request stored the same bytes meanwhile
            default_storage.delete(saved)
    return key


def _resent(stored: Photograph, find_id: int, digest: str) -> Photograph:
    if stored.find_id != find_id or stored.sha256 != digest:
        raise Refused(_("There is no such photograph of this find."), "not_found")
    return stored


def _evidence_changed(find_id: int, by: Viewer) -> None:
    Find.objects.filter(pk=find_id).update(evidence_version=F("evidence_version") + 1)
    find_changed.send(Find, find_id=find_id, acted_by=by.person_id)
