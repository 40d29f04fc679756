"""The find itself: when, where, who, what it stood with and how it stood."""

from typing import Any

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from society.core.free_text import FreeTextField
from society.core.models import PublicModel
from society.forays.models import Visit
from society.members.models import Person, one_line
from society.members.permissions import Viewer
from society.names.models import Form, Sensitivity, Taxon
from society.places.models import Site, latitude_e7, longitude_e7


class Standing(models.TextChoices):
    """What stands (``science/standing.py``); a cache written by one service of the review room."""

    UNCONFIRMED = "unconfirmed", _("unconfirmed")
    CONFIRMED = "confirmed", _("confirmed")
    BY_ITS_REFEREE = "determined_by_its_referee", _("determined by its referee")
    FROM_THE_BOOKS = "from_the_books", _("from the books")
    DISPUTED = "disputed", _("disputed")
    LEFT_OPEN = "left_open", _("left open")


# What a guest may read, and what counts in lists (left open counts at the rank that holds).
PUBLISHED = (Standing.CONFIRMED, Standing.BY_ITS_REFEREE, Standing.FROM_THE_BOOKS)
COUNTED = (*PUBLISHED, Standing.LEFT_OPEN)


class PositionSource(models.TextChoices):
    """Where a position came from. A find with a site alone has no position of its own."""

    NONE = "", _("no position")
    MAP = "map", _("a tap on the map")
    PHONE = "phone", _("the phone's position")
    TYPED = "typed", _("typed")


class Substrate(models.TextChoices):
    NOT_SAID = "", _("not said")
    SOIL = "soil", _("soil")
    LITTER = "litter", _("leaf or needle litter")
    WOOD = "wood", _("wood")
    BARK = "bark", _("bark")
    GRASS = "grass", _("grass")
    MOSS = "moss", _("moss")
    DUNG = "dung", _("dung")
    LIVING_PLANT = "living_plant", _("a living plant")
    FUNGUS = "fungus", _("another fungus")
    FIRE_SITE = "fire_site", _("a fire site")
    CONE = "cone", _("a cone, nut or fruit")
    ROCK = "rock", _("rock or wall")
    INSECT = "insect", _("an insect")
    OTHER = "other", _("something else")


class WoodPart(models.TextChoices):
    NOT_SAID = "", _("not said")
    TRUNK = "trunk", _("trunk")
    STUMP = "stump", _("stump")
    BRANCH = "branch", _("branch")
    TWIG = "twig", _("twig")
    ROOT = "root", _("root")
    WORKED = "worked", _("worked wood or chips")


class WoodPosition(models.TextChoices):
    NOT_SAID = "", _("not said")
    STANDING = "standing", _("standing")
    FALLEN = "fallen", _("fallen")
    BURIED = "buried", _("buried")


class Soil(models.TextChoices):
    NOT_KNOWN = "", _("not known")
    LIME = "lime", _("lime")
    NEUTRAL = "neutral", _("neutral")
    ACID = "acid", _("acid")


class Growth(models.TextChoices):
    NOT_SAID = "", _("not said")
    SINGLE = "single", _("single")
    SCATTERED = "scattered", _("scattered")
    TROOP = "troop", _("in a troop")
    TUFT = "tuft", _("in tufts")
    RING = "ring", _("in a ring")
    SHELVES = "shelves", _("in shelves")
    SHEET = "sheet", _("spread as a sheet")


class Stage(models.TextChoices):
    NOT_SAID = "", _("not said")
    BUTTON = "button", _("button")
    YOUNG = "young", _("young")
    MATURE = "mature", _("mature")
    OLD = "old", _("old")
    DECAYED = "decayed", _("decayed")


class Base(models.TextChoices):
    NOT_SAID = "", _("not said")
    LIFTED = "lifted", _("lifted whole")
    CUT = "cut", _("cut")
    NOT_SEEN = "not_seen", _("not seen")


class InHand(models.TextChoices):
    NOT_SAID = "", _("not said")
    FRESH = "fresh", _("fresh")
    FRIDGE = "fridge", _("in the fridge")
    DRYING = "drying", _("drying")
    DRIED = "dried", _("dried")
    PRINT = "print", _("a spore print")
    PICTURES = "pictures", _("pictures only")
    NOTHING = "nothing", _("nothing")


class FindQuerySet(models.QuerySet["Find"]):
    def laid(self) -> "FindQuerySet":
        """Finds that have not been withdrawn."""
        return self.filter(withdrawn_at=None)

    def of_person(self, person_id: int | None) -> "FindQuerySet":
        """Finds this person found, or was a companion at."""
        if person_id is None:
            return self.none()
        return self.filter(
            Q(finder_id=person_id)
            | Q(
                pk__in=Find.companions.through.objects.filter(person_id=person_id).values("find_id")
            )
        )

    def visible_to(self, viewer: Viewer) -> "FindQuerySet":
        """Finds this viewer may read. A withdrawn one stays with its finder and the keepers."""
        if not viewer.is_member:
            return self.filter(withdrawn_at=None, standing__in=PUBLISHED)
        if viewer.is_keeper:
            return self
        return self.filter(
            Q(withdrawn_at=None) | Q(finder_id=viewer.person_id) | Q(entered_by_id=viewer.person_id)
        )


class Find(PublicModel):
    """One collection of one fungus, as somebody met it. Rows are withdrawn, never removed."""

    # Identity
    year = models.PositiveSmallIntegerField(editable=False)
    number = models.PositiveIntegerField(_("number in its year"), editable=False)
    collector_number = models.CharField(
        _("collector's own number"), max_length=40, blank=True, validators=[one_line]
    )
    finder = models.ForeignKey(
        Person, on_delete=models.PROTECT, related_name="finds", verbose_name=_("finder")
    )
    companions: Any = models.ManyToManyField(
        Person, blank=True, related_name="finds_accompanied", verbose_name=_("companions")
    )
    entered_by = models.ForeignKey(
        Person, on_delete=models.PROTECT, related_name="finds_entered", verbose_name=_("entered by")
    )
    version = models.PositiveIntegerField(default=1, editable=False)
    evidence_version = models.PositiveIntegerField(default=1, editable=False)
    posted_digest = models.CharField(max_length=64, blank=True, editable=False)
    withdrawn_at = models.DateTimeField(null=True, blank=True, editable=False)

    # When: local dates of the society's zone
    date_start = models.DateField(_("date"))
    date_end = models.DateField(_("last day"))
    date_verbatim = models.CharField(_("date as written"), max_length=80, blank=True)
    time_of_day = models.TimeField(_("time of day"), null=True, blank=True)

    # Where
    site = models.ForeignKey(
        Site,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="finds",
        verbose_name=_("site"),
    )
    visit = models.ForeignKey(
        Visit,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="finds",
        verbose_name=_("foray or walk"),
    )
    place_verbatim = FreeTextField(_("place as written"), max_length=200, blank=True)
    position_verbatim = models.CharField(
        _("position as written"), max_length=80, blank=True, validators=[one_line]
    )
    lat_e7 = models.IntegerField(null=True, blank=True)
    lon_e7 = models.IntegerField(null=True, blank=True)
    uncertainty_m = models.PositiveIntegerField(_("uncertainty in metres"), null=True, blank=True)
    position_source = models.CharField(max_length=5, choices=PositionSource, blank=True)
    made_secret = models.PositiveSmallIntegerField(
        _("made more secret"), choices=Sensitivity, null=True, blank=True
    )
    # What the name and ``made_secret`` together demand; written with every change of either.
    secrecy = models.PositiveSmallIntegerField(choices=Sensitivity, null=True, editable=False)
    # The place given out at each resolution, in units of that resolution (index of the cell).
    cell_lat_1 = models.IntegerField(null=True, editable=False)
    cell_lon_1 = models.IntegerField(null=True, editable=False)
    cell_lat_01 = models.IntegerField(null=True, editable=False)
    cell_lon_01 = models.IntegerField(null=True, editable=False)
    cell_lat_001 = models.IntegerField(null=True, editable=False)
    cell_lon_001 = models.IntegerField(null=True, editable=False)
    cell_lat_0001 = models.IntegerField(null=True, editable=False)
    cell_lon_0001 = models.IntegerField(null=True, editable=False)

    # What it stood in
    form = models.CharField(_("form"), max_length=11, choices=Form, blank=True)
    substrate = models.CharField(_("grew on"), max_length=12, choices=Substrate, blank=True)
    substrate_note = models.CharField(
        _("what it grew on, in words"), max_length=120, blank=True, validators=[one_line]
    )
    wood_part = models.CharField(_("part of the wood"), max_length=6, choices=WoodPart, blank=True)
    wood_position = models.CharField(
        _("wood standing or fallen"), max_length=8, choices=WoodPosition, blank=True
    )
    wood_decay = models.PositiveSmallIntegerField(
        _("decay, 1 fresh to 5 gone soft"),
        null=True,
        blank=True,
        validators=[MinValueValidator(1), MaxValueValidator(5)],
    )
    wood_girth_cm = models.PositiveSmallIntegerField(_("girth in cm"), null=True, blank=True)
    habitat = models.CharField(_("habitat"), max_length=160, blank=True, validators=[one_line])
    soil = models.CharField(_("soil or rock"), max_length=7, choices=Soil, blank=True)
    moss_layer = models.CharField(_("moss layer"), max_length=80, blank=True, validators=[one_line])

    # How it stood
    count = models.PositiveIntegerField(_("how many"), null=True, blank=True)
    growth = models.CharField(_("growth"), max_length=9, choices=Growth, blank=True)
    stage = models.CharField(_("stage"), max_length=7, choices=Stage, blank=True)
    base = models.CharField(_("stem base"), max_length=8, choices=Base, blank=True)

    # What is in hand
    in_hand = models.CharField(_("what is in hand"), max_length=8, choices=InHand, blank=True)
    spore_print = models.CharField(
        _("colour of the spore print"), max_length=40, blank=True, validators=[one_line]
    )
    specimen_kept = models.BooleanField(_("a specimen is kept"), default=False)
    specimen_number = models.CharField(
        _("specimen's number"), max_length=40, blank=True, validators=[one_line]
    )
    fungarium = models.CharField(_("fungarium"), max_length=80, blank=True, validators=[one_line])
    notes = FreeTextField(_("notes"), max_length=8000, blank=True)

    # What stands: a cache (``manage.py recompute_standing --check``)
    standing = models.CharField(
        max_length=25, choices=Standing, default=Standing.UNCONFIRMED, editable=False
    )
    standing_taxon = models.ForeignKey(
        Taxon, on_delete=models.PROTECT, null=True, editable=False, related_name="finds_standing"
    )
    standing_slip = models.ForeignKey(
        "finds.DeterminationSlip",
        on_delete=models.PROTECT,
        null=True,
        editable=False,
        related_name="+",
    )
    standing_rank = models.CharField(max_length=9, blank=True, editable=False)
    standing_since = models.DateTimeField(null=True, editable=False)
    # The species was split since anybody looked: the name reads as 's.l.'.
    reads_wide = models.BooleanField(default=False, editable=False)

    objects = FindQuerySet.as_manager()

    class Meta:
        verbose_name = _("find")
        ordering = ["-date_start", "-pk"]
        constraints = [
            models.UniqueConstraint(fields=["year", "number"], name="one_find_a_number"),
            models.CheckConstraint(
                condition=Q(date_end__gte=models.F("date_start")), name="find_dates_in_order"
            ),
            models.CheckConstraint(condition=latitude_e7 & longitude_e7, name="find_on_earth"),
            models.CheckConstraint(
                condition=Q(lat_e7=None, lon_e7=None)
                | Q(lat_e7__isnull=False, lon_e7__isnull=False),
                name="find_position_whole",
            ),
            models.CheckConstraint(
                condition=Q(uncertainty_m=None) | Q(uncertainty_m__gt=0),
                name="find_uncertainty_positive",
            ),
            models.CheckConstraint(
                condition=Q(standing__in=Standing.values), name="find_standing_known"
            ),
        ]
        indexes = [
            models.Index(fields=["site", "date_start", "standing"], name="find_list_of_site"),
            models.Index(fields=["date_start", "standing"], name="find_list_of_season"),
            models.Index(fields=["finder", "-date_start", "-id"], name="find_logbook"),
            models.Index(fields=["standing_taxon", "date_start"], name="find_of_taxon"),
            models.Index(fields=["-date_start", "-id"], name="find_newest"),
            # The few of a day not known: a list says how many of them may lie in its time.
            models.Index(
                fields=["date_end"],
                condition=Q(date_end__gt=models.F("date_start")),
                name="find_of_vague_date",
            ),
            # The few that referees are asked to look at again.
            models.Index(
                fields=["standing_taxon"], condition=Q(reads_wide=True), name="find_that_reads_wide"
            ),
        ]

    def __str__(self) -> str:
        return self.spoken_number

    @property
    def spoken_number(self) -> str:
        """The number people say aloud: ``2026/417``."""
        return f"{self.year}/{self.number}"


class YearNumber(models.Model):
    """The last number given out in a year."""

    year = models.PositiveSmallIntegerField(primary_key=True)
    last = models.PositiveIntegerField(default=0)

    def __str__(self) -> str:
        return f"{self.year}/{self.last}"


class PartPlayed(models.TextChoices):
    HOST = "host", _("host")
    PROBABLE_HOST = "probable_host", _("probable host")
    NEARBY = "nearby", _("nearby")


class Certainty(models.TextChoices):
    NOT_SAID = "", _("not said")
    SURE = "sure", _("sure of its name")
    UNSURE = "unsure", _("not sure of its name")


class OrganismState(models.TextChoices):
    NOT_SAID = "", _("not said")
    LIVING = "living", _("living")
    DYING = "dying", _("dying")
    DEAD = "dead", _("dead")


class AssociatedOrganism(PublicModel):
    """A tree, plant, animal or other fungus that stood with the find."""

    find = models.ForeignKey(Find, on_delete=models.PROTECT, related_name="organisms")
    taxon = models.ForeignKey(
        Taxon, on_delete=models.PROTECT, null=True, blank=True, related_name="associations"
    )
    as_written = models.CharField(_("name"), max_length=120, validators=[one_line])
    part = models.CharField(
        _("part played"), max_length=13, choices=PartPlayed, default=PartPlayed.NEARBY
    )
    certainty = models.CharField(_("how sure"), max_length=6, choices=Certainty, blank=True)
    distance_m = models.DecimalField(
        _("distance in metres"),
        max_digits=5,
        decimal_places=1,
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
    )
    state = models.CharField(_("state"), max_length=6, choices=OrganismState, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True, editable=False)

    class Meta:
        verbose_name = _("associated organism")
        ordering = ["pk"]
        indexes = [models.Index(fields=["taxon", "part"], name="organism_as_host")]

    def __str__(self) -> str:
        return self.as_written
