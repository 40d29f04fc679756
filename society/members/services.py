"""Every write to people, sign-ins, invitations and the society's settings."""

import datetime as dt
import secrets
from typing import Any

from django.conf import settings
from django.contrib.auth.password_validation import validate_password
from django.contrib.auth.tokens import default_token_generator
from django.core.exceptions import ValidationError
from django.core.mail import send_mail
from django.db import IntegrityError, transaction
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode
from django.utils.translation import gettext as _

from society.core.errors import NotPermitted, Refused
from society.core.history import change_record, values_before
from society.core.services import job_add
from society.core.signals import person_left
from society.core.throttle import tries_counted, tries_forgotten
from society.members.models import Account, Invitation, Person, Society
from society.members.permissions import Viewer, may_keep, may_organise
from society.members.queries import keepers_in_office, society_settings, token_hash

PASSWORD_JOB = "members.password_mail"  # noqa: S105  # a Job's kind
# From one network address, in a window, for all mail addresses: a whole hall may sign in at once.
TRIES_OF_AN_ADDRESS = 20
RESETS_AN_HOUR = 3

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
    if Person.objects.present().filter(display_name__iexact=name.strip()).exists():
        raise Refused(
            _("Somebody of this name is here already. Add what tells the two apart."),
            "same_name",
            field="name",
        )
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
    for field in changed:
        setattr(person, field, values[field])
    person.full_clean()
    if changed:
        person.save(update_fields=[*changed, "updated_at"])
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
    values = {"is_organiser": is_organiser, "is_keeper": is_keeper, "is_active": is_active}
    stays_keeper = is_keeper and is_active
    account = _account_locked(account_id, stays_keeper=stays_keeper)
    changed = values_before(account, values)
    for field in changed:
        setattr(account, field, values[field])
    if changed:
        account.save(update_fields=changed)
        change_record("account.roles_set", account, actor_id=by.person_id, fields=changed)
    if changed and not stays_keeper:
        _invitations_void(account.person_id, by)
    return account


@transaction.atomic
def address_set(account_id: int, *, email: str, by: Viewer) -> Account:
    """Change the mail address a member signs in with: their own, or a keeper's for anybody."""
    if not (may_keep(by) or by.account_id == account_id):
        raise NotPermitted(_("Only a keeper may change somebody else's mail address."))
    account = Account.objects.select_for_update().get(pk=account_id)
    account.email = email.strip().lower()
    _account_save(account)
    change_record("account.address_set", account, actor_id=by.person_id, fields=["email"])
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
    """Make an invitation; returns it with its token, shown once and kept only as a hash."""
    if not may_keep(by):
        raise NotPermitted(_("Only keepers may invite."))
    assert by.person_id is not None
    if person_id is not None:
        _joinable(Person.objects.get(pk=person_id))
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
    else:
        _joinable(person)
    account = _account_make(
        email,
        password,
        person,
        is_organiser=invitation.as_organiser,
        is_keeper=invitation.as_keeper,
    )
    # The list of invitations tells who came; what the keeper had noted of them is not kept.
    invitation.used_at, invitation.person, invitation.note = timezone.now(), person, ""
    invitation.save(update_fields=["used_at", "person", "note", "updated_at"])
    change_record("account.joined", account, actor_id=person.pk)
    return account


@transaction.atomic
def keeper_create(*, name: str, email: str, password: str) -> Account:
    """Make the first keeper of a new logbook; refused once there is one who may sign in."""
    if keepers_in_office().exists():
        raise Refused(_("This logbook has a keeper already, who can invite others."), "has_keeper")
    person = Person(display_name=name.strip())
    person.full_clean()
    person.save()
    account = _account_make(email, password, person, is_keeper=True)
    change_record("account.joined", account, actor_id=person.pk)
    return account


@transaction.atomic
def member_leave(account_id: int, *, kept_name: str, by: Viewer) -> Person:
    """Let a member go: the sign-in and its personal data go, records stay under ``kept_name``."""
    if not (may_keep(by) or by.account_id == account_id):
        raise NotPermitted(_("Only the member or a keeper may do this."))
    account = _account_locked(account_id, stays_keeper=False)
    person = account.person
    person.display_name = kept_name.strip()
    person.initials = ""
    person.left_at = timezone.now()
    person.full_clean()
    person.save(update_fields=["display_name", "initials", "left_at", "updated_at"])
    change_record("person.left", person, actor_id=by.person_id)
    person_left.send(Person, person_id=person.pk)
    _invitations_void(person.pk, by)
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
    is_new = society._state.adding
    prior = {} if is_new else values_before(society, values)
    for name, value in values.items():
        setattr(society, name, value)
    society.full_clean(validate_unique=False)
    if prior or is_new:
        society.save()
        verb = "society.founded" if is_new else "society.edited"
        change_record(verb, society, actor_id=actor_id, prior=prior)
    return society


def signin_is_throttled(*, email: str, address: str) -> bool:
    """Count a try to sign in and say whether it is one too many.

    Counted are tries for one mail address from one network address, so that nobody can lock a
    member out from elsewhere, and (a far higher limit) all tries from that network address.
    """
    minutes = settings.SIGNIN_WINDOW_MINUTES
    here = tries_counted("signin.address", address, window_minutes=minutes)
    for_one = tries_counted("signin", _from_and_for(address, email), window_minutes=minutes)
    most = settings.SIGNIN_TRIES
    return for_one > most or here > most * TRIES_OF_AN_ADDRESS


def signin_tries_forget(*, email: str, address: str) -> None:
    """Begin to count anew, after the right password or a new one."""
    tries_forgotten("signin", _from_and_for(address, email))


def _from_and_for(address: str, email: str) -> str:
    return f"{address} {email.strip().lower()}"


@transaction.atomic
def password_mail_ask(*, email: str, address: str) -> None:
    """Have a link for a new password mailed, if ``email`` belongs to a sign-in.

    What the asker sees, and for how long, is the same if it does not: the mail is a worker's, and
    a Job is laid either way.
    """
    account = Account.objects.filter(email=email.strip().lower(), is_active=True).first()
    account_id = account.pk if account else None
    asked = tries_counted("reset", _from_and_for("", email), window_minutes=60)
    asked_here = tries_counted("reset.address", address, window_minutes=60)
    if asked <= RESETS_AN_HOUR and asked_here <= RESETS_AN_HOUR * TRIES_OF_AN_ADDRESS:
        job_add(PASSWORD_JOB, {"account_id": account_id}, key=f"{PASSWORD_JOB}:{account_id}")


def password_mail(account_id: int | None) -> bool:
    """Mail a link for a new password: good for a day, for one use. False when there is nobody to
    mail it to. Run twice it sends two links, of which the first used ends the other."""
    account = Account.objects.filter(pk=account_id or 0, is_active=True).first()
    if account is None:
        return False
    uid = urlsafe_base64_encode(force_bytes(account.pk))
    token = default_token_generator.make_token(account)
    link = reverse("members:password_reset_confirm", args=[uid, token])
    context = {"society": society_settings(), "link": settings.SITE_URL + link}
    subject = render_to_string("members/mail_password_reset_subject.txt", context).strip()
    body = render_to_string("members/mail_password_reset.txt", context)
    send_mail(subject, body, None, [account.email])
    return True


def _account_make(email: str, password: str, person: Person, **roles: bool) -> Account:
    account = Account(email=email.strip().lower(), person=person, **roles)
    try:
        validate_password(password, account)
    except ValidationError as error:
        raise ValidationError({"password": error.error_list}) from error
    account.set_password(password)
    _account_save(account)
    return account


def _account_save(account: Account) -> None:
    """Save a whole account; two who take one mail address at once differ by who was first."""
    account.full_clean()
    try:
        with transaction.atomic():
            account.save()
    except IntegrityError as error:
        raise ValidationError(
            {"email": _("There is already a sign-in with this mail address.")}
        ) from error


def _account_locked(account_id: int, *, stays_keeper: bool) -> Account:
    """Return the account, locked; refused when it is the last keeper's and is to be one no more.

    All keepers are locked first, so that two of them cannot end each other's office at once.
    """
    keepers = {account.pk for account in keepers_in_office().select_for_update()}
    account = Account.objects.select_for_update().get(pk=account_id)
    if not stays_keeper and keepers == {account.pk}:
        raise Refused(_("A logbook needs a keeper. Make somebody else one first."), "last_keeper")
    return account


def _joinable(person: Person) -> None:
    """Refuse a person to whom no sign-in can be joined."""
    if Account.objects.filter(person=person).exists():
        raise Refused(_("This person has a sign-in already."), "has_account", field="person")
    if person.left_at is not None:
        raise Refused(_("This person has left the society."), "has_left", field="person")


def _invitations_void(person_id: int, by: Viewer) -> None:
    """Revoke what a keeper made who is one no more, and scrub what was noted of invited people."""
    unused = Invitation.objects.select_for_update().filter(
        made_by_id=person_id, used_at=None, revoked_at=None
    )
    for invitation in unused:
        invitation.revoked_at, invitation.note = timezone.now(), ""
        invitation.save(update_fields=["revoked_at", "note", "updated_at"])
        change_record("invitation.revoked", invitation, actor_id=by.person_id)
