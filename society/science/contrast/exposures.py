"""Which looks are looks at the same thing.

Method. A reading of the milk at half an hour and the character 'change of the milk' say the same;
so do readings of gills or pores and 'underside when bruised', and a reagent's reading and its
character. Each has an exposure, and looks at one exposure count once (`weighing`). Milk up to two
minutes is its colour on cutting, which is another exposure than its change. Source: common
practice. Worked example. ('gills', '') at 5 minutes is a look at 'underside', its code is 'gills'.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from society.science.contrast.readings import AT_ONCE_MINUTES, Group

# The character that says in a word what readings of an exposure say by the minute.
SAME_AS: Final[Mapping[str, str]] = {
    "milk_colour": "milk_at_once",
    "milk_change": "milk",
    "flesh_change": "flesh",
    "underside_bruising": "underside",
    "stem_bruising": "stem",
    "koh_cap": "reagent:koh",
    "iron_flesh": "reagent:iron_salts",
    "ammonia_cap": "reagent:ammonia",
}


def exposure_of(group: Group, minutes: float) -> str:
    """The exposure that a reading is a look at, as SAME_AS names them."""
    exposed, reagent = group
    if exposed == "reagent":
        return f"reagent:{reagent}"
    if exposed == "milk" and minutes <= AT_ONCE_MINUTES:
        return "milk_at_once"
    return "underside" if exposed in ("gills", "pores") else exposed


def code_of(group: Group, minutes: float) -> str:
    """The code of a reading's bearing: as `exposure_of`, with gills and pores apart."""
    found = exposure_of(group, minutes)
    return group[0] if found == "underside" else found
