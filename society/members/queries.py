"""Who is at the site, and the society's own settings. One query each, cached on the request."""

from typing import Any

from django.contrib.auth.models import AnonymousUser
from django.http import HttpRequest

from society.members.models import Account, Society
from society.members.permissions import GUEST, Viewer


def society_settings() -> Society:
    """Return the society's settings, or unsaved defaults before they are first entered."""
    return Society.objects.filter(pk=1).first() or Society(pk=1, name="Society Logbook")


def viewer_of(account: Account | AnonymousUser | None) -> Viewer:
    """Return the viewer behind a sign-in, without a referee's scopes (see ``review.queries``)."""
    if not isinstance(account, Account) or not account.is_active:
        return GUEST
    return Viewer(
        person_id=account.person_id,
        account_id=account.pk,
        name=account.person.display_name,
        is_organiser=account.is_organiser,
        is_keeper=account.is_keeper,
    )


def society_context(request: HttpRequest) -> dict[str, Any]:
    """Give every template ``society``."""
    if not hasattr(request, "_society"):
        request._society = society_settings()  # type: ignore[attr-defined]
    return {"society": request._society}  # type: ignore[attr-defined]
