"""Species accounts: which states a species shows and how usually, with their sources.

What an account does not hold is not known; that is never read as 'never'. Accounts hold no worth
for the pot.
"""

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from society.core.models import BaseModel
from society.members.models import one_line
from society.names.models.checklist import Taxon
from society.names.models.vocabulary import Character, CharacterState, Exposed, TurnedColour


class Usual(models.TextChoices):
    """How usual a state is among fresh, grown collections of the species."""

    ALWAYS = "always", _("always")
    USUALLY = "usually", _("usually")
    SOMETIMES = "sometimes", _("sometimes")
    RARELY = "rarely", _("rarely")
    NEVER = "never", _("never")


class Account(BaseModel):
    """The account of one accepted species. ``version`` is raised by every change of it."""

    taxon = models.OneToOneField(Taxon, on_delete=models.PROTECT, related_name="account")
    version = models.PositiveIntegerField(default=1, editable=False)
    sources = models.CharField(_("sources"), max_length=400, blank=True, validators=[one_line])
    is_doubtful = models.BooleanField(_("this account is in doubt"), default=False)

    class Meta:
        verbose_name = _("species account")
        ordering = ["taxon__folded"]

    def __str__(self) -> str:
        return f"account of {self.taxon_id}"


class AccountState(BaseModel):
    """How usual one state of a character is."""

    account = models.ForeignKey(Account, on_delete=models.CASCADE, related_name="states")
    character = models.ForeignKey(Character, on_delete=models.PROTECT, related_name="accounts")
    state = models.ForeignKey(CharacterState, on_delete=models.PROTECT, related_name="accounts")
    usual = models.CharField(_("how usual"), max_length=9, choices=Usual)
    source = models.CharField(_("source"), max_length=200, blank=True, validators=[one_line])

    class Meta:
        verbose_name = _("state in an account")
        ordering = ["character__position", "state__position"]
        constraints = [
            models.UniqueConstraint(
                fields=["account", "state"],
                name="one_row_a_state_of_an_account",
                violation_error_message=_("This account already holds this state."),
            )
        ]
        indexes = [models.Index(fields=["character", "state"], name="accounts_with_state")]

    def __str__(self) -> str:
        return f"{self.state_id} {self.usual}"


class AccountReading(BaseModel):
    """What colour something has turned between two moments after it was exposed."""

    account = models.ForeignKey(Account, on_delete=models.CASCADE, related_name="readings")
    exposed = models.CharField(_("what is exposed"), max_length=7, choices=Exposed)
    reagent = models.CharField(_("reagent"), max_length=40, blank=True, validators=[one_line])
    minute_from = models.DecimalField(_("from minute"), max_digits=6, decimal_places=1)
    minute_to = models.DecimalField(_("to minute"), max_digits=6, decimal_places=1)
    colour = models.CharField(_("colour"), max_length=6, choices=TurnedColour)
    usual = models.CharField(_("how usual"), max_length=9, choices=Usual)
    source = models.CharField(_("source"), max_length=200, blank=True, validators=[one_line])

    class Meta:
        verbose_name = _("reading in an account")
        ordering = ["exposed", "reagent", "minute_from", "colour"]
        constraints = [
            models.UniqueConstraint(
                fields=["account", "exposed", "reagent", "minute_from", "colour"],
                name="one_row_a_reading_of_an_account",
            ),
            models.CheckConstraint(
                condition=Q(minute_from__gte=0) & Q(minute_to__gt=F("minute_from")),
                name="account_reading_minutes_forward",
                violation_error_message=_("The later minute must come after the earlier one."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.exposed} {self.minute_from}-{self.minute_to} min: {self.colour}"


class AccountSpores(BaseModel):
    """Usual limits of the spores in micrometres, and of Q, their length by their width."""

    account = models.OneToOneField(Account, on_delete=models.CASCADE, related_name="spores")
    length_from = models.DecimalField(_("length from"), max_digits=5, decimal_places=2)
    length_to = models.DecimalField(_("length to"), max_digits=5, decimal_places=2)
    width_from = models.DecimalField(_("width from"), max_digits=5, decimal_places=2)
    width_to = models.DecimalField(_("width to"), max_digits=5, decimal_places=2)
    q_from = models.DecimalField(_("Q from"), max_digits=4, decimal_places=2, null=True, blank=True)
    q_to = models.DecimalField(_("Q to"), max_digits=4, decimal_places=2, null=True, blank=True)
    source = models.CharField(_("source"), max_length=200, blank=True, validators=[one_line])

    class Meta:
        verbose_name = _("spores in an account")
        constraints = [
            models.CheckConstraint(
                condition=Q(length_from__gt=0)
                & Q(width_from__gt=0)
                & Q(length_to__gte=F("length_from"))
                & Q(width_to__gte=F("width_from")),
                name="account_spores_from_small_to_large",
                violation_error_message=_("The larger size must not be smaller."),
            ),
            models.CheckConstraint(
                condition=Q(q_from__isnull=True, q_to__isnull=True)
                | Q(q_from__isnull=False, q_to__isnull=False, q_to__gte=F("q_from")),
                name="account_spores_q_both_or_neither",
                violation_error_message=_(
                    "Give both limits of Q or neither, the smaller one first."
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.length_from}-{self.length_to} x {self.width_from}-{self.width_to}"
