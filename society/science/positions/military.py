"""References of the Military Grid Reference System (MGRS) between 80 S and 84 N.

In plain words: the earth is cut into sixty zones of six degrees (wider and narrower
ones west of Norway and over Svalbard) and bands of eight degrees of latitude lettered
C to X; inside a zone two letters name a 100 km square of the UTM drawing, and figures
name a smaller square in it by its south-west corner, cut off and never rounded. The
first of the two letters runs through the alphabet once in three zones, the second
repeats every 2000 km, starting at A in odd zones and at F in even ones. Letters skip I
and O. The datum is WGS 84, so no shift is needed and none is allowed for.

Source: public descriptions of the system (NGA, formerly DMA, TM 8358.1). The polar
caps, which have a drawing of their own, are not read.

>>> read_military("4qfj 123 678").grid_reference
'04Q FJ 123 678'
>>> format_military(60.39, 5.32, 100)
'32V KN 972 005'
"""

from __future__ import annotations

import re

from society.science.positions.answers import Position, Refusal, square_uncertainty
from society.science.positions.lettered import SQUARE_M, Side, spaced_reference, split_figures
from society.science.positions.projections import TransverseMercator, utm

BANDS = "CDEFGHJKLMNPQRSTUVWX"
COLUMNS = ("STUVWXYZ", "ABCDEFGH", "JKLMNPQR")  # by zone modulo three
ROWS = "ABCDEFGHJKLMNPQRSTUV"
ROWS_REPEAT_M = 2_000_000
LOWEST_LAT, HIGHEST_LAT = -80.0, 84.0

_MILITARY = re.compile(
    r"([0-9]{1,2}) ?([C-HJ-NP-X]) ?([A-Z]) ?([A-Z])[ ,/-]*((?:[0-9][0-9 ,/-]*)?)", re.IGNORECASE
)


def looks_military(text: str) -> bool:
    """Whether `text` has the outward shape of an MGRS reference."""
    return _MILITARY.fullmatch(text) is not None


def zone_at(lat: float, lon: float) -> int:
    """UTM zone of a point in degrees, with the exceptions of Norway and Svalbard."""
    if 56 <= lat < 64 and 3 <= lon < 12:
        return 32
    if lat >= 72 and 0 <= lon < 42:
        return 31 + 2 * int((lon + 3) // 12)
    return int((lon + 180) // 6) % 60 + 1


def _zone_span(zone: int, band: str) -> tuple[float, float] | None:
    """West and east edge of a zone in a band, degrees; None where the zone does not exist."""
    west = 6.0 * zone - 186.0
    if band == "X" and 31 <= zone <= 37:
        spans = {31: (0.0, 9.0), 33: (9.0, 21.0), 35: (21.0, 33.0), 37: (33.0, 42.0)}
        return spans.get(zone)
    if band == "V" and zone in (31, 32):
        return (0.0, 3.0) if zone == 31 else (3.0, 12.0)
    return west, west + 6.0


def format_military(lat: float, lon: float, side_m: Side) -> str | None:
    """MGRS reference of the square of `side_m` metres round a WGS 84 point; None at the poles.

    2 km and 5 km squares have no name in this system and give the 10 km square.
    """
    if not (LOWEST_LAT <= lat <= HIGHEST_LAT and -180 <= lon <= 180):
        return None
    zone = zone_at(lat, lon)
    band = BANDS[min(int((lat + 80) // 8), 19)]
    east, north = utm(zone, south=lat < 0).forward(lat, lon)
    rows_up = int(north // SQUARE_M) + (0 if zone % 2 else 5)
    square = COLUMNS[zone % 3][int(east // SQUARE_M) - 1] + ROWS[rows_up % 20]
    keep = 6 - len(str(side_m)) if side_m not in (2_000, 5_000) else 1
    east_figures, north_figures = (f"{int(m % SQUARE_M):05d}"[:keep] for m in (east, north))
    return spaced_reference(f"{zone:02d}{band} {square}", east_figures, north_figures)


def _corners_meet(
    grid: TransverseMercator,
    east: float,
    north: float,
    side: int,
    band: str,
    west: float,
    span: float,
) -> bool:
    """Whether a square of the drawing overlaps its zone and its band of latitude."""
    corners = [grid.inverse(east + a * side, north + b * side) for a in (0, 1) for b in (0, 1)]
    lats = [lat for lat, _ in corners]
    lons = [lon for _, lon in corners]
    low = -80.0 + 8.0 * BANDS.index(band)
    high = low + (12.0 if band == "X" else 8.0)
    slack = 1e-6  # a point on an edge belongs to both sides
    return (
        max(lats) >= low - slack
        and min(lats) <= high + slack
        and max(lons) >= west - slack
        and min(lons) <= west + span + slack
    )


def _place_square(
    zone: int, band: str, column: str, row: str, figures: tuple[str, str]
) -> tuple[TransverseMercator, float, float, int] | None:
    """The drawing, the south-west corner in its metres and the side; None if no such square."""
    span = _zone_span(zone, band)
    if span is None or column not in COLUMNS[zone % 3] or row not in ROWS:
        return None
    grid = utm(zone, south=band < "N")
    side = 10 ** (5 - len(figures[0]))
    east = (COLUMNS[zone % 3].index(column) + 1) * SQUARE_M + int((figures[0] or "0").ljust(5, "0"))
    rows_up = (ROWS.index(row) - (0 if zone % 2 else 5)) % 20
    low_north = rows_up * SQUARE_M + int((figures[1] or "0").ljust(5, "0"))
    for repeat in range(5):
        north = low_north + repeat * ROWS_REPEAT_M
        if _corners_meet(grid, east, north, side, band, span[0], span[1] - span[0]):
            return grid, east, north, side
    return None


def read_military(text: str) -> Position | Refusal:
    """An MGRS reference of any precision as a Position, or why not."""
    found = _MILITARY.fullmatch(text)
    if found is None:
        return Refusal("not_understood")
    zone, band = int(found[1]), found[2].upper()
    column, row = found[3].upper(), found[4].upper()
    named = f"{zone:02d}{band} {column}{row}"
    if not 1 <= zone <= 60:
        return Refusal("unknown_square", {"letters": named})
    figures = split_figures(found[5])
    if isinstance(figures, Refusal):
        return figures
    placed = _place_square(zone, band, column, row, figures)
    if placed is None:
        return Refusal("unknown_square", {"letters": named})
    grid, east, north, side = placed
    lat, lon = grid.inverse(east + side / 2, north + side / 2)
    return Position(
        lat=lat,
        lon=(lon + 180.0) % 360.0 - 180.0,
        side_m=side,
        uncertainty_m=square_uncertainty(side, shifted=False),
        system="mgrs",
        grid_reference=spaced_reference(named, *figures),
    )
