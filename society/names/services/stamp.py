"""The stamp by which every process learns that names have changed."""

import time

from django.db.models import F
from django.db.models.functions import Greatest

from society.names.models import ChecklistStamp


def stamp_raise() -> None:
    """Tell every process that names have changed.

    The stamp follows the clock, so that one that was rolled back, or lost to a restored backup, is
    never given again to other names.
    """
    ChecklistStamp.objects.get_or_create(pk=1)
    clock = time.time_ns() // 1000
    ChecklistStamp.objects.filter(pk=1).update(version=Greatest(F("version") + 1, clock))


def stamp_hold() -> None:
    """Hold the stamp until the transaction ends, so that two loads follow each other."""
    ChecklistStamp.objects.get_or_create(pk=1)
    ChecklistStamp.objects.select_for_update().get(pk=1)
