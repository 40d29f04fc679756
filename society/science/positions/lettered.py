"""British and Irish grid references: letters, figures, tetrads and quarters.

In plain words: letters name a 100 km square, then as many figures for the easting as
for the northing name a smaller square inside it by its south-west corner: none, one,
two, three, four or five figures each for 100 km, 10 km, 1 km, 100 m, 10 m, 1 m.
Figures are cut off, never rounded. A 10 km square may be followed by a letter for one
of its 25 tetrads (2 km; letters run up each column from the south-west, O left out:
the second row from the north reads D I N T Y) or by NE, NW, SE, SW for a quarter of it
(5 km). The letter I is not used for squares. Great Britain has two letters: the first
for 500 km, the second for 100 km inside it, A in the north-west; Ireland has one.

Sources: Ordnance Survey, "A guide to coordinate systems in Great Britain"; the Irish
grid's published lettering; public accounts of tetrads. Great Britain's grid as used is
700 km wide and 1300 km high; a square outside that is refused.

>>> read_lettered("ns56s").grid_reference
'NS56S'
>>> read_lettered("TG 514 131").side_m
100
>>> read_lettered("NY 12345").code
'odd_figures'
"""

from __future__ import annotations

import re
from typing import Literal

from society.science.positions.answers import Position, Refusal, square_uncertainty
from society.science.positions.projections import (
    BRITISH_GRID,
    IRISH_GRID,
    IRISH_SHIFT,
    OSGB36_SHIFT,
    grid_to_wgs84,
    wgs84_to_grid,
)

SQUARE_LETTERS = "ABCDEFGHJKLMNOPQRSTUVWXYZ"
TETRAD_LETTERS = "ABCDEFGHIJKLMNPQRSTUVWXYZ"
QUARTERS = {"SW": (0, 0), "SE": (5_000, 0), "NW": (0, 5_000), "NE": (5_000, 5_000)}
SQUARE_M = 100_000
BRITISH_WIDTH_M, BRITISH_HEIGHT_M = 700_000, 1_300_000

_LETTERED = re.compile(r"([A-Z]{1,2})[ /,:-]*((?:[0-9][0-9 ,/:-]*)?)([A-Z]{0,2})")
_MIXED = re.compile(r"[A-Z]{1,2}[ /,:-]*[0-9][0-9A-Z ]*")


def looks_lettered(text: str) -> bool:
    """Whether upper-case `text` has the outward shape of a lettered reference."""
    return bool(_LETTERED.fullmatch(text) or _MIXED.fullmatch(text))


def square_corner(letters: str) -> tuple[int, int] | None:
    """South-west corner in metres of a lettered 100 km square; None where there is none.

    >>> square_corner("TG"), square_corner("G"), square_corner("IY")
    ((600000, 300000), (100000, 300000), None)
    """
    if not letters or any(letter not in SQUARE_LETTERS for letter in letters):
        return None
    down, across = divmod(SQUARE_LETTERS.index(letters[-1]), 5)
    if len(letters) == 1:
        return across * SQUARE_M, (4 - down) * SQUARE_M
    far_down, far_across = divmod(SQUARE_LETTERS.index(letters[0]), 5)
    east = (far_across - 2) * 5 * SQUARE_M + across * SQUARE_M
    north = (3 - far_down) * 5 * SQUARE_M + (4 - down) * SQUARE_M
    if 0 <= east < BRITISH_WIDTH_M and 0 <= north < BRITISH_HEIGHT_M:
        return east, north
    return None


def british_letters(east: float, north: float) -> str | None:
    """Letters of the British 100 km square that holds a point in metres, None off the grid."""
    if not (0 <= east < BRITISH_WIDTH_M and 0 <= north < BRITISH_HEIGHT_M):
        return None
    across, up = int(east // SQUARE_M), int(north // SQUARE_M)
    first = (3 - up // 5) * 5 + across // 5 + 2
    second = (4 - up % 5) * 5 + across % 5
    return SQUARE_LETTERS[first] + SQUARE_LETTERS[second]


def irish_letters(east: float, north: float) -> str | None:
    """Letter of the Irish 100 km square that holds a point in metres, None off the grid."""
    if not (0 <= east < 5 * SQUARE_M and 0 <= north < 5 * SQUARE_M):
        return None
    return SQUARE_LETTERS[(4 - int(north // SQUARE_M)) * 5 + int(east // SQUARE_M)]


def tetrad_letter(east: float, north: float) -> str:
    """Letter of the tetrad that holds a point in metres.

    >>> tetrad_letter(256340.925, 664697.269)
    'S'
    """
    return TETRAD_LETTERS[int(east % 10_000 // 2_000) * 5 + int(north % 10_000 // 2_000)]


def spaced_reference(letters: str, east_figures: str, north_figures: str, suffix: str = "") -> str:
    """A reference in its usual spacing: 'TG 514 131', tetrads and quarters closed up: 'NS56S'."""
    if suffix:
        return f"{letters}{east_figures}{north_figures}{suffix}"
    return " ".join(part for part in (letters, east_figures, north_figures) if part)


def reference_at(letters: str, east: float, north: float, side_m: int) -> str:
    """Reference of the square of `side_m` that holds a point in metres, cut, never rounded."""
    figures = {100_000: 0, 10_000: 1, 5_000: 1, 2_000: 1, 1_000: 2, 100: 3, 10: 4, 1: 5}[side_m]
    east_figures = f"{int(east % SQUARE_M):05d}"[:figures]
    north_figures = f"{int(north % SQUARE_M):05d}"[:figures]
    suffix = ""
    if side_m == 2_000:
        suffix = tetrad_letter(east, north)
    elif side_m == 5_000:
        suffix = ("N" if north % 10_000 >= 5_000 else "S") + (
            "E" if east % 10_000 >= 5_000 else "W"
        )
    return spaced_reference(letters, east_figures, north_figures, suffix)


def split_figures(text: str) -> tuple[str, str] | Refusal:
    """Figures of the easting and of the northing from the figures of a reference, or why not."""
    groups = re.findall(r"[0-9]+", text)
    joined = "".join(groups)
    if len(joined) % 2:
        return Refusal("odd_figures", {"figures": len(joined)})
    if len(joined) > 10:
        return Refusal("too_many_figures", {"figures": len(joined)})
    if len(groups) > 2 or (len(groups) == 2 and len(groups[0]) != len(groups[1])):
        return Refusal("uneven_figures", {"groups": " ".join(groups)})
    half = len(joined) // 2
    return joined[:half], joined[half:]


def _inner_square(east_figures: str, suffix: str) -> tuple[int, int, int] | Refusal:
    """Side of the square named, and how far a suffix moves its corner east and north."""
    if not suffix:
        return 10 ** (5 - len(east_figures)), 0, 0
    if len(east_figures) != 1:
        return Refusal("stray_letter", {"letter": suffix})
    if suffix in QUARTERS:
        return 5_000, *QUARTERS[suffix]
    if len(suffix) == 1 and suffix in TETRAD_LETTERS:
        across, up = divmod(TETRAD_LETTERS.index(suffix), 5)
        return 2_000, across * 2_000, up * 2_000
    return Refusal("unknown_tetrad", {"letter": suffix})


def read_lettered(text: str) -> Position | Refusal:
    """A British or Irish grid reference of any precision, as a Position, or why not.

    Letters alone are read only in capitals, since 'no' and 'so' are words.
    """
    upper = text.upper()
    found = _LETTERED.fullmatch(upper)
    if found is None:
        if _MIXED.fullmatch(upper):
            inner = re.search(r"[0-9 ]([A-Z])", upper)
            return Refusal("stray_letter", {"letter": inner[1] if inner else ""})
        return Refusal("not_understood")
    letters, middle, suffix = found.groups()
    if not middle and suffix:
        return Refusal("not_understood")
    figures = split_figures(middle)
    corner = square_corner(letters)
    if corner is None:
        return Refusal("unknown_square", {"letters": letters})
    if isinstance(figures, Refusal):
        return figures
    if not middle and letters not in text:
        return Refusal("bare_square", {"letters": letters})
    inner_square = _inner_square(figures[0], suffix)
    if isinstance(inner_square, Refusal):
        return inner_square
    side, aside, above = inner_square
    east, north = (
        base + int((part or "0").ljust(5, "0")) + shift + side / 2
        for base, part, shift in zip(corner, figures, (aside, above), strict=True)
    )
    british = len(letters) == 2
    grid, shift_by = (BRITISH_GRID, OSGB36_SHIFT) if british else (IRISH_GRID, IRISH_SHIFT)
    lat, lon = grid_to_wgs84(grid, shift_by, east, north)
    return Position(
        lat=lat,
        lon=lon,
        side_m=side,
        uncertainty_m=square_uncertainty(side, shifted=True),
        system="british_grid" if british else "irish_grid",
        grid_reference=spaced_reference(letters, *figures, suffix),
    )


Side = Literal[100_000, 10_000, 5_000, 2_000, 1_000, 100, 10, 1]


def format_british_grid(lat: float, lon: float, side_m: Side) -> str | None:
    """British reference of the square of `side_m` metres round a WGS 84 point; None off the grid.

    >>> format_british_grid(55.85399953, -4.29649016, 2_000)
    'NS56S'
    """
    east, north = wgs84_to_grid(BRITISH_GRID, OSGB36_SHIFT, lat, lon)
    letters = british_letters(east, north)
    return None if letters is None else reference_at(letters, east, north, side_m)


def format_irish_grid(lat: float, lon: float, side_m: Side) -> str | None:
    """Irish reference of the square of `side_m` metres round a WGS 84 point; None off the grid."""
    east, north = wgs84_to_grid(IRISH_GRID, IRISH_SHIFT, lat, lon)
    letters = irish_letters(east, north)
    return None if letters is None else reference_at(letters, east, north, side_m)
