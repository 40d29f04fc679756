"""Reading places: every usual form, refusals with reasons, and properties that must hold."""

import doctest
import math

import mgrs
import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from society.science import positions
from society.science.positions import (
    Position,
    Refusal,
    RegionBox,
    answers,
    degrees,
    format_british_grid,
    format_irish_grid,
    format_military,
    lettered,
    military,
    projections,
    read_position,
    swapped,
)
from society.science.positions.projections import (
    BRITISH_GRID,
    IRISH_GRID,
    IRISH_SHIFT,
    OSGB36_SHIFT,
    WGS84,
    grid_to_wgs84,
    wgs84_to_grid,
)

SIDES = [1, 10, 100, 1_000, 2_000, 5_000, 10_000, 100_000]
BRITAIN = RegionBox(49.0, -9.0, 61.0, 2.0)


def place(text: str) -> Position:
    answer = read_position(text)
    assert isinstance(answer, Position), answer
    return answer


def refused(text: str) -> str:
    answer = read_position(text)
    assert isinstance(answer, Refusal), answer
    return answer.code


def metres_between(one: Position, lat: float, lon: float) -> float:
    return math.dist(WGS84.to_geocentric(one.lat, one.lon), WGS84.to_geocentric(lat, lon))


@pytest.mark.parametrize(
    "module",
    [positions, answers, degrees, lettered, military, projections],
    ids=lambda m: m.__name__,
)
def test_the_worked_examples_in_the_modules_are_true(module: object) -> None:
    found = doctest.testmod(module)  # type: ignore[arg-type]
    assert found.attempted > 0
    assert found.failed == 0


@pytest.mark.parametrize(
    "text",
    [
        "55.95 -3.295",
        "55.95, -3.295",
        "55.95,-3.295",
        "55.95; -3.295",
        "  55.95   −3.295 ",
        "55.95N 3.295W",
        "55.95 N, 3.295 W",
        "N55.95 W3.295",
        "N 55.95, W 3.295",
        "3.295W 55.95N",
        "n 55.95 w 3.295",
        "55.95° -3.295°",
        "55.95°N, 3.295°W",
        "55.95 north 3.295 west",
        "North 55.95, West 3.295",
        "lat 55.95 lon -3.295",
        "Latitude: 55.95, Longitude: -3.295",
        "lon -3.295 lat 55.95",
        "lat=55.95 long=-3.295",
        "lat 55.95 N lon 3.295 W",
        "55.95, -3.295 (WGS84)",
        "GPS: 55.95, -3.295",
        "55.95N -3.295",
        "55,95 -3,295",
        "55,95; -3,295",
        "55,95, -3,295",
        "55,95°N 3,295°W",
        "55°57'N 3°17.7'W",
        "55° 57' N, 3° 17.7' W",
        "55º57′00″N 003º17′42″W",
        "55°57’0” N 3°17’42” W",
        "55° 57' 0'' N 3° 17' 42'' W",
        "55 57 0 N 3 17 42 W",
        "N 55 57 0 W 3 17 42",
        "55 57 00 -3 17 42",
        "55 57 00, -3 17 42",
        "55 57 -3 17.7",
        "55-57-00N 3-17-42W",
        "55d57m0s N 3d17m42s W",
        "55 deg 57 min N 3 deg 17 min 42 sec W",
        "+5557-00317.7/",
        "+55.95-003.295/",
        "+555700-0031742/",
        "555700N 0031742W",
        "geo:55.95,-3.295",
        "geo:55.95,-3.295,120;crs=wgs84;u=4",
    ],
)
def test_degrees_are_read_in_every_usual_form(text: str) -> None:
    found = place(text)
    assert found.lat == pytest.approx(55.95, abs=1e-9)
    assert found.lon == pytest.approx(-3.295, abs=1e-9)
    assert found.system == "degrees"
    assert found.side_m is None
    assert found.grid_reference is None


def test_a_minus_before_nought_degrees_is_kept() -> None:
    found = place("51 30 0, -0 07 12")
    assert found.lon == pytest.approx(-0.12)
    assert found.lon_e7 == -1_200_000


def test_the_figures_written_say_how_coarse_the_place_is() -> None:
    coarse, fine, minute = place("56, -3"), place("56.00000, -3.00000"), place("56 00 N 3 00 W")
    assert coarse.precision_deg == 1.0
    assert fine.precision_deg == 0.00001
    assert minute.precision_deg == pytest.approx(1 / 60)
    assert coarse.uncertainty_m > minute.uncertainty_m > fine.uncertainty_m == 2
    assert place("56.5, -3.12345").uncertainty_m > 11_000  # the coarser figure governs


def test_a_stated_radius_widens_but_never_narrows() -> None:
    assert place("geo:55.95123,-3.29512;u=35").uncertainty_m == 35
    assert place("geo:55.95,-3.29;u=35").uncertainty_m > 1_000


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "empty"),
        ("   ", "empty"),
        ("x" * 10_000, "too_long"),
        ("by the old oak", "not_understood"),
        ("55.95", "not_understood"),
        ("55 57 12 N", "not_understood"),
        ("30U", "not_understood"),
        ("55.95 - 3.295", "not_understood"),
        ("55.5 30 N 3 0 W", "not_understood"),
        ("55.95, -3.295, 120", "not_understood"),
        ("1 2 3", "not_understood"),
        ("12 Oct 2026", "not_understood"),
        ("TG 514.5 131.2", "not_understood"),
        ("95.1, 190.2", "out_of_range"),
        ("95N 3W", "out_of_range"),
        ("55N 183W", "out_of_range"),
        ("651409, 313177", "out_of_range"),
        ("-122.5, 45.0", "perhaps_swapped"),
        ("55 75 N 3 0 W", "minutes_out_of_range"),
        ("55 57 60 N 3 0 0 W", "minutes_out_of_range"),
        ("-55.95S 3W", "sign_and_letter"),
        ("55.95N 3.295", "hemisphere_missing"),
        ("55.9N 3.2N", "same_axis_twice"),
        ("lat 55.9E lon 3.2", "same_axis_twice"),
        ("NY 123 45", "odd_figures"),
        ("NY 12 3456", "uneven_figures"),
        ("NY 12 34 56", "uneven_figures"),
        ("NY 123456 123456", "too_many_figures"),
        ("NY1", "odd_figures"),
        ("NY 12O 456", "stray_letter"),
        ("NS5612S", "stray_letter"),
        ("NS56O", "unknown_tetrad"),
        ("NS56XX", "unknown_tetrad"),
        ("no", "bare_square"),
        ("so", "bare_square"),
        ("n", "bare_square"),
        ("I 12 34", "unknown_square"),
        ("HE 12 34", "unknown_square"),
        ("30U AA 12 34", "unknown_square"),
        ("61U XC 12 34", "unknown_square"),
        ("30C XC 12 34", "unknown_square"),
        ("30U XC 12 3", "odd_figures"),
    ],
)
def test_what_cannot_be_read_is_refused_with_its_reason(text: str, code: str) -> None:
    assert refused(text) == code


def test_a_refusal_carries_what_a_sentence_needs() -> None:
    assert read_position("-122.5, 45.0") == Refusal("perhaps_swapped", {"lat": 45.0, "lon": -122.5})
    assert read_position("NY 12345") == Refusal("odd_figures", {"figures": 5})
    assert read_position("ZZ 1 1") == Refusal("unknown_square", {"letters": "ZZ"})


def test_swapped_degrees_are_questioned_where_the_region_is_known() -> None:
    assert isinstance(read_position("-3.29, 55.92"), Position)
    answer = read_position("-3.29, 55.92", region_box=BRITAIN)
    assert answer == Refusal("perhaps_swapped", {"lat": 55.92, "lon": -3.29})
    assert isinstance(read_position("55.92, -3.29", region_box=BRITAIN), Position)
    assert isinstance(read_position("10.0, 20.0", region_box=BRITAIN), Position)


def test_a_swap_is_only_offered_where_it_helps() -> None:
    assert swapped(-3.29, 55.92, BRITAIN) == (55.92, -3.29)
    assert swapped(55.92, -3.29, BRITAIN) is None
    assert swapped(10.0, 20.0, BRITAIN) is None
    both = RegionBox(0.0, 0.0, 60.0, 60.0)
    assert swapped(10.0, 20.0, both) is None


@pytest.mark.parametrize(
    ("text", "reference", "side"),
    [
        ("ns 5 6 ", "NS 5 6", 10_000),
        ("NS56", "NS 5 6", 10_000),
        ("ns56s", "NS56S", 2_000),
        ("NS 56 S", "NS56S", 2_000),
        ("NS56ne", "NS56NE", 5_000),
        ("O13E", "O13E", 2_000),
        ("TG/514/131", "TG 514 131", 100),
        ("OS TG 514131", "TG 514 131", 100),
        ("Grid ref: TG 514131", "TG 514 131", 100),
        ("TG 51409 13177.", "TG 51409 13177", 1),
        ("O", "O", 100_000),
        ("TG", "TG", 100_000),
        ("30U XC", "30U XC", 100_000),
        ("30uxc9909", "30U XC 99 09", 1_000),
        ("4q fj 1 6", "04Q FJ 1 6", 10_000),
    ],
)
def test_grid_references_come_back_in_their_usual_spacing(
    text: str, reference: str, side: int
) -> None:
    found = place(text)
    assert (found.grid_reference, found.side_m) == (reference, side)


def test_tetrads_and_quarters_tile_their_ten_kilometre_square() -> None:
    whole = place("NS56")
    for names in (lettered.TETRAD_LETTERS, lettered.QUARTERS):
        centres = [
            wgs84_to_grid(BRITISH_GRID, OSGB36_SHIFT, part.lat, part.lon)
            for part in (place(f"NS56{name}") for name in names)
        ]
        assert len({(round(e), round(n)) for e, n in centres}) == len(names)
        middle = tuple(sum(axis) / len(names) for axis in zip(*centres, strict=True))
        expected = wgs84_to_grid(BRITISH_GRID, OSGB36_SHIFT, whole.lat, whole.lon)
        assert math.dist(middle, expected) < 0.01


# --- properties -------------------------------------------------------------------------


@given(
    east=st.floats(0, 699_999, allow_subnormal=False),
    north=st.floats(0, 1_299_999, allow_subnormal=False),
    side=st.sampled_from(SIDES),
)
def test_a_british_reference_reads_back_as_itself_and_covers_its_point(
    east: float, north: float, side: int
) -> None:
    lat, lon = grid_to_wgs84(BRITISH_GRID, OSGB36_SHIFT, east, north)
    reference = format_british_grid(lat, lon, side)  # type: ignore[arg-type]
    assume(reference is not None)  # a millimetre over the grid's edge
    assert reference is not None
    found = place(reference)
    assert found.side_m == side
    assert found.grid_reference == reference
    assert metres_between(found, lat, lon) <= found.uncertainty_m
    assert format_british_grid(found.lat, found.lon, side) == reference  # type: ignore[arg-type]


@given(
    east=st.floats(1, 499_999, allow_subnormal=False),
    north=st.floats(1, 499_999, allow_subnormal=False),
    side=st.sampled_from(SIDES),
)
def test_an_irish_reference_reads_back_as_itself_and_covers_its_point(
    east: float, north: float, side: int
) -> None:
    lat, lon = grid_to_wgs84(IRISH_GRID, IRISH_SHIFT, east, north)
    reference = format_irish_grid(lat, lon, side)  # type: ignore[arg-type]
    assume(reference is not None)
    assert reference is not None
    found = place(reference)
    assert found.grid_reference == reference
    assert found.system == "irish_grid"
    assert metres_between(found, lat, lon) <= found.uncertainty_m


@given(
    lat=st.floats(-79.9, 83.9, allow_subnormal=False),
    lon=st.floats(-179.9, 179.9, allow_subnormal=False),
    side=st.sampled_from([1, 10, 100, 1_000, 10_000]),
)
@example(lat=60.39, lon=5.32, side=1)
@example(lat=72.0, lon=42.0, side=10_000)
@example(lat=0.0, lon=0.0, side=10_000)
@example(lat=-0.00001, lon=6.0, side=10_000)
def test_a_military_reference_reads_back_as_itself_and_covers_its_point(
    lat: float, lon: float, side: int
) -> None:
    reference = format_military(lat, lon, side)  # type: ignore[arg-type]
    assert reference is not None
    found = place(reference)
    assert found.grid_reference == reference
    # the drawing's scale is at most 0.1 % off the ground
    assert metres_between(found, lat, lon) <= found.uncertainty_m * 1.001 + 0.01


@given(
    lat=st.floats(-79.9, 83.9, allow_subnormal=False),
    lon=st.floats(-179.9, 179.9, allow_subnormal=False),
)
def test_a_military_reference_lies_where_a_general_library_puts_it(lat: float, lon: float) -> None:
    reference = format_military(lat, lon, 1)
    assert reference is not None
    south_west = mgrs.MGRS().toLatLon(reference.replace(" ", ""))
    found = place(reference)
    assert metres_between(found, *south_west) < 1.5


@given(
    lat=st.integers(-900_000, 900_000),
    lon=st.integers(-1_800_000, 1_800_000),
)
def test_decimal_degrees_read_back_exactly(lat: int, lon: int) -> None:
    found = place(f"{lat / 10_000:.4f}, {lon / 10_000:.4f}")
    assert (found.lat_e7, found.lon_e7) == (lat * 1_000, lon * 1_000)


@given(
    lat=st.integers(0, 90 * 3600),
    lon=st.integers(0, 180 * 3600),
    south=st.booleans(),
    west=st.booleans(),
)
def test_degrees_minutes_and_seconds_read_back_exactly(
    lat: int, lon: int, south: bool, west: bool
) -> None:
    def written(total: int, letter: str) -> str:
        return f"{total // 3600}°{total // 60 % 60:02d}'{total % 60:02d}\"{letter}"

    text = f"{written(lat, 'S' if south else 'N')} {written(lon, 'W' if west else 'E')}"
    found = place(text)
    assert found.lat == (-1 if south else 1) * lat / 3600
    assert found.lon == (-1 if west else 1) * lon / 3600


@given(st.text(max_size=60))
def test_any_text_whatever_gets_an_answer(text: str) -> None:
    answer = read_position(text)
    if isinstance(answer, Position):
        assert -90 <= answer.lat <= 90
        assert -180 <= answer.lon <= 180
        assert answer.uncertainty_m >= 1


@given(st.text(alphabet="0123456789 .,;-+°'\"NSEWnsewTGOXCUlaton:/", min_size=1, max_size=30))
def test_text_that_is_nearly_a_place_gets_an_answer(text: str) -> None:
    answer = read_position(text)
    if isinstance(answer, Position):
        assert -90 <= answer.lat <= 90
        assert -180 <= answer.lon <= 180
        if answer.grid_reference is not None:
            assert read_position(answer.grid_reference) == answer


@given(st.floats(-90, 90), st.floats(-180, 180))
def test_a_swap_undoes_itself(lat: float, lon: float) -> None:
    other = swapped(lat, lon, BRITAIN)
    if other is not None:
        assert (other[1], other[0]) == (lat, lon)
        assert BRITAIN.holds(*other)
        assert not BRITAIN.holds(lat, lon)
