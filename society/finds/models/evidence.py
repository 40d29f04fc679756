"""Photographs, timed readings, observed characters and notes on eating."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from society.core.free_text import FreeTextField
from society.core.models import PublicModel
from society.finds.models.find import Find
from society.members.models import Person, one_line
from society.names.models import Character, CharacterState, Exposed


class PhotographState(models.TextChoices):
    WAITING = "waiting", _("its sizes are being made")
    READY = "ready", _("ready")
    FAILED = "failed", _("its sizes could not be made")


class View(models.TextChoices):
    """What a picture shows; which views apply follows the form (``science/evidence.py``)."""

    NOT_SAID = "", _("not said")
    HABITAT = "habitat", _("where it stood")
    CAP = "cap", _("cap or upper side")
    UNDERSIDE = "underside", _("underside")
    SIDE = "side", _("from the side, whole stem")
    STEM_BASE = "stem_base", _("stem base")
    SECTION = "section", _("cut section")
    DETAIL = "detail", _("detail")
    SPORE_PRINT = "spore_print", _("spore print")
    MICROGRAPH = "micrograph", _("micrograph")
    DRAWING = "drawing", _("drawing")
    SPECIMEN = "specimen", _("dried specimen")
    LABEL = "label", _("label")


class Photograph(PublicModel):
    """A picture as evidence. The original is kept byte for byte and served to nobody else;
    every rendition is re-encoded without metadata under a key that cannot be guessed."""

    find = models.ForeignKey(Find, on_delete=models.PROTECT, related_name="photographs")
    author = models.ForeignKey(
        Person, on_delete=models.PROTECT, related_name="photographs", verbose_name=_("photographer")
    )
    view = models.CharField(_("view"), max_length=11, choices=View, blank=True)
    caption = FreeTextField(_("caption"), max_length=300, blank=True)
    position = models.PositiveSmallIntegerField(_("position"), default=0)
    state = models.CharField(
        max_length=7, choices=PhotographState, default=PhotographState.WAITING, editable=False
    )
    original = models.CharField(max_length=120, editable=False)
    sha256 = models.CharField(max_length=64, editable=False)
    byte_size = models.PositiveIntegerField(editable=False)
    width = models.PositiveIntegerField(editable=False)
    height = models.PositiveIntegerField(editable=False)
    # Storage keys of the renditions by longest side, for example {"320": "r/…", "1024": "r/…"}
    renditions = models.JSONField(default=dict, editable=False)
    is_drawn = models.BooleanField(_("a drawing, not a photograph"), default=False)
    taken_at = models.DateTimeField(null=True, blank=True, editable=False)
    removed_at = models.DateTimeField(null=True, blank=True, editable=False)

    class Meta:
        verbose_name = _("photograph")
        ordering = ["position", "pk"]
        indexes = [models.Index(fields=["find", "position"], name="photograph_of_find")]

    def __str__(self) -> str:
        return f"photograph {self.pk}"


class Reading(PublicModel):
    """What was seen so many minutes after something was exposed or applied.

    A missed reading has ``looked=False``: it means 'not looked', never 'no change'.
    """

    find = models.ForeignKey(Find, on_delete=models.PROTECT, related_name="readings")
    exposed = models.CharField(_("what was exposed"), max_length=7, choices=Exposed)
    reagent = models.CharField(_("reagent"), max_length=40, blank=True, validators=[one_line])
    minutes = models.DecimalField(_("minutes elapsed"), max_digits=7, decimal_places=1)
    looked = models.BooleanField(_("somebody looked"), default=True)
    seen = models.CharField(_("what was seen"), max_length=80, blank=True, validators=[one_line])
    device_at = models.DateTimeField(null=True, blank=True, editable=False)
    removed_at = models.DateTimeField(null=True, blank=True, editable=False)

    class Meta:
        verbose_name = _("timed reading")
        ordering = ["exposed", "reagent", "minutes", "pk"]
        constraints = [
            models.CheckConstraint(condition=Q(minutes__gte=0), name="reading_after_exposure"),
            models.CheckConstraint(
                condition=Q(looked=True) | Q(seen=""), name="reading_not_looked_says_nothing"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.exposed} at {self.minutes} min"


class ObservedCharacter(PublicModel):
    find = models.ForeignKey(Find, on_delete=models.PROTECT, related_name="observed_characters")
    character = models.ForeignKey(Character, on_delete=models.PROTECT, related_name="observations")
    state = models.ForeignKey(CharacterState, on_delete=models.PROTECT, related_name="observations")

    class Meta:
        verbose_name = _("observed character")
        ordering = ["character__position", "state__position"]
        constraints = [
            models.UniqueConstraint(fields=["find", "state"], name="one_observation_a_state")
        ]

    def __str__(self) -> str:
        return f"{self.character_id}: {self.state_id}"


class EatingNote(PublicModel):
    """Who says what on eating, and from where: always shown with the notice, never sorted by."""

    find = models.ForeignKey(Find, on_delete=models.PROTECT, related_name="eating_notes")
    by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="eating_notes")
    said_by = models.CharField(_("who says so"), max_length=120, validators=[one_line])
    source = models.CharField(_("source"), max_length=160, blank=True, validators=[one_line])
    text = FreeTextField(_("what is said"), max_length=1000)
    removed_at = models.DateTimeField(null=True, blank=True, editable=False)

    class Meta:
        verbose_name = _("note on eating")
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"note on eating {self.pk}"
