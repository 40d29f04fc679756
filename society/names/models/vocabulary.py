"""The shared vocabulary of characters and their states, and of the colours that things turn."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from society.core.models import BaseModel
from society.members.models import one_line


class Exposed(models.TextChoices):
    """What was cut open, handled, or treated, before its colour was read."""

    MILK = "milk", _("milk on a fresh cut")
    FLESH = "flesh", _("flesh on a fresh cut")
    GILLS = "gills", _("gills when bruised")
    PORES = "pores", _("pores when bruised")
    STEM = "stem", _("stem when handled")
    CAP = "cap", _("cap when handled")
    REAGENT = "reagent", _("a reagent")


class TurnedColour(models.TextChoices):
    """The colours that an account tells a reading by; written words are read into them."""

    NONE = "none", _("no change")
    WATERY = "watery", _("like water")
    WHITE = "white", _("white")
    CREAM = "cream", _("cream")
    YELLOW = "yellow", _("yellow")
    ORANGE = "orange", _("orange")
    PINK = "pink", _("pink")
    RED = "red", _("red")
    WINE = "wine", _("wine-red or maroon")
    LILAC = "lilac", _("lilac or violet")
    BLUE = "blue", _("blue")
    GREEN = "green", _("green")
    GREY = "grey", _("grey")
    BROWN = "brown", _("brown")
    BLACK = "black", _("black")


class Character(BaseModel):
    """A character of the shared vocabulary: the forms it applies to, what it costs to see."""

    class Cost(models.TextChoices):
        AT_ONCE = "at_once", _("seen at once")
        CUT = "cut", _("needs a cut")
        WAIT = "wait", _("needs a wait")
        OVERNIGHT = "overnight", _("needs a night")
        LENS = "lens", _("needs a lens")
        MICROSCOPE = "microscope", _("needs a microscope")
        REAGENT = "reagent", _("needs a reagent")

    code = models.SlugField(_("code"), max_length=40, unique=True)
    part = models.SlugField(_("part"), max_length=30)
    name = models.CharField(_("name"), max_length=80, validators=[one_line])
    sentence = models.CharField(
        _("one sentence"), max_length=240, blank=True, validators=[one_line]
    )
    forms = models.JSONField(_("forms"), default=list)
    cost = models.CharField(_("cost"), max_length=10, choices=Cost, default=Cost.AT_ONCE)
    wait_minutes = models.PositiveSmallIntegerField(_("minutes to wait"), null=True, blank=True)
    cuts = models.BooleanField(_("needs lifting or cutting"), default=False)
    never_asked = models.BooleanField(
        _("kept where somebody wrote it, never asked for"), default=False
    )
    position = models.PositiveSmallIntegerField(_("position"), default=0)

    class Meta:
        verbose_name = _("character")
        ordering = ["position", "code"]

    def __str__(self) -> str:
        return self.name


class CharacterState(BaseModel):
    """One state of a character, with a sentence that says how it is told."""

    character = models.ForeignKey(Character, on_delete=models.CASCADE, related_name="states")
    code = models.SlugField(_("code"), max_length=40)
    name = models.CharField(_("name"), max_length=80, validators=[one_line])
    sentence = models.CharField(
        _("one sentence"), max_length=240, blank=True, validators=[one_line]
    )
    position = models.PositiveSmallIntegerField(_("position"), default=0)

    class Meta:
        verbose_name = _("state of a character")
        ordering = ["position", "code"]
        constraints = [
            models.UniqueConstraint(fields=["character", "code"], name="one_state_a_code")
        ]

    def __str__(self) -> str:
        return self.name
