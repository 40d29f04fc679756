"""Who gets which place: what is shown, what is filtered by and what is stored must be one thing."""

import itertools
import uuid
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from society.finds.models import Find, Standing
from society.finds.permissions import may_see
from society.finds.queries import (
    exact_condition,
    exact_find_ids,
    place_given,
    places_given,
    site_is_named,
    site_named_condition,
)
from society.finds.services import (
    PlaceEntry,
    SlipEntry,
    find_edit,
    find_withdraw,
    places_recompute,
    secrecy_follow_names,
    slip_add,
)
from society.finds.services.placing import CELLS
from society.members.models import Account
from society.members.permissions import GUEST, Viewer
from society.names.models import Sensitivity
from society.science import blurring
from tests.make import (
    make_account,
    make_entry,
    make_find,
    make_person,
    make_referee,
    make_site,
    make_taxon,
    viewer,
)

pytestmark = pytest.mark.django_db

CATEGORIES = (None, *Sensitivity.values)
# Who gets which step of the degree grid; None: the region's name alone.
TABLE: dict[str, dict[int | None, float | None]] = {
    "guest": {None: 0.01, 4: 0.01, 3: 0.1, 2: 1.0, 1: None},
    "member": {None: 0.001, 4: 0.001, 3: 0.01, 2: 0.1, 1: 1.0},
}


@pytest.fixture
def everybody(ann: Account, ben: Account, keeper: Account) -> dict[str, Viewer]:
    """One viewer of each kind; Ann is the finder, Ben just a member."""
    companion = make_account("Cath Rigg")
    return {
        "guest": GUEST,
        "member": viewer(ben),
        "finder": viewer(ann),
        "companion": viewer(companion),
        "keeper": viewer(keeper),
        "referee of all": viewer(make_referee("Dee Oakes")),
        "referee in scope": viewer(make_referee("Eve Birk", "genus", "Russula")),
        "referee elsewhere": viewer(make_referee("Flo Moor", "genus", "Mycena")),
    }


EXACT = {"finder", "companion", "keeper", "referee of all", "referee in scope"}


class TestThePlaceGiven:
    @pytest.mark.parametrize("category", CATEGORIES)
    def test_each_reader_gets_the_published_step(
        self, ann: Account, everybody: dict[str, Viewer], category: int | None
    ) -> None:
        russula = make_taxon("Russula emetica")
        companion = everybody["companion"].person_id
        find = make_find(ann, taxon=russula, made_secret=category, companion_ids=(companion,))
        for who, reader in everybody.items():
            place = places_given(reader, [find])[find.pk]
            if who in EXACT:
                assert place.is_exact
                assert (place.lat, place.lon, place.uncertainty_m) == (55.2031415, -2.6027182, 20)
                assert place.words.raw == "by the stream"
                continue
            step = TABLE["guest" if who == "guest" else "member"][category]
            assert not place.is_exact
            assert place.resolution_deg == step
            assert place.words.raw == ""
            if step is None:
                assert (place.lat, place.lon, place.region_only) == (None, None, True)
            else:
                assert place.lat is not None
                assert abs(place.lat - 55.2031415) <= step / 2 + 1e-9
                assert round(place.lat / step) * step == pytest.approx(place.lat, abs=1e-9)
                assert place.uncertainty_m is not None
                assert place.uncertainty_m > 20

    def test_what_is_shown_is_what_the_columns_hold(
        self, ann: Account, everybody: dict[str, Viewer]
    ) -> None:
        columns = {step: suffix for suffix, step in CELLS}
        places = [(0, 0), (-1, 1), (552_031_415, -26_027_182), (-899_999_999, 1_799_999_999)]
        places += [(5_000, -5_000), (50_000, -50_000), (500_000, -500_000)]
        for (lat, lon), category in itertools.product(places, CATEGORIES):
            find = make_find(ann, place=PlaceEntry(lat, lon, 5, "map"), made_secret=category)
            for who in ("guest", "member"):
                place = places_given(everybody[who], [find])[find.pk]
                if place.lat is None or place.resolution_deg is None:
                    assert place.region_only
                    continue
                step = round(place.resolution_deg * 10_000_000)
                suffix = columns[step]
                for axis, shown in (("lat", place.lat), ("lon", place.lon)):
                    cell = getattr(find, f"cell_{axis}_{suffix}")
                    assert cell * step == round((shown or 0) * 10_000_000)

    def test_many_places_cost_one_query(
        self, ann: Account, ben: Account, django_assert_num_queries: Any
    ) -> None:
        finds = [make_find(ann) for _ in range(12)]
        reader = viewer(ben)
        with django_assert_num_queries(1):
            places_given(reader, finds)
        with django_assert_num_queries(0):
            places_given(GUEST, finds)


class TestSecrecy:
    def test_the_most_secret_of_names_and_wish_counts(self, ann: Account) -> None:
        for named, wished in itertools.product(CATEGORIES, CATEGORIES):
            taxon = make_taxon(sensitivity=named)
            find = make_find(ann, taxon=taxon, made_secret=wished)
            told = [category for category in (named, wished) if category is not None]
            assert find.secrecy == min(told, default=None)

    def test_a_name_that_no_longer_stands_keeps_the_place_secret(self, ann: Account) -> None:
        rare, common = make_taxon(sensitivity=1), make_taxon()
        find = make_find(ann, taxon=rare)
        slip_add(find, SlipEntry(common.scientific_name, common.pk), by=viewer(ann))
        places_recompute()
        find.refresh_from_db()
        assert find.secrecy == 1

    def test_a_synonym_is_as_secret_as_the_name_it_leads_to(self, ann: Account) -> None:
        accepted = make_taxon(sensitivity=2)
        find = make_find(ann, taxon=make_taxon(accepted=accepted))
        assert find.secrecy == 2

    def test_an_edit_that_makes_it_secret_counts_at_once(self, ann: Account) -> None:
        find = make_find(ann)
        entry = make_entry(ann.person, made_secret=1)
        find_edit(find.pk, entry, base_version=1, by=viewer(ann))
        find.refresh_from_db()
        assert find.secrecy == 1

    def test_a_name_made_sensitive_later_hides_the_places_of_its_finds(
        self, ann: Account, ben: Account
    ) -> None:
        taxon, other = make_taxon(), make_taxon()
        synonym = make_taxon(accepted=taxon)
        finds = [make_find(ann, taxon=row) for row in (taxon, synonym, other)]
        type(taxon).objects.filter(pk=taxon.pk).update(sensitivity=1)
        assert secrecy_follow_names([taxon.pk]) == 2
        for find in finds:
            find.refresh_from_db()
        assert [find.secrecy for find in finds] == [1, 1, None]
        assert places_given(viewer(ben), finds)[finds[0].pk].resolution_deg == 1.0

    def test_a_keeper_who_makes_a_name_sensitive_hides_its_places_in_the_same_breath(
        self, ann: Account, keeper: Account
    ) -> None:
        from society.names.services import taxon_edit

        taxon = make_taxon("Hericium inventum")
        find = make_find(ann, taxon=taxon)
        taxon_edit(taxon.pk, {"sensitivity": 2}, by=viewer(keeper))
        find.refresh_from_db()
        assert find.secrecy == 2


class TestCells:
    def test_an_edit_moves_the_cells(self, ann: Account) -> None:
        find = make_find(ann)
        entry = make_entry(ann.person, place=PlaceEntry(561_234_567, -31_234_567, 5, "map"))
        find_edit(find.pk, entry, base_version=1, by=viewer(ann))
        find.refresh_from_db()
        assert (find.cell_lat_1, find.cell_lat_01, find.cell_lat_001, find.cell_lat_0001) == (
            56,
            561,
            5612,
            56123,
        )
        assert (find.cell_lon_1, find.cell_lon_01, find.cell_lon_001, find.cell_lon_0001) == (
            -3,
            -31,
            -312,
            -3123,
        )

    def test_the_command_proves_them_and_puts_them_right(
        self, ann: Account, capsys: pytest.CaptureFixture[str]
    ) -> None:
        good, moved, bare = (make_find(ann, taxon=make_taxon(sensitivity=3)) for _ in range(3))
        call_command("recompute_places", "--check")
        assert "Every place agrees." in capsys.readouterr().out
        Find.objects.filter(pk=moved.pk).update(cell_lat_01=0)
        Find.objects.filter(pk=bare.pk).update(secrecy=None)
        with pytest.raises(CommandError, match="2 finds"):
            call_command("recompute_places", "--check")
        call_command("recompute_places")
        call_command("recompute_places", "--check")
        bare.refresh_from_db()
        assert bare.secrecy == good.secrecy == 3


class TestWhoSeesAFind:
    def test_the_rule_for_one_equals_the_rule_for_many(
        self, ann: Account, everybody: dict[str, Viewer]
    ) -> None:
        clerk = make_account("Gil Snow")
        everybody["who entered it"] = viewer(clerk)
        for standing, withdrawn in itertools.product(Standing.values, (False, True)):
            find = make_find(clerk, finder_id=ann.person_id)
            if withdrawn:
                find_withdraw(find.pk, by=viewer(ann))
            Find.objects.filter(pk=find.pk).update(standing=standing)
        finds = list(Find.objects.all())
        assert len(finds) == 2 * len(Standing.values)
        for reader in everybody.values():
            seen = set(Find.objects.visible_to(reader).values_list("pk", flat=True))
            assert seen == {find.pk for find in finds if may_see(reader, find)}
        assert Find.objects.visible_to(GUEST).count() == 3
        assert Find.objects.visible_to(everybody["who entered it"]).count() == len(finds)
        assert Find.objects.visible_to(everybody["companion"]).count() == len(finds) / 2

    def test_the_exact_place_for_one_equals_that_for_many(
        self, ann: Account, everybody: dict[str, Viewer]
    ) -> None:
        companion = everybody["companion"].person_id
        finds = [
            make_find(ann, taxon=make_taxon("Russula rosea"), companion_ids=(companion,)),
            make_find(name="Russula from the bog"),
            make_find(taxon=make_taxon("Agaricus novus", accepted=make_taxon("Russula vesca"))),
            make_find(taxon=make_taxon("Mycena rosea")),
        ]
        expected = {
            "guest": [],
            "member": [],
            "finder": [0],
            "companion": [0],
            "keeper": [0, 1, 2, 3],
            "referee of all": [0, 1, 2, 3],
            "referee in scope": [0, 2],
            "referee elsewhere": [3],
        }
        for who, reader in everybody.items():
            ids = exact_find_ids(reader, finds)
            assert ids == {finds[number].pk for number in expected[who]}
            by_condition = Find.objects.filter(exact_condition(reader))
            assert set(by_condition.values_list("pk", flat=True)) == ids


class TestTheSitesName:
    def test_the_rule_for_one_equals_the_condition_for_every_combination(
        self, ann: Account, everybody: dict[str, Viewer]
    ) -> None:
        edges = {
            blurring.smallest_site_m(who, category)
            for who in ("guest", "member")
            for category in CATEGORIES
        } - {None}
        extents = sorted({edge + more for edge in edges if edge for more in (-1, 0)} | {1, 900})
        sites = [
            make_site(openness=openness, extent_m=extent)
            for openness, extent in itertools.product(("open", "kept"), extents)
        ]
        taxon = make_taxon("Russula emetica")
        find = make_find(ann, taxon=taxon)
        slip = find.slips.get()
        # Laid by hand: four hundred postings would take half a minute.
        for number, (site, category) in enumerate(
            itertools.product([*sites, None], CATEGORIES), start=2
        ):
            find.pk, find.uuid, find.number = None, uuid.uuid4(), number
            find.site, find.made_secret, find.secrecy = site, category, category
            find.standing_slip = find.standing_taxon = None
            find.save(force_insert=True)
            slip.pk, slip.uuid, slip.find = None, uuid.uuid4(), find
            slip.save(force_insert=True)
        finds = list(Find.objects.select_related("site"))
        assert len(finds) == (len(sites) + 1) * len(CATEGORIES) + 1
        for who, reader in everybody.items():
            exact = exact_find_ids(reader, finds)
            one_by_one = {
                find.pk for find in finds if site_is_named(reader, find, is_exact=find.pk in exact)
            }
            named = Find.objects.filter(site_named_condition(reader))
            assert set(named.values_list("pk", flat=True)) == one_by_one, who

    def test_a_site_too_small_for_the_readers_cell_is_not_named(
        self, ann: Account, ben: Account
    ) -> None:
        find = make_find(ann, site=make_site(extent_m=900), made_secret=3)
        place = places_given(viewer(ben), [find])[find.pk]
        assert (place.site, place.is_held_back) == (None, True)
        assert places_given(viewer(ann), [find])[find.pk].site == find.site

    def test_a_kept_site_is_named_to_members_only(self, ann: Account, ben: Account) -> None:
        find = make_find(ann, site=make_site(openness="kept"))
        assert places_given(viewer(ben), [find])[find.pk].site == find.site
        assert places_given(GUEST, [find])[find.pk].site is None

    @given(data=st.data())
    @settings(max_examples=30, suppress_health_check=[HealthCheck.function_scoped_fixture])
    def test_naming_a_site_never_tells_more_than_the_cell(
        self, ann: Account, ben: Account, data: st.DataObject
    ) -> None:
        """Whoever is told the site of a sensitive find learns a place no finer than their cell."""
        category = data.draw(st.sampled_from(Sensitivity.values))
        extent = data.draw(st.integers(1, 200_000))
        reader = data.draw(st.sampled_from([GUEST, viewer(ben)]))
        site = make_site(extent_m=extent)
        find = make_find(ann, site=site, made_secret=category)
        place = place_given(reader, find, is_exact=False)
        if place.site is not None:
            assert place.resolution_deg is not None
            cell_m = blurring.cell_diagonal_m(find.lat_e7 or 0, round(place.resolution_deg * 1e7))
            assert extent >= cell_m


def test_a_place_in_words_is_for_those_who_have_the_exact_place(ben: Account) -> None:
    find = make_find(make_account(), place=PlaceEntry(verbatim="third oak behind the gate"))
    for reader in (GUEST, viewer(ben)):
        place = places_given(reader, [find])[find.pk]
        assert (place.words.raw, place.region_only) == ("", True)


def test_a_person_on_paper_has_no_right_to_a_place() -> None:
    walter = make_person("Walter Brierley")
    find = make_find(finder_id=walter.pk)
    assert exact_find_ids(GUEST, [find]) == set()
