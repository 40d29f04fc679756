"""The benchmark runs: on a handful of finds, grown a little. No time is judged here."""

import io

import pytest

from society.finds.models import Find
from society.members.models import Account
from society.names.models import Taxon
from society.review.models import DeskEntry, Verdict
from society.review.services import verdict_lay
from tests.bench import contrast, pages
from tests.bench.growing import grow
from tests.make import make_find, make_referee, make_site, make_society, make_taxon, viewer

pytestmark = pytest.mark.django_db


def _some_finds() -> None:
    make_society(season_start_month=3)
    site, referee = make_site("Hagg Wood"), make_referee("Bea", "family", "Russulaceae")
    taxon = make_taxon("Lactarius deterrimus")
    for _ in range(3):
        find = make_find(taxon=taxon, site=site)
        slip = find.slips.get()
        verdict_lay(find.pk, by=viewer(referee), kind="confirm", slip_id=slip.pk)


def test_growing_copies_finds_with_their_slips_verdicts_and_places_on_the_desk() -> None:
    _some_finds()

    assert grow(10) == 10

    assert Find.objects.count() == 10
    assert Verdict.objects.count() == 10
    assert DeskEntry.objects.count() == 10
    assert set(Find.objects.values_list("standing", flat=True)) == {"confirmed"}
    assert all(find.standing_slip.find_id == find.pk for find in Find.objects.all())


def test_every_measured_page_answers_and_stands_in_the_table() -> None:
    _some_finds()
    assert Account.objects.exists()
    assert Taxon.objects.exists()
    out = io.StringIO()

    pages.report(6, rounds=1, out=out)

    lines = out.getvalue().splitlines()
    assert len(lines) == 2 + len(pages.calls())
    assert all(float(line.split()[-3]) > 0 for line in lines[2:])
    assert all(int(line.split()[-1]) > 0 for line in lines[2:])
    assert Find.objects.count() > 6


def test_the_contrast_is_tried_on_finds_drawn_from_the_accounts_and_loses_no_dangerous_one() -> (
    None
):
    out = io.StringIO()

    contrast.report(4, seed=3, out=out)

    text = out.getvalue()
    for table in ("The right row leads", "Stated support against", "Looks until one stands apart"):
        assert table in text
    assert "rows lost from the table: 0" in text
    assert all(f"\n{way}" in text for way in ("look next", "fixed order", "at random"))
    again = io.StringIO()
    contrast.report(4, seed=3, out=again)
    timeless = [line.rsplit(" ", 1)[0] for line in text.splitlines()]
    assert timeless == [line.rsplit(" ", 1)[0] for line in again.getvalue().splitlines()]
