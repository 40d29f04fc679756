"""What every room builds on: base models, the history of changes, background jobs, throttling."""

import uuid

from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy as _


class BaseModel(models.Model):
    """Gives a row its time of making and of last change."""

    created_at = models.DateTimeField(_("made at"), default=timezone.now, editable=False)
    updated_at = models.DateTimeField(_("changed at"), auto_now=True, editable=False)

    class Meta:
        abstract = True


class PublicModel(BaseModel):
    """Adds a uuid that a device may make before the row reaches the server."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)

    class Meta:
        abstract = True


class Change(models.Model):
    """One line of history, written by a service in the transaction of its change.

    Holds ids, a dotted verb and field names only, so that erasing a person breaks the link and no
    free text lingers here. Rows are never removed, and a trigger refuses to edit one.
    """

    at = models.DateTimeField(default=timezone.now, editable=False)
    actor_id = models.BigIntegerField(null=True, editable=False)
    verb = models.CharField(max_length=60, editable=False)
    object_kind = models.CharField(max_length=40, editable=False)
    object_id = models.BigIntegerField(editable=False)
    fields = models.JSONField(default=list, editable=False)

    class Meta:
        ordering = ["-id"]
        indexes = [
            models.Index(fields=["object_kind", "object_id", "id"], name="change_of_object"),
            models.Index(fields=["actor_id", "id"], name="change_by_actor"),
        ]

    def __str__(self) -> str:
        return f"{self.verb} {self.object_kind} {self.object_id}"


class FieldVersion(models.Model):
    """The value a field had before a change: seen by whoever may see the field, and erasable."""

    change = models.ForeignKey(Change, on_delete=models.PROTECT, related_name="versions")
    field = models.CharField(max_length=60)
    prior = models.TextField(blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["change", "field"], name="one_version_a_field")
        ]

    def __str__(self) -> str:
        return f"{self.field} before change {self.change_id}"


class JobState(models.TextChoices):
    WAITING = "waiting", _("waiting")
    RUNNING = "running", _("running")
    DONE = "done", _("done")
    FAILED = "failed", _("failed")


class Job(models.Model):
    """A piece of background work. The row is the truth; any worker holds it by a lease."""

    kind = models.CharField(max_length=60)
    args = models.JSONField(default=dict)
    key = models.CharField(max_length=120, null=True, blank=True, unique=True)
    state = models.CharField(max_length=8, choices=JobState, default=JobState.WAITING)
    run_at = models.DateTimeField(default=timezone.now)
    lease_until = models.DateTimeField(null=True, blank=True)
    worker = models.CharField(max_length=80, blank=True)
    tries = models.PositiveSmallIntegerField(default=0)
    progress_done = models.PositiveIntegerField(default=0)
    progress_total = models.PositiveIntegerField(default=0)
    error = models.CharField(max_length=200, blank=True)
    asked_by_id = models.BigIntegerField(null=True, blank=True)
    created_at = models.DateTimeField(default=timezone.now, editable=False)
    finished_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["run_at", "id"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(state__in=JobState.values), name="job_state_known"
            )
        ]
        indexes = [
            models.Index(fields=["state", "run_at", "id"], name="job_next_due"),
            models.Index(fields=["state", "lease_until"], name="job_lease_expired"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} ({self.state})"


class ThrottleCount(models.Model):
    """How often something was tried within a window; kept in the database so that it holds for
    every process. The key is a keyed hash: no address or name is stored."""

    key = models.CharField(max_length=64)
    window_start = models.DateTimeField()
    count = models.PositiveIntegerField(default=0)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["key", "window_start"], name="one_count_a_window")
        ]

    def __str__(self) -> str:
        return f"{self.count} since {self.window_start:%H:%M}"
