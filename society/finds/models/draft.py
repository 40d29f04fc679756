"""What a member has typed for a find not yet posted, with the photographs already sent."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from society.core.models import BaseModel
from society.finds.models.evidence import View
from society.finds.models.find import Find
from society.members.models import Account


class FindDraft(BaseModel):
    """The form as typed; seen by its owner only. With ``find``, changes to it not yet kept."""

    uuid = models.UUIDField(unique=True)
    owner = models.ForeignKey(Account, on_delete=models.CASCADE, related_name="drafts")
    find = models.ForeignKey(
        Find, on_delete=models.CASCADE, null=True, blank=True, related_name="drafts"
    )
    fields = models.JSONField(default=dict)

    class Meta:
        ordering = ["-updated_at"]
        indexes = [models.Index(fields=["owner", "-updated_at"], name="draft_of_owner")]

    def __str__(self) -> str:
        return str(self.uuid)


class DraftPhotograph(BaseModel):
    """A photograph that arrived before its find was posted, so that an error loses none."""

    draft = models.ForeignKey(FindDraft, on_delete=models.CASCADE, related_name="photographs")
    uuid = models.UUIDField(unique=True)
    view = models.CharField(_("view"), max_length=11, choices=View, blank=True)
    original = models.CharField(max_length=120)
    sha256 = models.CharField(max_length=64)
    byte_size = models.PositiveIntegerField()
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return str(self.uuid)
