"""When the detector changes, what was stored is found anew, in rows that are never edited too."""

from io import StringIO

import pytest
from django.core.management import call_command
from django.db.models import Model

from society.core.models import Job
from society.core.tasks import jobs_at_start
from society.finds.models import DeterminationSlip, Find
from society.finds.services import SlipEntry
from society.review.models import Verdict
from society.review.services import verdict_lay
from society.safety.services import (
    STATEMENTS_JOB,
    free_text_fields,
    statements_recompute,
)
from tests.make import make_find, make_referee, viewer

pytestmark = pytest.mark.django_db

PRAISE = "Delicious fried in butter."


def _stored(model: type[Model], column: str) -> list[str]:
    return list(model._base_manager.values_list(column, flat=True))


def _as_an_older_detector_left_it(model: type[Model], column: str) -> None:
    model._base_manager.update(**{column: "0::0"})


def test_every_kind_of_text_is_found() -> None:
    names = {(model.__name__, field) for model, field in free_text_fields()}

    assert {
        ("Find", "notes"),
        ("DeterminationSlip", "remarks"),
        ("Verdict", "reason"),
        ("Comment", "text"),
        ("Photograph", "caption"),
        ("EatingNote", "text"),
        ("Site", "cautions"),
        ("Society", "welcome"),
    } <= names


def test_an_older_word_is_replaced_in_finds_slips_and_verdicts() -> None:
    slip = SlipEntry(name_written="Lactarius", remarks=PRAISE)
    find = make_find(slip=slip, plain={"notes": PRAISE})
    verdict_lay(
        find.pk,
        by=viewer(make_referee()),
        kind="dispute",
        slip_id=find.slips.get().pk,
        reason=PRAISE,
    )
    columns = (
        (Find, "notes_statement"),
        (DeterminationSlip, "remarks_statement"),
        (Verdict, "reason_statement"),
    )
    right = [_stored(model, column) for model, column in columns]
    for model, column in columns:
        _as_an_older_detector_left_it(model, column)

    _read, changed = statements_recompute()

    assert changed == 3
    assert [_stored(model, column) for model, column in columns] == right
    assert all(":praise:" in rows[0] for rows in right)


def test_the_command_may_run_twice() -> None:
    make_find(plain={"notes": PRAISE})
    _as_an_older_detector_left_it(Find, "notes_statement")
    out = StringIO()

    call_command("recompute_statements", stdout=out)
    call_command("recompute_statements", stdout=out)

    first, second = out.getvalue().splitlines()
    assert "1 found to be of an older detector" in first
    assert "0 found to be of an older detector" in second


def test_a_worker_asks_for_it_when_it_starts_and_once() -> None:
    jobs_at_start()
    jobs_at_start()

    assert Job.objects.filter(kind=STATEMENTS_JOB).count() == 1
