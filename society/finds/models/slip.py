"""Determination slips: laid in order, never edited, never removed."""

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from society.core.free_text import FreeTextField
from society.core.models import PublicModel
from society.finds.models.find import Find
from society.members.models import Person, one_line
from society.names.models import Rank, Taxon


class Qualifier(models.TextChoices):
    NONE = "", _("none")
    CF = "cf.", "cf."
    AFF = "aff.", "aff."
    AGG = "agg.", "agg."
    SL = "s.l.", "s.l."
    SS = "s.str.", "s.str."
    SP = "sp.", "sp."
    GROUP = "group", _("group")
    DOUBT = "?", "?"


class Basis(models.TextChoices):
    EYE = "eye", _("by eye")
    MICROSCOPE = "microscope", _("microscope")
    SEQUENCE = "sequence", _("sequence")
    BOOKS = "books", _("taken over from old records")


class DeterminationSlip(PublicModel):
    """A name somebody gives a find: as written, and the checklist row it points at, if any.

    The accepted name is derived through the row, so a change of names rewrites no slip.
    """

    find = models.ForeignKey(Find, on_delete=models.PROTECT, related_name="slips")
    name_written = models.CharField(_("name as written"), max_length=200, validators=[one_line])
    taxon = models.ForeignKey(
        Taxon, on_delete=models.PROTECT, null=True, blank=True, related_name="slips"
    )
    rank = models.CharField(_("rank"), max_length=9, choices=Rank, blank=True)
    qualifier = models.CharField(_("qualifier"), max_length=6, choices=Qualifier, blank=True)
    by = models.ForeignKey(
        Person, on_delete=models.PROTECT, related_name="slips", verbose_name=_("determined by")
    )
    entered_by = models.ForeignKey(
        Person, on_delete=models.PROTECT, related_name="slips_entered", verbose_name=_("entered by")
    )
    laid_at = models.DateTimeField(_("laid at"), default=timezone.now, editable=False)
    basis = models.CharField(_("basis"), max_length=10, choices=Basis, default=Basis.EYE)
    literature = models.CharField(
        _("book or key used"), max_length=200, blank=True, validators=[one_line]
    )
    remarks = FreeTextField(_("remarks"), max_length=2000, blank=True)

    class Meta:
        verbose_name = _("determination slip")
        ordering = ["pk"]
        indexes = [models.Index(fields=["taxon", "find"], name="slip_of_taxon")]

    def __str__(self) -> str:
        return self.name_written
