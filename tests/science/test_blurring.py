"""Who sees a place: the whole table, and what must hold for every place on earth."""

import doctest
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from society.science import blurring
from society.science.blurring import (
    E7,
    RESOLUTIONS,
    GivenPlace,
    Reader,
    cell,
    effective_category,
    generalisation_codes,
    given_place,
    resolution_for,
    site_shown,
    smallest_site_m,
)
from society.science.positions import read_position
from society.science.positions.answers import Position
from society.science.positions.projections import metres_per_degree

LATS = st.integers(-90 * E7, 90 * E7)
LONS = st.integers(-180 * E7, 180 * E7)
READERS = st.sampled_from(["guest", "member", "exact"])
CATEGORIES = st.sampled_from([None, 4, 3, 2, 1])

TABLE: list[tuple[Reader, int | None, int | str | None]] = [
    ("guest", None, 100_000),
    ("guest", 4, 100_000),
    ("guest", 3, 1_000_000),
    ("guest", 2, 10_000_000),
    ("guest", 1, None),
    ("member", None, 10_000),
    ("member", 4, 10_000),
    ("member", 3, 100_000),
    ("member", 2, 1_000_000),
    ("member", 1, 10_000_000),
    ("exact", None, "exact"),
    ("exact", 4, "exact"),
    ("exact", 3, "exact"),
    ("exact", 2, "exact"),
    ("exact", 1, "exact"),
]


def test_the_worked_examples_in_the_module_are_true() -> None:
    found = doctest.testmod(blurring)
    assert found.attempted > 0
    assert found.failed == 0


@pytest.mark.parametrize(("reader", "category", "step"), TABLE)
def test_every_reader_gets_the_step_of_the_table(
    reader: Reader, category: int | None, step: int | str | None
) -> None:
    assert resolution_for(reader, category) == step


def test_a_category_that_does_not_exist_is_an_error_not_a_guess() -> None:
    for category in (0, 5, -1):
        with pytest.raises(ValueError, match="category"):
            resolution_for("guest", category)
        with pytest.raises(ValueError, match="category"):
            effective_category(None, category)


def test_a_place_off_the_earth_is_an_error() -> None:
    with pytest.raises(ValueError, match="earth"):
        given_place(90 * E7 + 1, 0, 10, "exact", None)


def test_halves_go_north_and_east() -> None:
    assert cell(50_000, 100_000) == 1
    assert cell(49_999, 100_000) == 0
    assert cell(-50_000, 100_000) == 0
    assert cell(-50_001, 100_000) == -1


def test_the_exact_reader_gets_what_is_held() -> None:
    place = given_place(559_247_827, -32_947_922, 12, "exact", 1)
    assert place == GivenPlace(559_247_827, -32_947_922, None, 12, region_only=False, exact=True)
    assert (place.lat, place.lon, place.resolution_deg) == (55.9247827, -3.2947922, None)


def test_an_extreme_place_tells_a_guest_nothing_but_the_region() -> None:
    place = given_place(559_247_827, -32_947_922, 12, "guest", 1)
    assert place == GivenPlace(None, None, None, None, region_only=True, exact=False)
    assert (place.lat, place.lon, place.resolution_deg) == (None, None, None)


def test_a_radius_that_is_not_held_is_not_made_up() -> None:
    assert given_place(559_247_827, -32_947_922, None, "guest", None).uncertainty_m is None


@pytest.mark.parametrize(
    ("of_name", "made", "expected"),
    [
        (None, None, None),
        (3, None, 3),
        (None, 2, 2),
        (3, 2, 2),
        (2, 3, 2),
        (1, 4, 1),
        (4, 4, 4),
    ],
)
def test_the_more_secret_category_wins(
    of_name: int | None, made: int | None, expected: int | None
) -> None:
    assert effective_category(of_name, made) == expected


@pytest.mark.parametrize(
    ("reader", "category", "extent", "shown"),
    [
        ("guest", None, None, True),
        ("guest", None, 10.0, True),
        ("guest", 4, 1_569.0, False),
        ("guest", 4, 1_570.0, True),
        ("guest", 3, 5_000.0, False),
        ("guest", 3, 15_691.0, True),
        ("guest", 2, 20_000.0, False),
        ("guest", 1, 1e9, False),
        ("guest", 4, None, False),
        ("member", None, 10.0, True),
        ("member", 4, 156.0, False),
        ("member", 4, 157.0, True),
        ("member", 3, 800.0, False),
        ("member", 3, 1_570.0, True),
        ("member", 1, 20_000.0, False),
        ("exact", 1, None, True),
    ],
)
def test_a_sensitive_find_stands_under_its_site_only_where_the_cell_is_no_coarser(
    reader: Reader, category: int | None, extent: float | None, shown: bool
) -> None:
    assert site_shown(reader, category, extent) is shown


def test_what_was_done_and_why_is_told_in_codes() -> None:
    held = (559_247_827, -32_947_922, 12)
    told = generalisation_codes(
        given_place(*held, "member", 3), name_category=3, made_secret_category=None, held_deg=1e-5
    )
    assert (told.how, told.given_deg, told.held_deg) == ("rounded_on_degree_grid", 0.01, 1e-5)
    assert (told.withheld, told.reason) == ("exact_place", "sensitive_name")
    told = generalisation_codes(
        given_place(*held, "member", 2), name_category=3, made_secret_category=2
    )
    assert (told.given_deg, told.reason) == (0.1, "made_secret")
    told = generalisation_codes(
        given_place(*held, "guest", None), name_category=None, made_secret_category=None
    )
    assert (told.withheld, told.reason) == ("exact_place", "rule_for_all")
    told = generalisation_codes(
        given_place(*held, "guest", 1), name_category=1, made_secret_category=1, held_deg=1e-5
    )
    assert (told.how, told.held_deg, told.withheld) == ("region_only", None, "coordinates")
    told = generalisation_codes(
        given_place(*held, "exact", 1), name_category=1, made_secret_category=None, held_deg=1e-5
    )
    assert (told.how, told.withheld, told.reason) == ("as_held", None, None)


# --- properties -------------------------------------------------------------------------


@given(LATS, LONS, st.integers(0, 200_000), READERS, CATEGORIES)
def test_nobody_is_given_more_than_their_grid_holds(
    lat: int, lon: int, radius: int, reader: Reader, category: int | None
) -> None:
    place = given_place(lat, lon, radius, reader, category)
    step = resolution_for(reader, category)
    if step == "exact":
        assert (place.lat_e7, place.lon_e7, place.uncertainty_m) == (lat, lon, radius)
        return
    if step is None:
        assert place.region_only
        assert place.lat_e7 is None
        assert place.lon_e7 is None
        assert place.uncertainty_m is None
        return
    assert place.lat_e7 is not None
    assert place.lon_e7 is not None
    assert place.lat_e7 % step == 0
    assert place.lon_e7 % step == 0
    assert abs(place.lat_e7 - lat) * 2 <= step
    assert abs(place.lon_e7 - lon) * 2 <= step
    assert abs(place.lat_e7) <= 90 * E7
    assert abs(place.lon_e7) <= 180 * E7


@given(LATS, LONS, st.integers(0, 5_000), st.sampled_from(["guest", "member"]), CATEGORIES)
def test_all_places_of_one_cell_look_the_same(
    lat: int, lon: int, radius: int, reader: Reader, category: int | None
) -> None:
    place = given_place(lat, lon, radius, reader, category)
    if place.lat_e7 is None or place.lon_e7 is None or place.step_e7 is None:
        return
    # the cell's middle and its south-west corner give just what the place itself gave
    for away in (0, -(place.step_e7 // 2)):
        beside_lat = max(-90 * E7, place.lat_e7 + away)
        beside_lon = max(-180 * E7, place.lon_e7 + away)
        assert given_place(beside_lat, beside_lon, radius, reader, category) == place


@given(LATS, LONS, st.integers(1, 5_000), st.sampled_from(["guest", "member"]), CATEGORIES)
def test_the_radius_given_out_covers_the_true_place(
    lat: int, lon: int, radius: int, reader: Reader, category: int | None
) -> None:
    place = given_place(lat, lon, radius, reader, category)
    if place.lat_e7 is None or place.lon_e7 is None or place.uncertainty_m is None:
        return
    nearer = min(abs(lat), abs(place.lat_e7)) / E7  # where a degree of longitude is longest
    farther = max(abs(lat), abs(place.lat_e7)) / E7
    north = metres_per_degree(farther)[0] * abs(place.lat_e7 - lat) / E7
    east = metres_per_degree(nearer)[1] * abs(place.lon_e7 - lon) / E7
    assert math.hypot(north, east) + radius <= place.uncertainty_m


@given(st.integers(-180 * E7, 180 * E7), st.sampled_from(RESOLUTIONS))
def test_rounding_twice_is_rounding_once(e7: int, step: int) -> None:
    once = cell(e7, step) * step
    assert cell(once, step) * step == once
    assert abs(2 * (once - e7)) <= step


@given(
    st.integers(-180 * E7, 180 * E7), st.integers(-180 * E7, 180 * E7), st.sampled_from(RESOLUTIONS)
)
def test_rounding_keeps_the_order_of_places(one: int, other: int, step: int) -> None:
    low, high = sorted((one, other))
    assert cell(low, step) <= cell(high, step)


@given(CATEGORIES, CATEGORIES, READERS)
def test_making_a_find_secret_never_gives_more(
    of_name: int | None, made: int | None, reader: Reader
) -> None:
    def coarseness(category: int | None) -> float:
        step = resolution_for(reader, category)
        if step == "exact":
            return 0.0
        return math.inf if step is None else float(step)

    both = effective_category(of_name, made)
    assert coarseness(both) >= max(coarseness(of_name), coarseness(made))
    if reader != "exact":
        assert coarseness(both) >= 10_000


@given(CATEGORIES)
def test_a_guest_is_never_given_more_than_a_member(category: int | None) -> None:
    guest, member = resolution_for("guest", category), resolution_for("member", category)
    assert isinstance(member, int)
    assert guest is None or (isinstance(guest, int) and guest >= member)


@given(READERS, CATEGORIES, st.none() | st.floats(0, 1e6))
def test_the_filter_for_many_finds_and_the_question_for_one_agree(
    reader: Reader, category: int | None, extent: float | None
) -> None:
    smallest = smallest_site_m(reader, category)
    by_filter = smallest is not None and (
        smallest == 0 or (extent is not None and extent >= smallest)
    )
    assert site_shown(reader, category, extent) == by_filter


@given(st.integers(-89_99, 89_99), st.integers(-179_99, 179_99))
def test_the_radius_of_typed_degrees_betrays_no_more_than_a_whole_degree(
    lat: int, lon: int
) -> None:
    typed = read_position(f"{lat / 100:.2f}, {lon / 100:.2f}")
    middle = read_position(f"{round(lat / 100)}.00, {lon / 100:.2f}")
    assert isinstance(typed, Position)
    assert isinstance(middle, Position)
    assert typed.uncertainty_m == middle.uncertainty_m
