"""Sites: their boundaries, what their owners allow, and what walkers must know."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from society.core.free_text import FreeTextField
from society.core.models import PublicModel
from society.members.models import one_line
from society.members.permissions import Viewer

E7 = 10_000_000
latitude_e7 = models.Q(lat_e7__range=(-90 * E7, 90 * E7)) | models.Q(lat_e7=None)
longitude_e7 = models.Q(lon_e7__range=(-180 * E7, 180 * E7)) | models.Q(lon_e7=None)


class Openness(models.TextChoices):
    OPEN = "open", _("open: its name is shown to everybody")
    KEPT = "kept", _("kept: its name is shown to members only")


class Picking(models.TextChoices):
    """What the owner lets be taken; evidence that may not be taken is never asked for."""

    NOT_KNOWN = "", _("not known")
    NOTHING = "nothing", _("nothing may be lifted, cut or taken")
    STUDY = "study", _("single specimens for study")
    WITH_LEAVE = "with_leave", _("with leave asked each time")


class SiteQuerySet(models.QuerySet["Site"]):
    def visible_to(self, viewer: Viewer) -> "SiteQuerySet":
        """Sites whose name this viewer may see."""
        return self if viewer.is_member else self.filter(openness=Openness.OPEN)


class Site(PublicModel):
    """A wood, field or garden with a name and, where drawn, a boundary; a parent groups sites."""

    name = models.CharField(_("name"), max_length=80, validators=[one_line])
    folded = models.CharField(max_length=80, editable=False)
    slug = models.SlugField(_("address"), max_length=80, unique=True)
    parent = models.ForeignKey(
        "self",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="parts",
        verbose_name=_("belongs to"),
    )
    openness = models.CharField(
        _("who may see its name"), max_length=4, choices=Openness, default=Openness.OPEN
    )
    boundary = models.JSONField(
        _("boundary"),
        null=True,
        blank=True,
        help_text=_("A GeoJSON Polygon or MultiPolygon, longitude first."),
    )
    lat_e7 = models.IntegerField(_("latitude of its middle"), null=True, blank=True)
    lon_e7 = models.IntegerField(_("longitude of its middle"), null=True, blank=True)
    extent_m = models.PositiveIntegerField(_("longest way across in metres"), default=1000)
    soil = models.CharField(_("soil"), max_length=10, blank=True)
    habitat = models.CharField(_("habitat"), max_length=120, blank=True, validators=[one_line])
    picking = models.CharField(_("picking"), max_length=10, choices=Picking, blank=True)
    owner_note = FreeTextField(_("the owner's leave"), max_length=1000, blank=True)
    cautions = FreeTextField(_("cautions"), max_length=1000, blank=True)
    access_note = FreeTextField(_("how to get there"), max_length=1000, blank=True)

    objects = SiteQuerySet.as_manager()

    class Meta:
        verbose_name = _("site")
        ordering = ["folded", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["folded"],
                name="one_site_a_name",
                violation_error_message=_("There is already a site of this name."),
            ),
            models.CheckConstraint(condition=latitude_e7 & longitude_e7, name="site_on_earth"),
            models.CheckConstraint(
                condition=~models.Q(parent=models.F("id")), name="site_not_its_own_part"
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def may_lift_and_cut(self) -> bool:
        return self.picking not in (Picking.NOTHING,)
