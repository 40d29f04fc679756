"""Who is asking, with a referee's scopes, and what waits to be read by them."""

from typing import Any

from django.contrib.auth.models import AnonymousUser
from django.db.models import QuerySet
from django.http import HttpRequest

from society.finds.models import Find
from society.members.models import Account
from society.members.permissions import Viewer
from society.members.queries import viewer_of
from society.review.models import PersonalNotice, Scope


def viewer_for(account: Account | AnonymousUser | None) -> Viewer:
    """Return who is asking, with the scopes they referee. One query; none for a guest."""
    viewer = viewer_of(account)
    if viewer.person_id is None:
        return viewer
    scopes = tuple(
        Scope.objects.filter(person_id=viewer.person_id, ended_at=None)
        .order_by("rank", "name")
        .values_list("rank", "name")
    )
    return Viewer(
        person_id=viewer.person_id,
        account_id=viewer.account_id,
        name=viewer.name,
        is_organiser=viewer.is_organiser,
        is_keeper=viewer.is_keeper,
        scopes=scopes,
    )


def viewer_of_request(request: HttpRequest) -> Viewer:
    """Return the viewer of a request, worked out once."""
    if not hasattr(request, "_viewer"):
        request._viewer = viewer_for(getattr(request, "user", None))  # type: ignore[attr-defined]
    viewer: Viewer = request._viewer  # type: ignore[attr-defined]
    return viewer


def notices_of(viewer: Viewer) -> QuerySet[PersonalNotice]:
    """Return a member's notices, newest first, but for finds withdrawn from their sight."""
    if viewer.person_id is None:
        return PersonalNotice.objects.none()
    rows = PersonalNotice.objects.filter(
        person_id=viewer.person_id, find__in=Find.objects.visible_to(viewer)
    )
    return rows.select_related("find", "by", "verdict").order_by("-pk")


def viewer_context(request: HttpRequest) -> dict[str, Any]:
    """Give every template ``viewer`` and how many notices wait for them."""
    viewer = viewer_of_request(request)
    unread = notices_of(viewer).filter(read_at=None).count() if viewer.is_member else 0
    return {"viewer": viewer, "unread_notices": unread}
