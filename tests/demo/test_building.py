"""The demo society is built into an empty logbook, as far as a day, and only once."""

import datetime as dt
import stat

import pytest
from django.contrib.auth import authenticate
from django.core.files.storage import default_storage
from django.core.management import CommandError, call_command

from society.core.errors import Refused
from society.core.models import Change
from society.demo.rules import demo_plan, up_to
from society.demo.services import demo_build
from society.finds.models import Find, ObservedCharacter, Photograph
from society.names.services import accounts_load, checklist_load
from society.places.models import Site
from society.review.models import DeskEntry
from society.review.services import standing_recompute_all

pytestmark = pytest.mark.django_db
UNTIL = dt.date(2024, 6, 15)


@pytest.fixture
def report(db):
    checklist_load()
    accounts_load()
    return demo_build(today=UNTIL)


def test_what_was_planned_up_to_the_day_is_there_and_stands_by_the_rule(report, settings) -> None:
    planned = up_to(demo_plan(), UNTIL)

    assert Find.objects.count() == len(planned.finds) == report.finds > 20
    assert Site.objects.count() == 15
    assert Find.objects.filter(date_start__gt=UNTIL).count() == 0
    assert standing_recompute_all(repair=False) == []
    assert {"confirmed", "from_the_books"} <= set(Find.objects.values_list("standing", flat=True))

    # Days of history and of waiting are those planned, not the day of the building.
    assert (
        Change.objects.filter(
            object_kind="finds.find", at__date__gt=UNTIL + dt.timedelta(days=60)
        ).count()
        == 0
    )
    assert all(
        entry.since.date() <= UNTIL + dt.timedelta(days=60)
        for entry in DeskEntry.objects.filter(waits="referee")
    )

    # Characters were written down, none of them a taste, and where the find allowed it.
    written = ObservedCharacter.objects.select_related("character", "find")
    assert len(written) > 20
    assert not [row for row in written if row.character.never_asked]
    assert not [row for row in written if row.character.cuts and row.find.base == "not_seen"]

    # Each drawing is stored, and says that it is one.
    photographs = Photograph.objects.all()
    assert photographs.count() > 50
    assert all(photograph.is_drawn for photograph in photographs)
    keys = {key for photograph in photographs for key in photograph.renditions.values()}
    assert all(default_storage.exists(key) for key in keys)

    # Every generated password signs its person in, and the file is its owner's alone.
    name, _roles, address, password = report.signins[0]
    account = authenticate(username=address, password=password)
    assert account is not None
    assert account.person.display_name == name
    assert len({row[3] for row in report.signins}) == len(report.signins)
    file = settings.DATA_DIR / "demo_passwords.txt"
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert password in file.read_text(encoding="utf-8")

    # A second build changes nothing.
    with pytest.raises(Refused):
        demo_build(today=UNTIL)
    with pytest.raises(CommandError):
        call_command("build_demo")
    assert Find.objects.count() == len(planned.finds)
