"""Who may do what to a find. Plain functions, tested equal to ``Find.objects.visible_to``."""

from django.utils.translation import gettext as _

from society.core.errors import NotPermitted
from society.finds.models import PUBLISHED, Find
from society.members.permissions import Viewer


def may_see(viewer: Viewer, find: Find) -> bool:
    """Whether this viewer may read the find at all (its place is another matter)."""
    if viewer.is_keeper:
        return True
    if find.withdrawn_at is not None:
        return viewer.is_member and viewer.person_id in (find.finder_id, find.entered_by_id)
    return viewer.is_member or find.standing in PUBLISHED


def may_post(viewer: Viewer) -> bool:
    return viewer.is_member


def writer_id(viewer: Viewer) -> int:
    """Return the person who writes; a guest never does."""
    if viewer.person_id is None:
        raise NotPermitted(_("Only members may write in the logbook."))
    return viewer.person_id


def may_edit(viewer: Viewer, find: Find) -> bool:
    return viewer.is_member and (
        viewer.is_keeper or viewer.person_id in (find.finder_id, find.entered_by_id)
    )


def may_lay_slip(viewer: Viewer, find: Find) -> bool:
    return viewer.is_member and find.withdrawn_at is None
