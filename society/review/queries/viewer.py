"""Reads of the review room: who is asking, with scopes; the desk; a find's page."""

from typing import Any

from django.contrib.auth.models import AnonymousUser
from django.http import HttpRequest

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


def viewer_context(request: HttpRequest) -> dict[str, Any]:
    """Give every template ``viewer`` and how many notices wait for them."""
    viewer = viewer_of_request(request)
    unread = (
        PersonalNotice.objects.filter(person_id=viewer.person_id, read_at=None).count()
        if viewer.is_member
        else 0
    )
    return {"viewer": viewer, "unread_notices": unread}
