"""Coarsening of places against the published handbooks and plain arithmetic.

C2020 = Chapman (2020), Current Best Practices for Generalizing Sensitive Species Occurrence
Data, doi 10.15468/doc-5jp4-5g10; CW2020 = Chapman & Wieczorek (2020), Georeferencing Best
Practices, doi 10.15468/doc-gg7h-s853; DwC = Darwin Core terms. VERIFIED: read in the source's
own text. COMPUTED: WGS 84 arithmetic or arithmetic alone.
"""

import math
from fractions import Fraction

import pytest

from society.science.blurring import (
    RESOLUTIONS,
    cell,
    cell_diagonal_m,
    effective_category,
    given_place,
    resolution_for,
)
from society.science.positions import Position, read_position, square_uncertainty
from society.science.positions.answers import degrees_uncertainty
from society.science.positions.projections import metres_per_degree

PUBLIC_STEPS = {
    # C2020 tables 5-7, VERIFIED: what the public gets, in degrees
    1: 1.0,  # or no coordinates at all
    2: 0.1,
    3: 0.01,
    4: 0.001,
}


@pytest.mark.parametrize("category", [1, 2, 3, 4])
def test_members_get_the_published_step(category: int) -> None:
    step = resolution_for("member", category)
    assert isinstance(step, int)
    assert step / 1e7 == PUBLIC_STEPS[category]


@pytest.mark.parametrize("category", [1, 2, 3, 4])
def test_guests_get_no_finer_than_the_published_step(category: int) -> None:
    step = resolution_for("guest", category)
    if category == 1:
        assert step is None  # C2020: no coordinates, or presence in a region, VERIFIED
    else:
        assert isinstance(step, int)
        assert step / 1e7 >= PUBLIC_STEPS[category]


def test_places_are_rounded_never_shifted_by_chance() -> None:
    # C2020 rules S1 and S2, VERIFIED: generalise on a decimal degree grid, do not randomise
    answers = {given_place(559_247_827, -32_947_922, 30, "guest", 3) for _ in range(50)}
    assert len(answers) == 1
    assert next(iter(answers)).resolution_deg == 0.1


ROUNDED = [
    # arithmetic on OSTN15 test points, COMPUTED: input, 0.1, 0.01, 0.001 degree
    ("55.92478266", "55.9", "55.92", "55.925"),
    ("-3.29479219", "-3.3", "-3.29", "-3.295"),
    ("51.48936565", "51.5", "51.49", "51.489"),
    ("-0.11992557", "-0.1", "-0.12", "-0.120"),
    ("57.81351838", "57.8", "57.81", "57.814"),
    ("-8.57854456", "-8.6", "-8.58", "-8.579"),
]


@pytest.mark.parametrize(("held", "tenth", "hundredth", "thousandth"), ROUNDED)
def test_rounding_gives_the_listed_values_and_a_second_rounding_changes_nothing(
    held: str, tenth: str, hundredth: str, thousandth: str
) -> None:
    e7 = round(Fraction(held) * 10**7)
    wanted = (tenth, hundredth, thousandth)
    for step, expected in zip((1_000_000, 100_000, 10_000), wanted, strict=True):
        rounded = cell(e7, step) * step
        assert rounded == Fraction(expected) * 10**7
        assert cell(rounded, step) * step == rounded


LATITUDES = (0, 30, 60, 85)
PRECISIONS = [
    # CW2020, metres for a full unit of precision in both axes, VERIFIED, allow 1 m: the table
    # says it rounds up, but five of its cells lie 1 m under its own formula
    (Fraction(1), (156904, 146962, 124605, 112109)),
    (Fraction(1, 10), (15691, 14697, 12461, 11211)),
    (Fraction(1, 100), (1570, 1470, 1246, 1121)),
    (Fraction(1, 1000), (157, 147, 125, 112)),
    (Fraction(1, 10_000), (16, 15, 13, 12)),
    (Fraction(1, 100_000), (2, 2, 2, 2)),
    (Fraction(1, 60), (2615, 2450, 2077, 1869)),
    (Fraction(1, 600), (262, 245, 208, 187)),
    (Fraction(1, 3600), (44, 41, 35, 32)),
    (Fraction(1, 36_000), (5, 5, 4, 4)),
]


@pytest.mark.parametrize(("precision", "metres"), PRECISIONS)
def test_the_published_table_of_precisions(
    precision: Fraction, metres: tuple[int, int, int, int]
) -> None:
    for lat, printed in zip(LATITUDES, metres, strict=True):
        found = degrees_uncertainty(lat, precision, precision)
        assert printed <= found <= printed + 1  # never under the printed figure
        step = precision * 10**7
        if step in RESOLUTIONS:
            assert cell_diagonal_m(lat * 10**7, int(step)) == found


def test_only_the_five_known_cells_differ_from_the_printed_table() -> None:
    # CW2020, surprise (a), COMPUTED
    differing = {
        (precision, lat)
        for precision, metres in PRECISIONS
        for lat, printed in zip(LATITUDES, metres, strict=True)
        if degrees_uncertainty(lat, precision, precision) != printed
    }
    assert differing == {
        (Fraction(1), 30),
        (Fraction(1, 100), 60),
        (Fraction(1, 100), 85),
        (Fraction(1, 1000), 85),
        (Fraction(1, 60), 0),
    }


@pytest.mark.parametrize(
    ("lat", "north", "east", "tenth", "hundredth", "thousandth"),
    [
        # WGS 84 arithmetic, COMPUTED: metres per degree, whole diagonals rounded up
        (50.0, 111229.1, 71695.8, 13234, 1324, 133),
        (51.5, 111257.8, 69440.5, 13115, 1312, 132),
        (53.0, 111286.3, 67137.2, 12997, 1300, 130),
        (55.0, 111323.5, 63994.1, 12841, 1285, 129),
        (56.0, 111341.8, 62392.8, 12764, 1277, 128),
        (57.0, 111359.9, 60772.2, 12687, 1269, 127),
        (60.0, 111412.3, 55800.0, 12461, 1247, 125),
    ],
)
def test_cells_at_the_latitudes_of_use(
    lat: float, north: float, east: float, tenth: int, hundredth: int, thousandth: int
) -> None:
    found = metres_per_degree(lat)
    assert found == pytest.approx((north, east), abs=0.06)
    e7 = round(lat * 1e7)
    diagonals = tuple(cell_diagonal_m(e7, step) for step in (1_000_000, 100_000, 10_000))
    assert diagonals == (tenth, hundredth, thousandth)


def test_radius_held_and_rounding_part_are_added() -> None:
    # Section 4's example, COMPUTED: 56 N, held 30 m, category 3: 30 + 1277 = 1307
    place = given_place(560_000_000, -32_947_922, 30, "member", 3)
    assert place.uncertainty_m == 1307
    assert place.resolution_deg == 0.01


SQUARES = [
    # CW2020 (VERIFIED: centre and farthest corner; 1 km gives 0.707 km), DwC (VERIFIED: 71 m for
    # 100 m); the rest arithmetic, COMPUTED: side, half diagonal, rounded up
    (1, 0.707, 1),
    (10, 7.071, 8),
    (100, 70.711, 71),
    (1_000, 707.107, 708),
    (2_000, 1414.214, 1415),
    (5_000, 3535.534, 3536),
    (10_000, 7071.068, 7072),
    (100_000, 70710.678, 70711),
]


@pytest.mark.parametrize(("side", "half_diagonal", "rounded_up"), SQUARES)
def test_the_radius_of_a_square(side: int, half_diagonal: float, rounded_up: int) -> None:
    assert side * math.sqrt(2) / 2 == pytest.approx(half_diagonal, abs=0.0006)
    assert square_uncertainty(side, shifted=False) == rounded_up
    assert square_uncertainty(side, shifted=True) == rounded_up + 5


def test_a_hundred_metre_square_read_with_the_helmert_shift_has_76_metres() -> None:
    # Section 5's last line, COMPUTED
    place = read_position("TG 514 131")
    assert isinstance(place, Position)
    assert place.uncertainty_m == 76


def test_precision_is_kept_apart_from_uncertainty() -> None:
    # CW2020 section 6, VERIFIED: never store one as the other
    place = read_position("55.92, -3.29")
    assert isinstance(place, Position)
    assert (place.precision_deg, place.uncertainty_m) == (0.01, 1277)


def test_categories_count_down_to_the_most_extreme() -> None:
    # C2020 tables 5-7, VERIFIED: 1 is extreme, 4 is low
    assert effective_category(4, 1) == 1
    assert effective_category(1, 4) == 1
