"""Sweeping files that nothing names any more: of drafts thrown away, of members who left.

A file is stored before the row that names it, and drafts come and go; so only files that nothing
names and that are older than a day are removed.
"""

import datetime as dt
from collections.abc import Iterator

from django.core.files.storage import default_storage
from django.utils import timezone

from society.core.services import job_add
from society.finds.models import DraftPhotograph, Photograph

SWEEP_JOB = "finds.sweep_files"
KEPT_AT_LEAST = dt.timedelta(days=1)
FOLDERS = ("originals", "renditions")


def files_sweep() -> int:
    """Remove files that no photograph and no draft names; return how many.

    Running it twice removes nothing more. Asks for itself again in a day.
    """
    before = timezone.now() - KEPT_AT_LEAST
    named = _named()
    removed = 0
    for key in _stored():
        if key not in named and default_storage.get_modified_time(key) < before:
            default_storage.delete(key)
            removed += 1
    job_add(SWEEP_JOB, key=SWEEP_JOB, run_at=timezone.now() + KEPT_AT_LEAST)
    return removed


def _named() -> set[str]:
    """Return the keys that rows name. Removed photographs can be put back: theirs are kept."""
    named: set[str] = set(DraftPhotograph.objects.values_list("original", flat=True))
    rows = Photograph.objects.values_list("original", "renditions").iterator(chunk_size=2000)
    for original, renditions in rows:
        named.add(original)
        named.update(renditions.values())
    return named


def _stored() -> Iterator[str]:
    """Give the key of every file under the folders of photographs."""
    waiting = [folder for folder in FOLDERS if default_storage.exists(folder)]
    while waiting:
        folder = waiting.pop()
        below, files = default_storage.listdir(folder)
        waiting.extend(f"{folder}/{name}" for name in below)
        yield from (f"{folder}/{name}" for name in files)
