"""Boundaries of sites: whether a point lies inside, the middle, the extent, the way to the edge.

In plain words: a boundary is a GeoJSON Polygon or MultiPolygon, longitude before
latitude, rings closed, holes after the outer ring. A point is inside when a line from it
eastward crosses the edges an odd number of times; a point on an edge is inside. Metres
are measured on a plane laid at the shape's own latitude, with the lengths of a degree on
WGS 84: right to about one part in a thousand for anything the size of a parish. Shapes
across the 180th meridian or over a pole are not provided for.

The middle is the centre of gravity of the area, and may lie outside a bent wood. The
extent is the diagonal of the box round the shape; of a site in several pieces it is that
of its largest piece, since the gaps between them hide nobody.

Sources: RFC 7946 (GeoJSON); the even-odd rule and the formulas for a polygon's area and
centre of gravity are textbook geometry; metres per degree as in `positions`.

>>> wood = {
...     "type": "Polygon",
...     "coordinates": [[[-3.0, 56.0], [-2.98, 56.0], [-2.98, 56.01], [-3.0, 56.01], [-3.0, 56.0]]],
... }
>>> contains(wood, 56.005, -2.99), contains(wood, 56.02, -2.99)
(True, False)
>>> [round(degrees, 4) for degrees in centroid(wood)], round(extent_m(wood))
([56.005, -2.99], 1672)
>>> shape_fault({"type": "Polygon", "coordinates": [[[-3.0, 56.0], [-2.98, 56.0]]]})
'ring_too_short'
"""

from __future__ import annotations

import math
from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from society.science.positions.projections import metres_per_degree

Point = tuple[float, float]
"""Longitude and latitude in degrees, in GeoJSON's order."""
Ring = list[Point]
Part = list[Ring]
"""One polygon: its outer ring, then its holes."""

ShapeCode = Literal[
    "not_a_polygon",
    "ring_too_short",
    "ring_open",
    "bad_position",
    "out_of_range",
    "no_area",
    "too_many_positions",
]

MOST_POSITIONS = 20_000
SMALLEST_AREA_M2 = 1.0


class BadShape(ValueError):
    """A boundary that cannot be used; `code` says why."""

    def __init__(self, code: ShapeCode) -> None:
        super().__init__(code)
        self.code = code


@dataclass(frozen=True)
class SitePlace:
    """What is known of where a site lies: its middle, its extent in metres, its boundary if any."""

    key: Hashable
    lat: float
    lon: float
    extent_m: float = 0.0
    shape: object | None = None


@dataclass(frozen=True)
class SiteSuggestion:
    """A site that a point may belong to; `distance_m` is 0 inside its boundary."""

    key: Hashable
    inside: bool
    distance_m: float


def _position(value: object) -> Point:
    if not isinstance(value, (list, tuple)) or len(value) not in (2, 3):
        raise BadShape("bad_position")
    lon, lat = value[0], value[1]
    for number in (lon, lat):
        if isinstance(number, bool) or not isinstance(number, (int, float)):
            raise BadShape("bad_position")
    if not (abs(lon) <= 180 and abs(lat) <= 90):  # also false for what is not a number
        raise BadShape("out_of_range")
    return float(lon), float(lat)


def _ring(value: object) -> Ring:
    if not isinstance(value, (list, tuple)):
        raise BadShape("not_a_polygon")
    if len(value) > MOST_POSITIONS:
        raise BadShape("too_many_positions")
    ring = [_position(position) for position in value]
    if len(ring) < 4:
        raise BadShape("ring_too_short")
    if ring[0] != ring[-1]:
        raise BadShape("ring_open")
    return ring


def _depth(value: object) -> int:
    """How many lists stand round the first number."""
    depth = 0
    while isinstance(value, (list, tuple)) and value and depth < 5:
        value, depth = value[0], depth + 1
    return depth


def _coordinates(shape: object) -> list[object]:
    """Coordinates of the polygons in a geometry, a Feature, or bare coordinates."""
    if isinstance(shape, Mapping) and shape.get("type") == "Feature":
        shape = shape.get("geometry")
    wanted = {3, 4}
    if isinstance(shape, Mapping):
        wanted = {{"Polygon": 3, "MultiPolygon": 4}.get(str(shape.get("type")), 0)}
        shape = shape.get("coordinates")
    depth = _depth(shape)
    if not isinstance(shape, (list, tuple)) or depth not in wanted:
        raise BadShape("not_a_polygon")
    return [shape] if depth == 3 else list(shape)


def parts_of(shape: object) -> list[Part]:
    """The polygons of a GeoJSON geometry, a Feature, or bare coordinates of either kind.

    Raises BadShape (a ValueError) with a code.
    """
    read: list[Part] = []
    for part in _coordinates(shape):
        if not isinstance(part, (list, tuple)) or not part:
            raise BadShape("not_a_polygon")
        read.append([_ring(ring) for ring in part])
    if sum(len(ring) for part in read for ring in part) > MOST_POSITIONS:
        raise BadShape("too_many_positions")
    if any(_moments(part)[0] < SMALLEST_AREA_M2 for part in read):
        raise BadShape("no_area")
    return read


def shape_fault(shape: object) -> ShapeCode | None:
    """Why a boundary cannot be used, or None where it can."""
    try:
        parts_of(shape)
    except BadShape as fault:
        return fault.code
    return None


def _moments(part: Part) -> tuple[float, float, float]:
    """Area in square metres, and area times longitude and latitude in degrees; holes taken off."""
    area = by_lon = by_lat = 0.0
    lon0, lat0 = part[0][0]
    north, east = metres_per_degree(lat0)
    for index, ring in enumerate(part):
        twice = lon_sum = lat_sum = 0.0
        # Counted from the first corner, since differences of large numbers lose figures.
        corners = [(lon - lon0, lat - lat0) for lon, lat in ring]
        for (x1, y1), (x2, y2) in pairwise(corners):
            cross = x1 * y2 - x2 * y1
            twice += cross
            lon_sum += (x1 + x2) * cross
            lat_sum += (y1 + y2) * cross
        way = (1.0 if index == 0 else -1.0) * math.copysign(1.0, twice) * north * east
        area += way * twice / 2
        by_lon += way * (lon_sum / 6 + lon0 * twice / 2)
        by_lat += way * (lat_sum / 6 + lat0 * twice / 2)
    return area, by_lon, by_lat


def centroid(shape: object) -> tuple[float, float]:
    """Latitude and longitude of the centre of gravity. Raises BadShape."""
    moments = [_moments(part) for part in parts_of(shape)]
    area = sum(moment[0] for moment in moments)
    return sum(moment[2] for moment in moments) / area, sum(moment[1] for moment in moments) / area


def extent_m(shape: object) -> float:
    """Diagonal in metres of the box round the largest piece. Raises BadShape."""
    return max(_diagonal(part[0]) for part in parts_of(shape))


def _diagonal(ring: Ring) -> float:
    lons, lats = [lon for lon, _ in ring], [lat for _, lat in ring]
    north, east = metres_per_degree((min(lats) + max(lats)) / 2)
    return math.hypot(north * (max(lats) - min(lats)), east * (max(lons) - min(lons)))


def _on_edge(lat: float, lon: float, one: Point, other: Point) -> bool:
    (x1, y1), (x2, y2) = one, other
    if not (min(x1, x2) <= lon <= max(x1, x2) and min(y1, y2) <= lat <= max(y1, y2)):
        return False
    return (x2 - x1) * (lat - y1) == (lon - x1) * (y2 - y1)


def _crossings(lat: float, lon: float, ring: Ring) -> int:
    """Edges met by a line from the point eastward."""
    met = 0
    for (x1, y1), (x2, y2) in pairwise(ring):
        if (y1 > lat) != (y2 > lat) and lon < x1 + (lat - y1) / (y2 - y1) * (x2 - x1):
            met += 1
    return met


def _inside(part: Part, lat: float, lon: float) -> bool:
    for ring in part:
        if any(_on_edge(lat, lon, *edge) for edge in pairwise(ring)):
            return True
    return sum(_crossings(lat, lon, ring) for ring in part) % 2 == 1


def contains(shape: object, lat: float, lon: float) -> bool:
    """Whether a point in degrees lies in the shape or on its edge. Raises BadShape."""
    return any(_inside(part, lat, lon) for part in parts_of(shape))


def _to_segment(x1: float, y1: float, x2: float, y2: float) -> float:
    """Distance from the origin to a segment, in the unit of its ends."""
    dx, dy = x2 - x1, y2 - y1
    length2 = dx * dx + dy * dy
    along = 0.0 if length2 == 0 else max(0.0, min(1.0, -(x1 * dx + y1 * dy) / length2))
    return math.hypot(x1 + along * dx, y1 + along * dy)


def distance_m(shape: object, lat: float, lon: float) -> float:
    """Metres from a point to the nearest edge of the shape, 0 inside. Raises BadShape."""
    parts = parts_of(shape)
    if any(_inside(part, lat, lon) for part in parts):
        return 0.0
    north, east = metres_per_degree(lat)
    nearest = math.inf
    for part in parts:
        for ring in part:
            flat = [((x - lon) * east, (y - lat) * north) for x, y in ring]
            for one, other in pairwise(flat):
                nearest = min(nearest, _to_segment(*one, *other))
    return nearest


def between_m(lat: float, lon: float, other_lat: float, other_lon: float) -> float:
    """Metres between two points in degrees, on a plane at their middle latitude."""
    north, east = metres_per_degree((lat + other_lat) / 2)
    return math.hypot(north * (lat - other_lat), east * (lon - other_lon))


def site_suggestions(
    lat: float,
    lon: float,
    sites: Iterable[SitePlace],
    *,
    uncertainty_m: float = 0.0,
    within_m: float = 500.0,
    most: int = 5,
) -> list[SiteSuggestion]:
    """Sites that a point may belong to, likeliest first.

    Sites whose boundary holds the point come first, the smallest of them leading; then those
    within `within_m` and the point's own radius, nearest first. A site without a boundary
    counts as a circle of its extent round its middle, and never as holding the point. A
    boundary that cannot be used is left aside in favour of the middle.
    """
    found: list[tuple[tuple[bool, float, float], SiteSuggestion]] = []
    for site in sites:
        away = max(0.0, between_m(lat, lon, site.lat, site.lon) - site.extent_m / 2)
        inside = False
        if site.shape is not None and shape_fault(site.shape) is None:
            away = distance_m(site.shape, lat, lon)
            inside = away == 0.0
        if inside or away <= within_m + uncertainty_m:
            order = (not inside, away, site.extent_m)
            found.append((order, SiteSuggestion(site.key, inside, away)))
    found.sort(key=lambda pair: pair[0])
    return [suggestion for _, suggestion in found[:most]]
