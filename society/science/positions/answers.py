"""What a reader of positions hands back: a point with its square, or a refusal.

The point is the centre of the square that was named, never its south-west corner,
and the radius reaches the farthest corner (point-radius method, Chapman &
Wieczorek 2020): half the diagonal, rounded up, plus 5 m where the datum was
shifted by Helmert's seven numbers.

>>> square_uncertainty(100, shifted=True)
76
>>> square_uncertainty(1, shifted=False)
1
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from society.science.positions.projections import HELMERT_ALLOWANCE_M, metres_per_degree

System = Literal["british_grid", "irish_grid", "mgrs", "degrees"]
RefusalCode = Literal[
    "empty",
    "too_long",
    "not_understood",
    "odd_figures",
    "uneven_figures",
    "too_many_figures",
    "stray_letter",
    "bare_square",
    "unknown_square",
    "unknown_tetrad",
    "out_of_range",
    "perhaps_swapped",
    "minutes_out_of_range",
    "sign_and_letter",
    "hemisphere_missing",
    "same_axis_twice",
]


@dataclass(frozen=True)
class Position:
    """A point on WGS 84 and how far from it the true place may lie.

    `lat`, `lon`: degrees. `side_m`: side of the square named, None for degrees.
    `uncertainty_m`: radius in whole metres, at least 1. `grid_reference`: the reference in
    its usual spacing, None for degrees. `precision_deg`: the coarser step of the degrees as
    written, None for a square.
    """

    lat: float
    lon: float
    side_m: int | None
    uncertainty_m: int
    system: System
    grid_reference: str | None = None
    precision_deg: float | None = None

    @property
    def lat_e7(self) -> int:
        """Latitude as an integer of 1e-7 degree."""
        return round(self.lat * 10_000_000)

    @property
    def lon_e7(self) -> int:
        """Longitude as an integer of 1e-7 degree."""
        return round(self.lon * 10_000_000)


@dataclass(frozen=True)
class Refusal:
    """Why a text was not taken for a place: a code, and the values a sentence may need."""

    code: RefusalCode
    detail: Mapping[str, str | int | float] = field(default_factory=dict)


def square_uncertainty(side_m: int, *, shifted: bool) -> int:
    """Half the diagonal of a square in whole metres, rounded up; +5 m for a Helmert shift."""
    half_diagonal = math.isqrt((side_m * side_m - 1) // 2) + 1  # ceil(sqrt(side^2 / 2)), exact
    return half_diagonal + (HELMERT_ALLOWANCE_M if shifted else 0)


def degrees_uncertainty(lat: float, lat_step: Fraction, lon_step: Fraction) -> int:
    """Whole diagonal, in metres rounded up, of the cell that written degrees stand for.

    Chapman & Wieczorek (2020), table of precisions: the whole diagonal is their safe
    figure. It is taken at the nearest whole degree of latitude, so that the number told
    to a reader who sees only a one-degree cell betrays no more than the cell does; the
    half of the diagonal to spare covers that many times over.
    """
    north, east = metres_per_degree(round(lat))
    return max(1, math.ceil(math.hypot(north * float(lat_step), east * float(lon_step))))
