"""Who is at the site, the society's own settings, invitations and people."""

import hashlib
from typing import Any

from django.contrib.auth.models import AnonymousUser
from django.db.models import F, QuerySet
from django.db.models.functions import Lower
from django.http import HttpRequest

from society.members.models import Account, Invitation, Person, Society
from society.members.permissions import GUEST, Viewer
from society.science.names import fold


def society_settings() -> Society:
    """Return the society's settings, or unsaved defaults before they are entered (1 query)."""
    return Society.objects.filter(pk=1).first() or Society(pk=1, name="Society Logbook")


def viewer_of(account: Account | AnonymousUser | None) -> Viewer:
    """Return the viewer behind a sign-in, without a referee's scopes (see ``review.queries``).

    One query, for the person's name; none for a guest.
    """
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


def token_hash(token: str) -> str:
    """Return what the database keeps of an invitation's token."""
    return hashlib.sha256(token.encode()).hexdigest()


def invitation_by_token(token: str) -> Invitation | None:
    """Return the invitation a link stands for, whatever its state."""
    return (
        Invitation.objects.select_related("person", "made_by")
        .filter(token_hash=token_hash(token))
        .first()
    )


def keepers_in_office() -> QuerySet[Account]:
    """Return the keepers who may sign in, in a fixed order so that locks never cross."""
    return Account.objects.filter(is_keeper=True, is_active=True).order_by("pk")


def people_listed(text: str = "") -> QuerySet[Person]:
    """Return people by name, those who left last, each with their sign-in where there is one.

    ``text`` is looked for in names without regard to case and accents, for which the databases
    have no common way: one query more.
    """
    people = Person.objects.select_related("account").order_by(
        F("left_at").asc(nulls_first=True), Lower("display_name"), "pk"
    )
    if not text:
        return people
    wanted = fold(text)
    if not wanted:
        return people.none()
    names = Person.objects.values_list("pk", "display_name")
    return people.filter(pk__in=[pk for pk, name in names if wanted in fold(name)])


def people_to_invite() -> QuerySet[Person]:
    """Return people of the records who have no sign-in and have not left."""
    return Person.objects.present().filter(account=None).by_name()
