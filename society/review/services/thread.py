"""The thread of a find: what finder, referees and other members write to each other."""

from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from society.core.errors import NotPermitted, Refused
from society.core.history import change_record
from society.finds.models import Find
from society.finds.permissions import writer_id
from society.members.permissions import Viewer
from society.review.models import Comment
from society.review.permissions import may_comment, speaks_for_finder
from society.review.services.notices import notices_of_act
from society.review.services.standing import standing_recompute


@transaction.atomic
def comment_add(find_id: int, *, text: str, by: Viewer, uuid: UUID | None = None) -> Comment:
    """Add a line to a find's thread; the same uuid from the same writer gives the stored one.

    An answer for the finder puts the find back in the queue.
    """
    find = Find.objects.select_for_update().get(pk=find_id)
    if not may_comment(by, find):
        raise NotPermitted(_("Only members may write here."))
    if uuid is not None:
        stored = Comment.objects.filter(uuid=uuid).first()
        if stored is not None:
            return _resent(stored, find, by)
    if not text.strip():
        raise Refused(_("Write something first."), "empty", field="text")
    comment = Comment(
        find=find, by_id=writer_id(by), text=text.strip(), **({"uuid": uuid} if uuid else {})
    )
    comment.full_clean(exclude=["find"])
    comment.save(force_insert=True)
    change_record("find.commented", find, actor_id=by.person_id, fields=["comments"])
    if speaks_for_finder(by.person_id, find):
        find.evidence_version += 1
        find.save(update_fields=["evidence_version", "updated_at"])
        standing_recompute(find.pk, actor_id=by.person_id)
    notices_of_act(find, "comment", by=by, key=f"comment:{comment.pk}")
    return comment


def _resent(stored: Comment, find: Find, by: Viewer) -> Comment:
    if (stored.by_id, stored.find_id) != (by.person_id, find.pk):
        raise Refused(_("There is no such comment of yours."), "not_found")
    return stored
