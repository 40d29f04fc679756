"""Files that nothing names are swept; everything named stays."""

import datetime as dt
import os
from io import BytesIO
from uuid import uuid4

import pytest
from django.core.files.storage import default_storage
from django.core.management import call_command
from django.utils import timezone
from PIL import Image

from society.core.models import Job
from society.finds.models import Photograph
from society.finds.services import (
    draft_drop,
    draft_photograph_add,
    files_sweep,
    photograph_add,
    renditions_make,
)
from society.finds.services.sweeping import SWEEP_JOB
from society.members.services import member_leave
from society.review.models import Scope
from tests.make import make_account, make_find, make_referee, viewer

pytestmark = pytest.mark.django_db


def _picture(shade: int) -> BytesIO:
    out = BytesIO()
    Image.new("RGB", (60, 40), (shade, 90, 30)).save(out, "JPEG")
    return out


def _aged(key: str) -> None:
    old = (timezone.now() - dt.timedelta(days=2)).timestamp()
    os.utime(default_storage.path(key), (old, old))


def test_the_file_of_a_dropped_draft_goes_after_a_day_and_not_before() -> None:
    ann = make_account("Ann")
    draft = uuid4()
    kept = draft_photograph_add(draft, _picture(10), uuid=uuid4(), by=viewer(ann))
    draft_drop(draft, by=viewer(ann))

    assert files_sweep() == 0
    assert default_storage.exists(kept.original)

    _aged(kept.original)
    assert files_sweep() == 1
    assert not default_storage.exists(kept.original)


def test_what_a_find_or_an_open_draft_names_stays_however_old() -> None:
    ann = make_account("Ann")
    find = make_find(ann)
    photograph = photograph_add(find.pk, _picture(20), by=viewer(ann))
    photograph = renditions_make(photograph.pk)
    waiting = draft_photograph_add(uuid4(), _picture(30), uuid=uuid4(), by=viewer(ann))
    keys = [photograph.original, waiting.original, *photograph.renditions.values()]
    for key in keys:
        _aged(key)

    call_command("sweep_files")

    assert all(default_storage.exists(key) for key in keys)
    assert Photograph.objects.count() == 1


def test_a_leaver_takes_their_drafts_files_and_their_scopes_along() -> None:
    make_account("Kay", is_keeper=True)
    bea = make_referee("Bea", "family", "Russulaceae")
    kept = draft_photograph_add(uuid4(), _picture(40), uuid=uuid4(), by=viewer(bea))
    _aged(kept.original)

    member_leave(bea.pk, kept_name="a former member", by=viewer(bea))
    files_sweep()

    assert not default_storage.exists(kept.original)
    assert not Scope.objects.filter(person=bea.person, ended_at=None).exists()


def test_each_sweep_asks_for_the_next_one() -> None:
    Job.objects.all().delete()

    files_sweep()
    files_sweep()

    job = Job.objects.get(kind=SWEEP_JOB)
    assert job.run_at > timezone.now() + dt.timedelta(hours=20)
