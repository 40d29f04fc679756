"""Every write to people, sign-ins, invitations and the society's settings."""

import datetime as dt
import secrets
from typing import Any

from django.conf import settings
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from society.core.errors import NotPermitted, Refused
from society.core.history import change_record, values_before
from society.core.throttle import tries_counted
from society.members.models import Account, Invitation, Person, Society
from society.members.permissions import Viewer, may_keep, may_organise
from society.members.queries import token_hash

SOCIETY_FIELDS = (
    "name",
    "region_name",
    "welcome",
    "season_start_month",
    "earliest_year",
    "day_first",
    "emergency_number",
    "poison_centre_number",
    "vet_number",
    "numbers_checked_on",
    "old_books_entered",
)


@transaction.atomic
def person_add(*, name: str, initials: str = "", by: Viewer) -> Person:
    """Add somebody who finds or determines without a sign-in."""
    if not may_organise(by):
        raise NotPermitted(_("Only organisers and keepers may add people."))
    person = Person(display_name=name.strip(), initials=initials.strip())
    person.full_clean()
    person.save()
    change_record("person.added", person, actor_id=by.person_id)
    return person


@transaction.atomic
def person_edit(person_id: int, *, name: str, initials: str, by: Viewer) -> Person:
    """Change how a person is named: their own, or a keeper's for anybody."""
    if not (may_keep(by) or by.person_id == person_id):
        raise NotPermitted(_("Only a keeper may change somebody else's name."))
    person = Person.objects.select_for_update().get(pk=person_id)
    values = {"display_name": name.strip(), "initials": initials.strip()}
    changed = values_before(person, values)
    for field, value in values.items():
        setattr(person, field, value)
    person.full_clean()
    person.save(update_fields=[*values, "updated_at"])
    # Names are personal data: the field is noted, the value it had is not kept.
    change_record("person.edited", person, actor_id=by.person_id, fields=changed)
    return person


@transaction.atomic
def roles_set(
    account_id: int, *, is_organiser: bool, is_keeper: bool, is_active: bool, by: Viewer
) -> Account:
    """Say what a sign-in may do. The last keeper who may sign in stays one."""
    if not may_keep(by):
        raise NotPermitted(_("Only keepers may change roles."))
    account = Account.objects.select_for_update().get(pk=account_id)
    _a_keeper_stays(account, is_keeper and is_active)
    account.is_organiser, account.is_keeper = is_organiser, is_keeper
    account.is_active = is_active
    account.save(update_fields=["is_organiser", "is_keeper", "is_active"])
    change_record(
        "account.roles_set",
        account,
        actor_id=by.person_id,
        fields=["is_organiser", "is_keeper", "is_active"],
    )
    return account


@transaction.atomic
def mail_choice_set(account_id: int, *, choice: str, by: Viewer) -> Account:
    """Choose whether notices come by mail too."""
    if by.account_id != account_id:
        raise NotPermitted(_("Everybody chooses their own mail."))
    account = Account.objects.select_for_update().get(pk=account_id)
    account.mail_choice = choice
    account.full_clean()
    account.save(update_fields=["mail_choice"])
    change_record("account.mail_chosen", account, actor_id=by.person_id, fields=["mail_choice"])
    return account


@transaction.atomic
def invitation_make(
    *,
    by: Viewer,
    note: str = "",
    person_id: int | None = None,
    as_organiser: bool = False,
    as_keeper: bool = False,
    days: int | None = None,
) -> tuple[Invitation, str]:
    """Make an invitation; returns it with the token, which is shown once and kept only as a hash."""
    if not may_keep(by):
        raise NotPermitted(_("Only keepers may invite."))
    if person_id is not None and Account.objects.filter(person_id=person_id).exists():
        raise Refused(_("This person has a sign-in already."), "has_account", field="person")
    token = secrets.token_urlsafe(32)
    invitation = Invitation(
        token_hash=token_hash(token),
        made_by_id=by.person_id,
        person_id=person_id,
        note=note.strip(),
        as_organiser=as_organiser,
        as_keeper=as_keeper,
        expires_at=timezone.now() + dt.timedelta(days=days or settings.INVITATION_DAYS),
    )
    invitation.full_clean()
    invitation.save()
    change_record("invitation.made", invitation, actor_id=by.person_id)
    return invitation, token


@transaction.atomic
def invitation_revoke(invitation_id: int, *, by: Viewer) -> Invitation:
    """Make an unused invitation worthless."""
    if not may_keep(by):
        raise NotPermitted(_("Only keepers may revoke invitations."))
    invitation = Invitation.objects.select_for_update().get(pk=invitation_id)
    if invitation.used_at is not None:
        raise Refused(_("This invitation has been used."), "used")
    if invitation.revoked_at is None:
        invitation.revoked_at = timezone.now()
        invitation.save(update_fields=["revoked_at", "updated_at"])
        change_record("invitation.revoked", invitation, actor_id=by.person_id)
    return invitation


@transaction.atomic
def account_join(*, token: str, name: str, email: str, password: str) -> Account:
    """Make a sign-in by an invitation, which is then used up."""
    invitation = (
        Invitation.objects.select_for_update(of=("self",))
        .filter(token_hash=token_hash(token))
        .select_related("person")
        .first()
    )
    if invitation is None or not invitation.is_open(timezone.now()):
        raise Refused(
            _("This invitation is no longer good. Ask a keeper of the society for a new one."),
            "invitation_closed",
        )
    person = invitation.person
    if person is None:
        person = Person(display_name=name.strip())
        person.full_clean()
        person.save()
    account = _account_make(
        email,
        password,
        person,
        is_organiser=invitation.as_organiser,
        is_keeper=invitation.as_keeper,
    )
    invitation.used_at = timezone.now()
    invitation.save(update_fields=["used_at", "updated_at"])
    change_record("account.joined", account, actor_id=person.pk)
    return account


@transaction.atomic
def keeper_create(*, name: str, email: str, password: str) -> Account:
    """Make the first keeper of a new logbook; refused once there is one who may sign in."""
    if Account.objects.filter(is_keeper=True, is_active=True).exists():
        raise Refused(
            _("This logbook has a keeper already, who can invite others."), "has_keeper"
        )
    person = Person(display_name=name.strip())
    person.full_clean()
    person.save()
    account = _account_make(email, password, person, is_keeper=True)
    change_record("account.joined", account, actor_id=person.pk)
    return account


@transaction.atomic
def member_leave(account_id: int, *, kept_name: str, by: Viewer) -> Person:
    """Let a member go: the sign-in and its personal data go, records stay under ``kept_name``."""
    account = Account.objects.select_for_update().select_related("person").get(pk=account_id)
    if not (may_keep(by) or by.account_id == account_id):
        raise NotPermitted(_("Only the member or a keeper may do this."))
    _a_keeper_stays(account, False)
    person = account.person
    person.display_name = kept_name.strip()
    person.initials = ""
    person.left_at = timezone.now()
    person.full_clean()
    person.save(update_fields=["display_name", "initials", "left_at", "updated_at"])
    change_record("person.left", person, actor_id=by.person_id)
    account.delete()
    return person


@transaction.atomic
def society_edit(values: dict[str, Any], *, by: Viewer) -> Society:
    """Change the society's settings."""
    if not may_keep(by):
        raise NotPermitted(_("Only keepers may change the society's settings."))
    return society_write(values, actor_id=by.person_id)


def society_write(values: dict[str, Any], *, actor_id: int | None) -> Society:
    """Write the settings without a permission check, for commands that set a logbook up."""
    unknown = set(values) - set(SOCIETY_FIELDS)
    if unknown:
        raise ValueError(f"not settings: {sorted(unknown)}")
    society = Society.objects.filter(pk=1).first() or Society(pk=1)
    prior = values_before(society, values) if society.name else {}
    for name, value in values.items():
        setattr(society, name, value)
    society.full_clean(validate_unique=False)
    society.save()
    change_record("society.edited", society, actor_id=actor_id, prior=prior)
    return society


def signin_is_throttled(who: str) -> bool:
    """Count a try to sign in by ``who`` (address and mail address) and say whether it is one too many."""
    tries = tries_counted("signin", who, window_minutes=settings.SIGNIN_WINDOW_MINUTES)
    return tries > settings.SIGNIN_TRIES


def _account_make(email: str, password: str, person: Person, **roles: bool) -> Account:
    account = Account(email=email.strip().lower(), person=person, **roles)
    try:
        validate_password(password, account)
    except ValidationError as error:
        raise ValidationError({"password": error.messages}) from error
    account.set_password(password)
    account.full_clean()
    account.save()
    return account


def _a_keeper_stays(account: Account, stays_keeper: bool) -> None:
    if stays_keeper or not (account.is_keeper and account.is_active):
        return
    others = Account.objects.filter(is_keeper=True, is_active=True).exclude(pk=account.pk)
    if not others.exists():
        raise Refused(
            _("A logbook needs a keeper. Make somebody else one first."), "last_keeper"
        )
