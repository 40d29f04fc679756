"""The checklist: taxa and their other names, look-alikes, what was split, what lists say."""

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy as _

from society.core.free_text import FreeTextField
from society.core.models import BaseModel
from society.members.models import one_line


class Group(models.TextChoices):
    """What kind of organism a row is; all but fungi can only be associated organisms."""

    FUNGUS = "fungus", _("fungus")
    TREE = "tree", _("tree")
    SHRUB = "shrub", _("shrub")
    HERB = "herb", _("herb or grass")
    FERN = "fern", _("fern")
    MOSS = "moss", _("moss or liverwort")
    ALGA = "alga", _("alga")
    INSECT = "insect", _("insect or other animal")
    DUNG = "dung", _("dung")


# A host may be anything that the checklist holds, another fungus too.
HOST_GROUPS = tuple(str(group) for group in Group)


class Rank(models.TextChoices):
    SPECIES = "species", _("species")
    VARIETY = "variety", _("variety")
    AGGREGATE = "aggregate", _("aggregate")
    SECTION = "section", _("section")
    GENUS = "genus", _("genus")


class Form(models.TextChoices):
    """The form of a fungus: it decides which views, characters and questions apply."""

    AGARIC = "agaric", _("agaric")
    BOLETE = "bolete", _("bolete")
    BRACKET = "bracket", _("bracket")
    CRUST = "crust", _("crust")
    CLUB = "club", _("club or coral")
    STOMACH = "stomach", _("stomach fungus or truffle")
    JELLY = "jelly", _("jelly")
    CUP = "cup", _("cup or disc")
    FLASK = "flask", _("flask")
    RUST = "rust", _("rust, smut or mildew")
    LICHEN = "lichen", _("lichen")
    SLIME_MOULD = "slime_mould", _("slime mould")


class Need(models.TextChoices):
    """What a name needs to be settled."""

    EYE = "eye", _("by eye with photographs")
    MICROSCOPE = "microscope", _("a microscope")
    SPECIMEN = "specimen", _("a kept specimen")
    SEQUENCE = "sequence", _("a sequence")


class Danger(models.TextChoices):
    NONE_HELD = "", _("nothing held here, which says nothing about harm")
    ILLNESS = "illness", _("causes illness")
    SERIOUS = "serious", _("seriously poisonous")
    DEADLY = "deadly", _("deadly")


class Sensitivity(models.IntegerChoices):
    """Published categories: the smaller the number the more secret (``science/blurring.py``)."""

    EXTREME = 1, _("extreme")
    HIGH = 2, _("high")
    MEDIUM = 3, _("medium")
    LOW = 4, _("low")


class TaxonQuerySet(models.QuerySet["Taxon"]):
    def accepted(self) -> "TaxonQuerySet":
        return self.filter(accepted=None)

    def fungi(self) -> "TaxonQuerySet":
        return self.filter(group=Group.FUNGUS)

    def hosts(self) -> "TaxonQuerySet":
        return self.exclude(group=Group.FUNGUS)


class Taxon(BaseModel):
    """A name of the checklist. A synonym points at its accepted name, always one hop away."""

    scientific_name = models.CharField(_("scientific name"), max_length=120, validators=[one_line])
    authorship = models.CharField(
        _("authorship"), max_length=120, blank=True, validators=[one_line]
    )
    folded = models.CharField(max_length=120, editable=False)
    rank = models.CharField(_("rank"), max_length=9, choices=Rank, default=Rank.SPECIES)
    group = models.CharField(_("group"), max_length=6, choices=Group, default=Group.FUNGUS)
    form = models.CharField(_("form"), max_length=11, choices=Form, blank=True)
    genus = models.CharField(_("genus"), max_length=60, blank=True, validators=[one_line])
    family = models.CharField(_("family"), max_length=60, blank=True, validators=[one_line])
    order = models.CharField(_("order"), max_length=60, blank=True, validators=[one_line])
    accepted = models.ForeignKey(
        "self",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="synonyms",
        verbose_name=_("accepted name"),
    )
    is_misapplied = models.BooleanField(_("misapplied name"), default=False)
    trophic = models.CharField(_("way of feeding"), max_length=16, blank=True)
    hosts = models.JSONField(_("host genera"), default=list, blank=True)
    substrates = models.JSONField(_("substrates"), default=list, blank=True)
    month_from = models.PositiveSmallIntegerField(_("from month"), null=True, blank=True)
    month_to = models.PositiveSmallIntegerField(_("to month"), null=True, blank=True)
    needs = models.CharField(
        _("needs to be settled"), max_length=10, choices=Need, default=Need.EYE
    )
    danger = models.CharField(
        _("danger"), max_length=7, choices=Danger, default=Danger.NONE_HELD, blank=True
    )
    danger_note = models.CharField(
        _("condition of the danger"), max_length=120, blank=True, validators=[one_line]
    )
    sensitivity = models.PositiveSmallIntegerField(
        _("sensitivity of its places"), choices=Sensitivity, null=True, blank=True
    )
    no_lifting = models.BooleanField(_("never to be lifted or cut"), default=False)
    source = models.CharField(_("source"), max_length=120, blank=True, validators=[one_line])
    is_doubtful = models.BooleanField(_("this row is in doubt"), default=False)

    objects = TaxonQuerySet.as_manager()

    class Meta:
        verbose_name = _("name")
        verbose_name_plural = _("names")
        ordering = ["folded", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["folded", "group", "is_misapplied"],
                name="one_row_a_name",
                violation_error_message=_("The checklist already holds this name."),
            ),
            models.CheckConstraint(
                condition=~models.Q(accepted=models.F("id")), name="taxon_not_its_own_synonym"
            ),
        ]
        indexes = [
            models.Index(fields=["genus", "folded"], name="taxon_in_genus"),
            models.Index(fields=["family", "folded"], name="taxon_in_family"),
        ]

    def __str__(self) -> str:
        return self.scientific_name

    @property
    def current(self) -> "Taxon":
        """The accepted name this row leads to, itself when it is one."""
        return self.accepted or self

    @property
    def is_dangerous(self) -> bool:
        return self.danger in (Danger.DEADLY, Danger.SERIOUS)


class VernacularName(BaseModel):
    """A name of a language in real use."""

    taxon = models.ForeignKey(Taxon, on_delete=models.CASCADE, related_name="vernacular_names")
    name = models.CharField(_("name"), max_length=80, validators=[one_line])
    folded = models.CharField(max_length=80, editable=False)
    language = models.CharField(_("language"), max_length=8, default="en")
    is_preferred = models.BooleanField(_("the one to show"), default=False)

    class Meta:
        verbose_name = _("vernacular name")
        ordering = ["-is_preferred", "folded"]
        constraints = [
            models.UniqueConstraint(
                fields=["taxon", "language", "folded"], name="one_vernacular_name_a_taxon"
            )
        ]

    def __str__(self) -> str:
        return self.name


class LookAlike(BaseModel):
    """Two names that are taken for each other, written from the side of ``taxon``."""

    taxon = models.ForeignKey(Taxon, on_delete=models.CASCADE, related_name="look_alikes")
    other = models.ForeignKey(Taxon, on_delete=models.CASCADE, related_name="look_alike_of")
    separated_by = FreeTextField(_("what separates them"), max_length=400, blank=True)
    source = models.CharField(_("source"), max_length=200, validators=[one_line])
    is_verified = models.BooleanField(_("read in the source"), default=False)
    in_poisonings = models.BooleanField(_("known from poisonings"), default=False)

    class Meta:
        verbose_name = _("look-alike")
        constraints = [
            models.UniqueConstraint(fields=["taxon", "other"], name="one_row_a_look_alike"),
            models.CheckConstraint(
                condition=~models.Q(taxon=models.F("other")), name="look_alike_is_another"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.taxon_id} taken for {self.other_id}"


class TaxonSplit(BaseModel):
    """A species that was taken apart. What was laid under its name before ``day``, and not looked
    at again since, reads as *s.l.*"""

    taxon = models.ForeignKey(Taxon, on_delete=models.PROTECT, related_name="splits")
    day = models.DateField(_("day from which the narrower sense holds"))
    into = models.ManyToManyField(Taxon, related_name="split_from", verbose_name=_("split into"))
    source = models.CharField(_("source"), max_length=200, validators=[one_line])

    class Meta:
        verbose_name = _("split of a species")
        ordering = ["-day", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["taxon", "day"], name="one_split_of_a_species_a_day")
        ]

    def __str__(self) -> str:
        return f"{self.taxon_id} split on {self.day}"


class ListedStatus(BaseModel):
    """What a red list, a law or a regional list says of a name: entered, never computed."""

    class Kind(models.TextChoices):
        RED_LIST = "red_list", _("red list")
        LAW = "law", _("legal protection")
        REGIONAL = "regional", _("regional list")

    taxon = models.ForeignKey(Taxon, on_delete=models.PROTECT, related_name="listed_statuses")
    kind = models.CharField(_("kind of list"), max_length=8, choices=Kind)
    area = models.CharField(_("area"), max_length=80, validators=[one_line])
    edition = models.CharField(_("list and edition"), max_length=120, validators=[one_line])
    year = models.PositiveSmallIntegerField(
        _("year"), validators=[MinValueValidator(1800), MaxValueValidator(2200)]
    )
    says = models.CharField(_("what it says"), max_length=120, validators=[one_line])

    class Meta:
        verbose_name = _("entry of a list")
        verbose_name_plural = _("entries of lists")
        ordering = ["kind", "area", "-year", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["taxon", "kind", "area", "edition", "year"],
                name="one_entry_of_a_list_a_name",
                violation_error_message=_("This name already has an entry of this list."),
            )
        ]

    def __str__(self) -> str:
        return f"{self.taxon_id}: {self.says} ({self.area}, {self.year})"


class ChecklistStamp(models.Model):
    """Counts changes of names, so that every process knows when to read its name index anew."""

    version = models.PositiveBigIntegerField(default=0)

    class Meta:
        constraints = [models.CheckConstraint(condition=models.Q(pk=1), name="one_checklist_stamp")]

    def __str__(self) -> str:
        return str(self.version)
