"""Places as people write them, read into one point with a radius, or refused with a reason.

In plain words: `read_position` takes one line and tries, in this order, a lettered
grid reference (British or Irish, 100 km to 1 m, tetrads and quarters), an MGRS
reference, and degrees (decimal, minutes, seconds). The answer is the centre of the
square that was named and a radius that reaches its farthest corner; degrees are given
the diagonal of the cell they are written to. Nothing is guessed: what could mean two
things is refused with a code. Each part states its source; the whole is good to 5 m in
Great Britain, which is what a seven-parameter shift costs beside the survey's own grid
of shifts, and those 5 m are in the radius.

Sources: see `projections`, `lettered`, `military`, `degrees`; the point-radius method
is from Chapman & Wieczorek (2020), Georeferencing Best Practices.

>>> place = read_position("tg 514 131")
>>> place.grid_reference, place.side_m, place.uncertainty_m
('TG 514 131', 100, 76)
>>> round(place.lat, 4), round(place.lon, 4)
(52.6577, 1.7166)
>>> read_position("NY 12 3456").code
'uneven_figures'
>>> read_position("95.1, 190.2").code
'out_of_range'
"""

from __future__ import annotations

import re
import unicodedata
from typing import NamedTuple

from society.science.positions.answers import (
    Position,
    Refusal,
    RefusalCode,
    System,
    square_uncertainty,
)
from society.science.positions.degrees import read_degrees
from society.science.positions.lettered import (
    Side,
    format_british_grid,
    format_irish_grid,
    looks_lettered,
    read_lettered,
    square_corner,
)
from society.science.positions.military import format_military, looks_military, read_military
from society.science.positions.projections import metres_per_degree

__all__ = [
    "Position",
    "Refusal",
    "RefusalCode",
    "RegionBox",
    "Side",
    "System",
    "format_british_grid",
    "format_irish_grid",
    "format_military",
    "metres_per_degree",
    "read_position",
    "square_corner",
    "square_uncertainty",
    "swapped",
]

LONGEST_TEXT = 200

_PLAIN = str.maketrans(
    {
        **dict.fromkeys("−–—‒‐‑﹣－", "-"),
        **dict.fromkeys("º˚∘", "°"),
        **dict.fromkeys("′’‘´`ʹ", "'"),
        **dict.fromkeys("″”“„ʺ", '"'),
    }
)
_LABEL = re.compile(
    r"(?:(?:os|british|irish|national)\s+)?(?:grid(?:\s*ref(?:erence)?)?|ngr|gr|mgrs|gps|wgs\s?84)"
    r"(?:\s*[:=.]\s*|\s+)|os(?:gb)?\s+(?=[a-z]{2})",
    re.IGNORECASE,
)
_DMS_LETTERS = re.compile(
    r"([0-9]+) ?d ?([0-9]+(?:\.[0-9]+)?) ?m(?: ?([0-9]+(?:\.[0-9]+)?) ?s)?", re.IGNORECASE
)
_DATUM = re.compile(r"\s*\(?\bWGS[ -]?(?:19)?84\b\)?\s*$", re.IGNORECASE)


class RegionBox(NamedTuple):
    """Edges of a region in degrees; it may not lie across the 180th meridian."""

    south: float
    west: float
    north: float
    east: float

    def holds(self, lat: float, lon: float) -> bool:
        """Whether a point in degrees lies in the box, edges included."""
        return self.south <= lat <= self.north and self.west <= lon <= self.east


def swapped(lat: float, lon: float, region_box: RegionBox) -> tuple[float, float] | None:
    """Latitude and longitude the other way round, where only so they lie in the region.

    None when the point lies in the box as given, or the swap does not help.

    >>> swapped(-3.29, 55.92, RegionBox(49.0, -9.0, 61.0, 2.0))
    (55.92, -3.29)
    """
    if region_box.holds(lat, lon) or not region_box.holds(lon, lat):
        return None
    return lon, lat


def _plain(text: str) -> str:
    """Text with one kind of dash and mark, single blanks, and no label or datum round it."""
    text = unicodedata.normalize("NFKC", text.translate(_PLAIN)).translate(_PLAIN)
    text = re.sub(r"\s+", " ", text).strip().replace("''", '"')
    text = _DATUM.sub("", _LABEL.sub("", text, count=1) if _LABEL.match(text) else text)
    return text.strip(" .;,")


def _marked(text: str) -> str:
    """Words for degrees, minutes and seconds turned into marks; not for lettered references."""
    text = _DMS_LETTERS.sub(lambda m: f"{m[1]}°{m[2]}'" + (f'{m[3]}"' if m[3] else ""), text)
    text = re.sub(r"(?<=[0-9])\s*(?:degrees?|deg\.?|d(?![a-z]))", "°", text, flags=re.IGNORECASE)
    text = re.sub(r"(?<=[0-9])\s*(?:minutes?|min\.?)", "'", text, flags=re.IGNORECASE)
    return re.sub(r"(?<=[0-9])\s*(?:seconds?|sec\.?)", '"', text, flags=re.IGNORECASE)


def read_position(text: str, *, region_box: RegionBox | None = None) -> Position | Refusal:
    """Read one line as a place; the centre of what was named, on WGS 84, or why not.

    With `region_box`, degrees that lie in the region only when swapped are refused with
    'perhaps_swapped' and both values, for the writer to decide.
    """
    if len(text) > LONGEST_TEXT:
        return Refusal("too_long", {"characters": len(text), "longest": LONGEST_TEXT})
    plain = _plain(text)
    if not plain:
        return Refusal("empty")
    if looks_military(plain):
        return read_military(plain)
    lettered = read_lettered(plain)
    if isinstance(lettered, Position):
        return lettered
    degrees = read_degrees(_marked(plain))
    if degrees is None:
        return lettered if looks_lettered(plain.upper()) else Refusal("not_understood")
    if isinstance(degrees, Refusal):
        return degrees
    other = None if region_box is None else swapped(degrees.lat, degrees.lon, region_box)
    if other is not None:
        return Refusal("perhaps_swapped", {"lat": other[0], "lon": other[1]})
    return degrees
