"""Visits: one site, one day, stated people and hours: a foray, or a member's own walk."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from society.core.free_text import FreeTextField
from society.core.models import PublicModel
from society.members.models import Person, one_line
from society.places.models import Site


class VisitKind(models.TextChoices):
    FORAY = "foray", _("foray")
    WALK = "walk", _("a member's walk")


class Visit(PublicModel):
    kind = models.CharField(_("kind"), max_length=5, choices=VisitKind, default=VisitKind.FORAY)
    title = models.CharField(_("title"), max_length=80, blank=True, validators=[one_line])
    site = models.ForeignKey(Site, on_delete=models.PROTECT, related_name="visits")
    date = models.DateField(_("date"))
    starts_at = models.TimeField(_("starts at"), null=True, blank=True)
    ends_at = models.TimeField(_("ends at"), null=True, blank=True)
    leader = models.ForeignKey(
        Person, on_delete=models.PROTECT, null=True, blank=True, related_name="visits_led"
    )
    people = models.ManyToManyField(Person, blank=True, related_name="visits")
    all_species = models.BooleanField(_("all species were looked for"), default=True)
    notes = FreeTextField(_("notes"), max_length=2000, blank=True)

    class Meta:
        verbose_name = _("visit")
        ordering = ["-date", "-pk"]
        indexes = [models.Index(fields=["site", "date"], name="visit_of_site_by_date")]

    def __str__(self) -> str:
        return self.title or f"{self.kind} {self.date}"
