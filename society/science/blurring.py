"""Who sees a place, and how coarsely: the one rule behind page, list, map, file and interface.

In plain words: a place is given out on a grid of decimal degrees. How wide the grid's
step is depends on who reads and on how sensitive the find is:

    reader        not sensitive   4 low    3 medium   2 high   1 extreme
    guest         0.01            0.01     0.1        1        region's name only
    member        0.001           0.001    0.01       0.1      1
    exact         as held         as held  as held    as held  as held

('exact' is for finder, companions, a referee in scope, the keeper; who they are is
decided elsewhere.) Latitude and longitude go, each by itself, to the nearest multiple of
the step; a value just half-way goes up, that is north or east. There is no chance in it:
the same place always gives the same answer, and a place already rounded stays. All of it
is integer arithmetic on 1e-7 degree, so that the columns kept for filtering and the place
shown cannot disagree.

The radius given out is the radius held plus the whole diagonal of the cell, rounded up.
The diagonal is taken at the latitude given out, not at the true one: from a diagonal to
the metre the true latitude could be read back.

A find that is not sensitive counts under its site for everyone. A sensitive find does so
only for a reader whose cell is no coarser than the site, measured by diagonals, the
cell's as wide as it is anywhere; else naming the site would give the place away.

Sources: Chapman (2020), Current Best Practices for Generalizing Sensitive Species
Occurrence Data (categories; rounding on a decimal geographic grid; no random shifts;
that paper's public steps are the members' row here, guests get one step coarser);
Chapman & Wieczorek (2020), Georeferencing Best Practices (metres for a cell, whole
diagonal). That halves go up, and that guests' row, are the society's own choice.

>>> place = given_place(559_247_827, -32_947_922, 30, "member", 3)
>>> place.lat, place.lon, place.resolution_deg, place.uncertainty_m
(55.92, -3.29, 0.01, 1307)
>>> given_place(559_247_827, -32_947_922, 30, "guest", 1).region_only
True
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from society.science.positions.projections import metres_per_degree

Reader = Literal["guest", "member", "exact"]
How = Literal["as_held", "rounded_on_degree_grid", "region_only"]
Withheld = Literal["exact_place", "coordinates"]
Reason = Literal["rule_for_all", "sensitive_name", "made_secret"]

E7 = 10_000_000
RESOLUTIONS = (10_000_000, 1_000_000, 100_000, 10_000)
"""Steps of the grids a place may be given on, in 1e-7 degree: 1, 0.1, 0.01, 0.001 degree."""

CATEGORIES = (1, 2, 3, 4)
"""Published categories: 1 extreme, 2 high, 3 medium, 4 low; None is not sensitive."""

_STEPS: dict[str, dict[int | None, int | None]] = {
    "guest": {None: 100_000, 4: 100_000, 3: 1_000_000, 2: 10_000_000, 1: None},
    "member": {None: 10_000, 4: 10_000, 3: 100_000, 2: 1_000_000, 1: 10_000_000},
}


@dataclass(frozen=True)
class GivenPlace:
    """A place as one reader has it. Integers of 1e-7 degree; metres.

    `step_e7` is None for an exact place and for a region; coordinates and radius are None where
    only the region's name is given.
    """

    lat_e7: int | None
    lon_e7: int | None
    step_e7: int | None
    uncertainty_m: int | None
    region_only: bool
    exact: bool

    @property
    def lat(self) -> float | None:
        """Latitude in degrees."""
        return None if self.lat_e7 is None else self.lat_e7 / E7

    @property
    def lon(self) -> float | None:
        """Longitude in degrees."""
        return None if self.lon_e7 is None else self.lon_e7 / E7

    @property
    def resolution_deg(self) -> float | None:
        """Step of the grid in degrees, None where the place is exact or a region."""
        return None if self.step_e7 is None else self.step_e7 / E7


@dataclass(frozen=True)
class Generalisation:
    """What was done to a place and what is held back, as codes for the standard's two fields.

    `how` and both precisions (degrees) belong in dataGeneralizations; `withheld` and `reason`
    in informationWithheld. A field that is held back is never just left empty.
    """

    how: How
    given_deg: float | None
    held_deg: float | None
    withheld: Withheld | None
    reason: Reason | None


def effective_category(name_category: int | None, made_secret_category: int | None) -> int | None:
    """The more secret of what the name demands and what finder or keeper chose.

    >>> effective_category(3, None), effective_category(3, 2), effective_category(2, 4)
    (3, 2, 2)
    """
    told = [c for c in (name_category, made_secret_category) if c is not None]
    for category in told:
        _check_category(category)
    return min(told, default=None)


def _check_category(category: int | None) -> None:
    if category is not None and category not in CATEGORIES:
        raise ValueError(f"no such category of sensitivity: {category!r}")


def cell(e7: int, step_e7: int) -> int:
    """Index of the multiple of `step_e7` nearest to `e7`; halves go up (north, east).

    Multiply by the step for the coordinate given out.

    >>> cell(559_247_827, 100_000), cell(-32_947_922, 100_000), cell(50_000, 100_000)
    (5592, -329, 1)
    """
    return (2 * e7 + step_e7) // (2 * step_e7)


def resolution_for(reader: Reader, category: int | None) -> int | Literal["exact"] | None:
    """Step in 1e-7 degree that a reader gets: 'exact', or None for the region's name only.

    >>> resolution_for("guest", None), resolution_for("guest", 1), resolution_for("exact", 1)
    (100000, None, 'exact')
    """
    _check_category(category)
    if reader == "exact":
        return "exact"
    return _STEPS[reader][category]


def cell_diagonal_m(lat_e7: int, step_e7: int) -> int:
    """Whole diagonal in metres, rounded up, of a cell at a latitude.

    Chapman & Wieczorek (2020): step x sqrt(M^2 + P^2), metres per degree on WGS 84.

    >>> cell_diagonal_m(560_000_000, 100_000)
    1277
    """
    north, east = metres_per_degree(lat_e7 / E7)
    return math.ceil(step_e7 / E7 * math.hypot(north, east))


def given_place(
    lat_e7: int,
    lon_e7: int,
    uncertainty_m: int | None,
    reader: Reader,
    category: int | None,
) -> GivenPlace:
    """The place as `reader` may have it, for a find of that effective `category`.

    `uncertainty_m` is the radius held; where none is held none is given out, since the
    rounding part alone would claim too much.
    """
    if not (abs(lat_e7) <= 90 * E7 and abs(lon_e7) <= 180 * E7):
        raise ValueError("coordinates are not on the earth")
    step = resolution_for(reader, category)
    if step == "exact":
        return GivenPlace(lat_e7, lon_e7, None, uncertainty_m, region_only=False, exact=True)
    if step is None:
        return GivenPlace(None, None, None, None, region_only=True, exact=False)
    lat, lon = cell(lat_e7, step) * step, cell(lon_e7, step) * step
    radius = None if uncertainty_m is None else uncertainty_m + cell_diagonal_m(lat, step)
    return GivenPlace(lat, lon, step, radius, region_only=False, exact=False)


def smallest_site_m(reader: Reader, category: int | None) -> int | None:
    """Smallest extent (diagonal, metres) of a site whose name tells this reader nothing new.

    0: any site; None: no site, however wide. For filters over many finds; the same rule as
    `site_shown`.

    >>> smallest_site_m("member", 3), smallest_site_m("guest", None), smallest_site_m("guest", 1)
    (1570, 0, None)
    """
    step = resolution_for(reader, category)
    if step == "exact" or category is None:
        return 0
    # At the equator a cell is as wide as it gets: one figure for every latitude.
    return None if step is None else cell_diagonal_m(0, step)


def site_shown(reader: Reader, category: int | None, site_extent_m: float | None) -> bool:
    """Whether a find may stand under its site's name, in its lists, counts and firsts.

    `site_extent_m`: diagonal of the site in metres, None where no boundary is known. False: this
    reader gets the region only. Whether the site itself is open or kept is another question.
    """
    smallest = smallest_site_m(reader, category)
    if smallest is None:
        return False
    return smallest == 0 or (site_extent_m is not None and site_extent_m >= smallest)


def generalisation_codes(
    given: GivenPlace,
    *,
    name_category: int | None,
    made_secret_category: int | None,
    held_deg: float | None = None,
) -> Generalisation:
    """Codes that say what was done to a place and why.

    `held_deg`: precision in degrees of the place as held, where known; told only when the
    place was rounded.
    """
    if given.exact:
        return Generalisation("as_held", None, held_deg, None, None)
    category = effective_category(name_category, made_secret_category)
    reason: Reason = "rule_for_all"
    if category is not None:
        reason = "sensitive_name" if category == name_category else "made_secret"
    if given.region_only:
        return Generalisation("region_only", None, None, "coordinates", reason)
    return Generalisation(
        "rounded_on_degree_grid", given.resolution_deg, held_deg, "exact_place", reason
    )
