"""Boundaries: inside or out, middle, extent and distance, also against general libraries."""

import doctest
import math

import pyproj
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from society.science import polygons
from society.science.polygons import (
    BadShape,
    SitePlace,
    SiteSuggestion,
    between_m,
    centroid,
    contains,
    distance_m,
    extent_m,
    shape_fault,
    site_suggestions,
)

Ring = list[list[float]]


def box(west: float, south: float, east: float, north: float) -> Ring:
    return [[west, south], [east, south], [east, north], [west, north], [west, south]]


def polygon(*rings: Ring) -> dict[str, object]:
    return {"type": "Polygon", "coordinates": list(rings)}


SQUARE = polygon(box(-3.0, 56.0, -2.98, 56.01))
RINGED = polygon(box(-3.0, 56.0, -2.9, 56.1), box(-2.98, 56.02, -2.92, 56.08))
TWO = {
    "type": "MultiPolygon",
    "coordinates": [[box(-3.0, 56.0, -2.99, 56.01)], [box(-2.0, 56.0, -1.98, 56.01)]],
}
BENT = polygon(
    [[0.0, 50.0], [0.03, 50.0], [0.03, 50.01], [0.01, 50.01], [0.01, 50.03], [0.0, 50.03], [0, 50]]
)


def test_the_worked_examples_in_the_module_are_true() -> None:
    found = doctest.testmod(polygons)
    assert found.attempted > 0
    assert found.failed == 0


@pytest.mark.parametrize(
    ("shape", "lat", "lon", "inside"),
    [
        (SQUARE, 56.005, -2.99, True),
        (SQUARE, 56.0, -2.99, True),  # on an edge
        (SQUARE, 56.01, -2.98, True),  # on a corner
        (SQUARE, 56.0101, -2.99, False),
        (SQUARE, 56.005, -2.97, False),
        (RINGED, 56.01, -2.95, True),
        (RINGED, 56.05, -2.95, False),  # in the clearing
        (RINGED, 56.05, -2.98, True),  # on the clearing's edge
        (TWO, 56.005, -2.995, True),
        (TWO, 56.005, -1.99, True),
        (TWO, 56.005, -2.5, False),
        (BENT, 50.02, 0.02, False),
        (BENT, 50.02, 0.005, True),
    ],
)
def test_a_point_is_inside_or_it_is_not(
    shape: object, lat: float, lon: float, inside: bool
) -> None:
    assert contains(shape, lat, lon) is inside
    assert (distance_m(shape, lat, lon) == 0.0) is inside


def test_bare_coordinates_and_features_are_read_like_geometries() -> None:
    for shape in (
        SQUARE["coordinates"],
        [SQUARE["coordinates"]],
        {"type": "Feature", "properties": {}, "geometry": SQUARE},
    ):
        assert centroid(shape) == centroid(SQUARE)
        assert extent_m(shape) == extent_m(SQUARE)


def test_the_middle_of_a_site_in_pieces_lies_nearer_the_larger() -> None:
    lat, lon = centroid(TWO)
    assert lat == pytest.approx(56.005)
    assert lon == pytest.approx((-2.995 * 1 + -1.99 * 2) / 3)


def test_a_clearing_in_the_middle_leaves_the_middle_where_it_is() -> None:
    assert centroid(RINGED) == pytest.approx((56.05, -2.95))


def test_the_extent_of_a_site_in_pieces_is_that_of_its_largest_piece() -> None:
    assert extent_m(TWO) == pytest.approx(extent_m(polygon(box(-2.0, 56.0, -1.98, 56.01))))
    assert extent_m(TWO) < 2_000


@pytest.mark.parametrize(
    ("shape", "code"),
    [
        (None, "not_a_polygon"),
        ("wood", "not_a_polygon"),
        ([], "not_a_polygon"),
        ({}, "not_a_polygon"),
        ({"type": "Point", "coordinates": [-3.0, 56.0]}, "not_a_polygon"),
        ({"type": "Polygon", "coordinates": TWO["coordinates"]}, "not_a_polygon"),
        ({"type": "MultiPolygon", "coordinates": SQUARE["coordinates"]}, "not_a_polygon"),
        ({"type": "Polygon", "coordinates": [[]]}, "not_a_polygon"),
        ({"type": "Polygon"}, "not_a_polygon"),
        ({"type": "Feature", "geometry": None}, "not_a_polygon"),
        ([[[[-3.0, 56.0]]], []], "ring_too_short"),
        (polygon([[-3.0, 56.0], [-2.9, 56.0], [-3.0, 56.0]]), "ring_too_short"),
        (polygon(box(-3.0, 56.0, -2.9, 56.1)[:-1]), "ring_open"),
        (polygon([["a", 1.0]] * 4), "bad_position"),  # type: ignore[list-item]
        (polygon([[True, 1.0]] * 4), "bad_position"),
        (polygon([[1.0]] * 4), "bad_position"),
        (polygon([[1.0, math.nan]] * 4), "out_of_range"),
        (polygon([[1.0, math.inf]] * 4), "out_of_range"),
        (polygon(box(56.0, 93.0, 57.0, 94.0)), "out_of_range"),
        (polygon([[-3.0, 56.0], [-2.9, 56.0], [-2.8, 56.0], [-3.0, 56.0]]), "no_area"),
        (polygon([[0.0, 0.0]] * 20_001), "too_many_positions"),
    ],
)
def test_a_boundary_that_cannot_be_used_says_why(shape: object, code: str) -> None:
    assert shape_fault(shape) == code
    with pytest.raises(BadShape) as caught:
        centroid(shape)
    assert caught.value.code == code
    assert isinstance(caught.value, ValueError)


def test_a_good_boundary_has_no_fault() -> None:
    for shape in (SQUARE, RINGED, TWO, BENT):
        assert shape_fault(shape) is None


def test_sites_that_hold_the_point_come_first_and_the_smallest_leads() -> None:
    wood = SitePlace("wood", 56.05, -2.95, 12_000, polygon(box(-3.0, 56.0, -2.9, 56.1)))
    glade = SitePlace("glade", 56.005, -2.995, 900, polygon(box(-3.0, 56.0, -2.99, 56.01)))
    near = SitePlace("near", 56.005, -3.01, 500, polygon(box(-3.012, 56.0, -3.002, 56.01)))
    far = SitePlace("far", 57.0, -3.0, 500, None)
    undrawn = SitePlace("undrawn", 56.005, -2.996, 400, None)
    spoiled = SitePlace("spoiled", 56.005, -2.996, 100, {"type": "Polygon"})
    found = site_suggestions(56.005, -2.997, [far, near, undrawn, spoiled, wood, glade])
    assert [suggestion.key for suggestion in found] == [
        "glade",
        "wood",
        "undrawn",
        "spoiled",
        "near",
    ]
    assert found[0] == SiteSuggestion("glade", inside=True, distance_m=0.0)
    assert [suggestion.inside for suggestion in found] == [True, True, False, False, False]
    assert found[-1].distance_m == pytest.approx(0.005 * 62_384, rel=0.001)


def test_a_vague_point_reaches_farther() -> None:
    site = SitePlace("site", 56.0, -3.0, 0, None)
    assert site_suggestions(56.01, -3.0, [site]) == []
    found = site_suggestions(56.01, -3.0, [site], uncertainty_m=700)
    assert [suggestion.key for suggestion in found] == ["site"]
    assert site_suggestions(56.01, -3.0, [site] * 9, uncertainty_m=700, most=2) == found * 2


# --- properties, against general libraries ------------------------------------------------

SMALL = st.floats(-0.05, 0.05, allow_subnormal=False)
STARS = st.tuples(
    st.floats(40, 62), st.floats(-10, 10), st.lists(st.floats(0.002, 0.05), min_size=3, max_size=12)
)


def star(lat: float, lon: float, reaches: list[float]) -> dict[str, object]:
    """A shape that does not cross itself: corners at rising angles round a middle."""
    turn = 2 * math.pi / len(reaches)
    ring = [
        [lon + reach * math.cos(i * turn), lat + reach * math.sin(i * turn)]
        for i, reach in enumerate(reaches)
    ]
    return polygon([*ring, ring[0]])


@given(STARS, SMALL, SMALL)
def test_inside_agrees_with_a_general_library(
    made: tuple[float, float, list[float]], up: float, along: float
) -> None:
    shape, lat, lon = star(*made), made[0] + up, made[1] + along
    general = shapely.from_geojson(_json(shape))
    assume(general.exterior.distance(shapely.Point(lon, lat)) > 1e-9)
    assert contains(shape, lat, lon) == general.contains(shapely.Point(lon, lat))


@given(STARS)
def test_the_middle_agrees_with_a_general_library(made: tuple[float, float, list[float]]) -> None:
    shape = star(*made)
    general = shapely.from_geojson(_json(shape)).centroid
    assert centroid(shape) == pytest.approx((general.y, general.x), abs=1e-9)


@given(STARS)
def test_the_extent_is_no_less_than_any_way_across(made: tuple[float, float, list[float]]) -> None:
    shape = star(*made)
    ring = shape["coordinates"][0]  # type: ignore[index]
    longest = max(pyproj.Geod(ellps="WGS84").inv(*one, *other)[2] for one in ring for other in ring)
    assert extent_m(shape) >= longest * 0.998
    assert extent_m(shape) <= longest * math.sqrt(2) * 1.002


@given(st.floats(-70, 70), st.floats(-170, 170), SMALL, SMALL)
def test_metres_between_points_agree_with_a_general_library(
    lat: float, lon: float, up: float, along: float
) -> None:
    _, _, true = pyproj.Geod(ellps="WGS84").inv(lon, lat, lon + along, lat + up)
    assert between_m(lat, lon, lat + up, lon + along) == pytest.approx(true, rel=0.001, abs=0.01)


@given(STARS, SMALL, SMALL)
def test_no_corner_is_nearer_than_the_distance_to_the_edge(
    made: tuple[float, float, list[float]], up: float, along: float
) -> None:
    shape, lat, lon = star(*made), made[0] + up * 3, made[1] + along * 3
    away = distance_m(shape, lat, lon)
    ring = shape["coordinates"][0]  # type: ignore[index]
    corners = [between_m(lat, lon, y, x) for x, y in ring]
    assert away <= min(corners) * 1.005 + 0.01
    assert (away == 0.0) == contains(shape, lat, lon)


def _json(shape: dict[str, object]) -> str:
    return str(shape).replace("'", '"')
