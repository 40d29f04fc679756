"""Degrees in any usual form: decimal, degrees and minutes, degrees, minutes and seconds.

In plain words: the text is cut into numbers, signs, marks (degree, minute, second),
hemisphere letters or words, and the labels lat and lon. Two coordinates must come out,
each of one to three numbers, only the last of which may have decimals. Letters and
labels say which is the latitude; without them latitude comes first (ISO 6709). The
figures written say how coarse the place is: `55.9` stands for a tenth of a degree,
`55 57` for a minute. Degrees are taken to be WGS 84. Also read: ISO 6709 strings
(`+5557.2-00317.7/`), the compact `555712N 0031741W`, and geo URIs (RFC 5870).

Sources: ISO 6709; RFC 5870; for the radius Chapman & Wieczorek (2020), table of
precisions.

>>> here = read_degrees("55\N{DEGREE SIGN}57'12\\" N, 3\N{DEGREE SIGN}17'42\\" W")
>>> round(here.lat, 6), round(here.lon, 6), here.uncertainty_m
(55.953333, -3.295, 36)
>>> read_degrees("55.95, 190").code
'out_of_range'
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from society.science.positions.answers import Position, Refusal, degrees_uncertainty

Axis = Literal["lat", "lon"]

_TOKEN = re.compile(
    r"(?P<number>(?P<figures>[0-9]{1,12}(?:\.[0-9]{0,15})?|\.[0-9]{1,15})(?: ?(?P<mark>[°'\"]))?)"
    r"|(?P<label>LATITUDE|LAT\b|LONGITUDE|LONG\b|LON\b|LAT(?=[^A-Z])|LON(?=[^A-Z])|LONG(?=[^A-Z]))"
    r"|(?P<hemisphere>NORTH|SOUTH|EAST|WEST|[NSEW](?![A-Z]))"
    r"|(?P<sign>[+-])"
    r"|(?P<end>[,;])"
    r"|(?P<gap>[\s:=]+|\.(?=\s|$))"
)
_MARKS = "°'\""
_GEO = re.compile(r"GEO:(-?[0-9.]+),(-?[0-9.]+)(?:,-?[0-9.]+)?((?:;[A-Z0-9-]+(?:=[^;]*)?)*)")
_ISO_6709 = re.compile(
    r"([+-])([0-9]{2}|[0-9]{4}|[0-9]{6})(\.[0-9]+)?"
    r"([+-])([0-9]{3}|[0-9]{5}|[0-9]{7})(\.[0-9]+)?(?:[+-][0-9.]+)?(?:CRS[A-Z0-9_]+)?/?"
)
_COMPACT = re.compile(
    r"([0-9]{4}|[0-9]{6})(\.[0-9]+)? ?([NS])[ ,]*([0-9]{5}|[0-9]{7})(\.[0-9]+)? ?([EW])"
)
_COMMA_PAIR = re.compile(r"([+-]?[0-9]{1,3}),([0-9]+)( ?; ?|, +| +)([+-]?[0-9]{1,3}),([0-9]+)")


@dataclass
class _Coordinate:
    """One coordinate as it is gathered from the text."""

    numbers: list[str] = field(default_factory=list)
    marks: list[str | None] = field(default_factory=list)
    sign: str | None = None
    hemisphere: str | None = None
    label: Axis | None = None

    @property
    def axis(self) -> Axis | None:
        if self.hemisphere is not None:
            return "lat" if self.hemisphere in "NS" else "lon"
        return self.label


def _apart(figures: str, decimals: str | None, degree_figures: int) -> str:
    """'555712' with '.5' and two figures of degrees to '55 57 12.5'."""
    rest = figures[degree_figures:]
    parts = [figures[:degree_figures], *(rest[i : i + 2] for i in range(0, len(rest), 2))]
    return " ".join(parts) + (decimals or "")


def _unpacked(text: str) -> str:
    """Packed standard forms and decimal commas rewritten in the plain form; else unchanged."""
    if found := _ISO_6709.fullmatch(text):
        north, east = _apart(found[2], found[3], 2), _apart(found[5], found[6], 3)
        return f"{found[1]}{north}; {found[4]}{east}"
    if found := _COMPACT.fullmatch(text):
        return (
            f"{_apart(found[1], found[2], 2)} {found[3]} {_apart(found[4], found[5], 3)} {found[6]}"
        )
    if found := _COMMA_PAIR.fullmatch(text):
        return f"{found[1]}.{found[2]}; {found[4]}.{found[5]}"
    if re.search(r"[°NSEW]", text):
        text = re.sub(r"(?<=[0-9]),(?=[0-9])", ".", text)
        text = re.sub(r"(?<=[0-9])-(?=[0-9])", " ", text)
    return text


def _tokens(text: str) -> list[re.Match[str]] | None:
    """Tokens of the text, gaps kept; None when something else stands in it."""
    found: list[re.Match[str]] = []
    at = 0
    while at < len(text):
        match = _TOKEN.match(text, at)
        if match is None:
            return None
        found.append(match)
        at = match.end()
    return found


class _Gatherer:
    """Gathers tokens into coordinates; each `take_` answers False when a token makes no sense."""

    def __init__(self, tokens: list[re.Match[str]]) -> None:
        kinds = [token.lastgroup for token in tokens if token.lastgroup in ("number", "hemisphere")]
        self.tokens = tokens
        self.letters_lead = kinds[:1] == ["hemisphere"]
        self.done: list[_Coordinate] = []
        self.now = _Coordinate()

    def close(self) -> None:
        """End the coordinate in hand, if it has begun."""
        if self.now.numbers:
            self.done.append(self.now)
            self.now = _Coordinate()

    def take_label(self, token: re.Match[str]) -> bool:
        """'LAT' or 'LON' begins a coordinate."""
        self.close()
        self.now.label = "lat" if token[0].startswith("LAT") else "lon"
        return True

    def take_hemisphere(self, token: re.Match[str]) -> bool:
        """A hemisphere begins a coordinate or ends it, the same way through the whole text."""
        if self.letters_lead:
            self.close()
        if self.now.hemisphere is not None or bool(self.now.numbers) == self.letters_lead:
            return False
        self.now.hemisphere = token[0][0]
        if not self.letters_lead:
            self.close()
        return True

    def take_sign(self, token: re.Match[str]) -> bool:
        """A sign begins a coordinate; with a gap after it, amid numbers, it may be a dash."""
        dash = bool(self.now.numbers) and token.string[token.end() : token.end() + 1] == " "
        self.close()
        if dash or self.now.sign is not None:
            return False
        self.now.sign = token[0]
        return True

    def take_number(self, token: re.Match[str]) -> bool:
        """A number joins the coordinate in hand; one marked as degrees begins the next."""
        if token["mark"] == "°":
            self.close()
        self.now.numbers.append(token["figures"])
        self.now.marks.append(token["mark"])
        return True

    def take_end(self, token: re.Match[str]) -> bool:
        """A comma or semicolon ends a coordinate."""
        self.close()
        return True

    def gathered(self) -> list[_Coordinate] | None:
        """All coordinates; None when the order of the tokens makes no sense."""
        take = {
            "label": self.take_label,
            "hemisphere": self.take_hemisphere,
            "sign": self.take_sign,
            "number": self.take_number,
            "end": self.take_end,
        }
        for token in self.tokens:
            kind = token.lastgroup or "gap"
            if kind != "gap" and not take[kind](token):
                return None
        self.close()
        return self.done


def _pair(text: str) -> tuple[_Coordinate, _Coordinate] | None:
    """The two coordinates of a text, in its order; None when there are not just two."""
    tokens = _tokens(text)
    coordinates = None if tokens is None else _Gatherer(tokens).gathered()
    if coordinates is None:
        return None
    if len(coordinates) == 1:
        return _halved(coordinates[0])
    if len(coordinates) != 2:
        return None
    one, other = coordinates
    told = any(c.axis or any(c.marks) for c in coordinates)
    if len(one.numbers) != len(other.numbers) and not told:
        return None
    return one, other


def _halved(run: _Coordinate) -> tuple[_Coordinate, _Coordinate] | None:
    """One bare run of 2, 4 or 6 numbers cut in the middle; its sign belongs to the first half."""
    if len(run.numbers) not in (2, 4, 6) or run.axis is not None or any(run.marks):
        return None
    half = len(run.numbers) // 2
    return (
        _Coordinate(run.numbers[:half], run.marks[:half], run.sign),
        _Coordinate(run.numbers[half:], run.marks[half:]),
    )


def _value(coordinate: _Coordinate) -> tuple[Fraction, Fraction] | Refusal | None:
    """Signed degrees and the step they are written to, exact."""
    numbers = coordinate.numbers
    if len(numbers) > 3 or any("." in number for number in numbers[:-1]):
        return None
    for mark, expected in zip(coordinate.marks, _MARKS, strict=False):
        if mark not in (None, expected):
            return None
    parts = [Fraction(number if number[-1] != "." else number[:-1]) for number in numbers]
    for part, number in zip(parts[1:], numbers[1:], strict=True):
        if part >= 60:
            return Refusal("minutes_out_of_range", {"value": number})
    total = sum((part / 60**i for i, part in enumerate(parts)), Fraction(0))
    decimals = len(numbers[-1].partition(".")[2])
    step = Fraction(1, 60 ** (len(numbers) - 1) * 10**decimals)
    back = coordinate.sign == "-" or (coordinate.hemisphere or "N") in "SW"
    return (-total if back else total), step


def _fault_of_letters(one: _Coordinate, other: _Coordinate) -> Refusal | None:
    """What the signs, letters and labels of the two coordinates contradict, if anything."""
    for coordinate in (one, other):
        if coordinate.sign == "-" and coordinate.hemisphere is not None:
            return Refusal("sign_and_letter", {"letter": coordinate.hemisphere})
        if coordinate.label is not None and coordinate.label != coordinate.axis:
            return Refusal("same_axis_twice", {"letter": coordinate.hemisphere or ""})
    if one.axis is not None and one.axis == other.axis:
        return Refusal("same_axis_twice", {"letter": one.hemisphere or ""})
    for coordinate, beside in ((one, other), (other, one)):
        bare = coordinate.axis is None and coordinate.sign is None
        if bare and beside.hemisphere is not None:
            return Refusal("hemisphere_missing", {"letter": beside.hemisphere})
    return None


def _judged(lat: float, lon: float, *, told: bool) -> Refusal | None:
    """Refuse degrees that are not on the earth; `told` when letters or labels fixed the order."""
    if abs(lat) <= 90 and abs(lon) <= 180:
        return None
    if not told and abs(lon) <= 90 and abs(lat) <= 180:
        return Refusal("perhaps_swapped", {"lat": lon, "lon": lat})
    return Refusal("out_of_range", {"lat": lat, "lon": lon})


def read_degrees(text: str) -> Position | Refusal | None:
    """Degrees of any usual form as a Position or a Refusal; None when it is no pair of degrees.

    Expects text with its marks already plain (°, ', ").
    """
    upper, radius = text.upper(), 0
    if found := _GEO.fullmatch(upper):
        upper = f"{found[1]}; {found[2]}"
        told_radius = re.search(r";U=([0-9]+(?:\.[0-9]+)?)(?:;|$)", found[3])
        radius = math.ceil(float(told_radius[1])) if told_radius else 0
    pair = _pair(_unpacked(upper))
    if pair is None:
        return None
    one, other = pair
    if (fault := _fault_of_letters(one, other)) is not None:
        return fault
    if one.axis == "lon" or other.axis == "lat":
        one, other = other, one
    north, east = _value(one), _value(other)
    if isinstance(north, Refusal) or north is None:
        return north
    if isinstance(east, Refusal) or east is None:
        return east
    lat, lon = float(north[0]), float(east[0])
    told = one.axis is not None or other.axis is not None
    if (fault := _judged(lat, lon, told=told)) is not None:
        return fault
    return Position(
        lat=lat,
        lon=lon,
        side_m=None,
        uncertainty_m=max(radius, degrees_uncertainty(lat, north[1], east[1])),
        system="degrees",
        precision_deg=float(max(north[1], east[1])),
    )
