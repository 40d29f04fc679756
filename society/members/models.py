"""People, their sign-ins, invitations, and the society's own settings."""

import datetime as dt
from typing import Any, ClassVar

from django.contrib.auth.models import AbstractBaseUser, BaseUserManager
from django.core.exceptions import ValidationError
from django.core.validators import MaxValueValidator, MinValueValidator, RegexValidator
from django.db import models
from django.db.models.functions import Lower
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from society.core.free_text import FreeTextField
from society.core.models import BaseModel, PublicModel

one_line = RegexValidator(
    r"^[^\x00-\x1f\x7f<>]*$", _("Write this on one line, without < or >."), code="one_line"
)

# Words that anybody would try here first, beside the society's own.
WORDS_TO_GUESS = (
    *("fungus", "fungi", "mushroom", "toadstool", "mycology", "forays", "foray", "logbook"),
    *("society", "group", "club", "member", "keeper", "referee", "password", "welcome", "admin"),
)


class NotGuessable:
    """Refuses a password of few different signs, or of little else than the society's own words."""

    def validate(self, password: str, user: object = None) -> None:
        small = password.casefold()
        left = "".join(sign for sign in small if sign.isalpha())
        for word in sorted((*WORDS_TO_GUESS, *_own_words()), key=len, reverse=True):
            left = left.replace(word, "")
        if len(set(small)) < 5 or len(left) < 4:
            raise ValidationError(
                _("This password is too easy to guess."), code="password_too_easy"
            )

    def get_help_text(self) -> str:
        return str(_("It is not made of the society's name or of a few signs repeated."))


def _own_words() -> list[str]:
    named = Society.objects.filter(pk=1).values_list("name", "region_name").first() or ()
    return [word for text in named for word in text.casefold().split() if len(word) > 3]


class PersonQuerySet(models.QuerySet["Person"]):
    def present(self) -> "PersonQuerySet":
        """People who have not left."""
        return self.filter(left_at=None)

    def by_name(self) -> "PersonQuerySet":
        return self.order_by(Lower("display_name"), "pk")


class Person(PublicModel):
    """Somebody who finds, accompanies, determines or referees, with a sign-in or without."""

    display_name = models.CharField(_("name"), max_length=80, validators=[one_line])
    initials = models.CharField(_("initials"), max_length=8, blank=True, validators=[one_line])
    left_at = models.DateTimeField(_("left at"), null=True, blank=True)

    objects = PersonQuerySet.as_manager()

    class Meta:
        verbose_name = _("person")
        verbose_name_plural = _("people")
        indexes = [models.Index(Lower("display_name"), name="person_by_name")]

    def __str__(self) -> str:
        return self.display_name


class MailChoice(models.TextChoices):
    NONE = "none", _("no mail")
    AT_ONCE = "at_once", _("mail for each notice")


class AccountManager(BaseUserManager["Account"]):
    def get_by_natural_key(self, username: str | None) -> "Account":
        return self.get(email=(username or "").strip().lower())

    def create_user(self, email: str, password: str, *, person: Person, **roles: Any) -> "Account":
        account = self.model(email=email.strip().lower(), person=person, **roles)
        account.set_password(password)
        account.full_clean()
        account.save()
        return account


class Account(AbstractBaseUser):
    """A sign-in, by mail address. What its person may do beyond a member is stated here;
    a referee's scopes are rows of the review room."""

    email = models.EmailField(
        _("mail address"),
        max_length=254,
        unique=True,
        error_messages={"unique": _("There is already a sign-in with this mail address.")},
    )
    person = models.OneToOneField(Person, on_delete=models.PROTECT, related_name="account")
    is_active = models.BooleanField(_("may sign in"), default=True)
    is_organiser = models.BooleanField(_("organiser"), default=False)
    is_keeper = models.BooleanField(_("keeper"), default=False)
    mail_choice = models.CharField(
        _("mail"), max_length=8, choices=MailChoice, default=MailChoice.NONE
    )
    joined_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = AccountManager()

    USERNAME_FIELD = "email"
    EMAIL_FIELD = "email"
    REQUIRED_FIELDS: ClassVar[list[str]] = []

    class Meta:
        verbose_name = _("sign-in")
        verbose_name_plural = _("sign-ins")
        constraints = [
            models.CheckConstraint(
                condition=models.Q(email=Lower("email")), name="account_address_in_small_letters"
            )
        ]

    def __str__(self) -> str:
        return f"sign-in {self.pk}"

    @property
    def name(self) -> str:
        """What its person is called; a password may not be like it."""
        return self.person.display_name


class Invitation(BaseModel):
    """A link that lets one person make one sign-in. Only a hash of its token is kept."""

    token_hash = models.CharField(max_length=64, unique=True, editable=False)
    made_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="invitations_made")
    person = models.ForeignKey(
        Person,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="invitations",
        verbose_name=_("for this person of the records"),
    )
    note = models.CharField(_("who it is for"), max_length=80, blank=True, validators=[one_line])
    as_organiser = models.BooleanField(_("as an organiser"), default=False)
    as_keeper = models.BooleanField(_("as a keeper"), default=False)
    expires_at = models.DateTimeField(_("expires"))
    used_at = models.DateTimeField(null=True, blank=True, editable=False)
    revoked_at = models.DateTimeField(null=True, blank=True, editable=False)

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return f"invitation {self.pk}"

    def is_open(self, now: dt.datetime) -> bool:
        return self.used_at is None and self.revoked_at is None and now < self.expires_at


class Society(BaseModel):
    """The society's own settings: one row."""

    name = models.CharField(_("name of the society"), max_length=80, validators=[one_line])
    region_name = models.CharField(
        _("name of its region"),
        max_length=80,
        validators=[one_line],
        help_text=_("Given in place of a position for what must stay secret."),
    )
    welcome = FreeTextField(_("words of welcome for guests"), max_length=4000, blank=True)
    season_start_month = models.PositiveSmallIntegerField(
        _("month in which the season starts"),
        default=1,
        validators=[MinValueValidator(1), MaxValueValidator(12)],
    )
    earliest_year = models.PositiveSmallIntegerField(
        _("earliest year of the records"),
        default=1950,
        validators=[MinValueValidator(1700), MaxValueValidator(2200)],
        help_text=_("A find dated earlier is questioned, never refused."),
    )
    day_first = models.BooleanField(_("dates are written day first"), default=True)
    emergency_number = models.CharField(
        _("emergency number"), max_length=40, blank=True, validators=[one_line]
    )
    poison_centre_number = models.CharField(
        _("poison centre's number"), max_length=40, blank=True, validators=[one_line]
    )
    vet_number = models.CharField(
        _("number for animals"), max_length=40, blank=True, validators=[one_line]
    )
    numbers_checked_on = models.DateField(_("numbers last checked on"), null=True, blank=True)
    old_books_entered = models.BooleanField(
        _("the old books are entered"),
        default=False,
        help_text=_("Until then a first for the society asks for no second referee."),
    )

    class Meta:
        verbose_name = _("society")
        constraints = [
            models.CheckConstraint(condition=models.Q(pk=1), name="one_society"),
            models.CheckConstraint(
                condition=models.Q(season_start_month__range=(1, 12)), name="season_month_known"
            ),
        ]

    def __str__(self) -> str:
        return self.name
