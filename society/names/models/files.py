"""Files of names that a keeper has sent in: looked at first, taken over when the keeper says so."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from society.core.models import BaseModel
from society.members.models import one_line


class ChecklistFile(BaseModel):
    """A file waiting to be taken over. Its content lies in storage until then.

    ``report`` is what looking at it gave, ``report_version`` the stamp of the checklist it was
    compared with, ``taken`` how many rows of each kind were written so far.
    """

    class Kind(models.TextChoices):
        TAXA = "taxa", _("names")
        LISTS = "lists", _("entries of lists")

    class State(models.TextChoices):
        WAITING = "waiting", _("looked at, nothing written")
        TAKING = "taking", _("being taken over")
        TAKEN = "taken", _("taken over")

    kind = models.CharField(max_length=5, choices=Kind, editable=False)
    name = models.CharField(_("name of the file"), max_length=120, validators=[one_line])
    stored = models.CharField(max_length=200, editable=False)
    state = models.CharField(max_length=7, choices=State, default=State.WAITING, editable=False)
    report = models.JSONField(default=dict, editable=False)
    report_version = models.PositiveBigIntegerField(default=0, editable=False)
    taken = models.JSONField(default=dict, editable=False)
    job_id = models.BigIntegerField(null=True, editable=False)

    class Meta:
        verbose_name = _("file of names")
        ordering = ["-pk"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(state__in=["waiting", "taking", "taken"]),
                name="checklist_file_state_known",
            )
        ]

    def __str__(self) -> str:
        return self.name
