"""Rules that turn three seasons of the invented society into forays and finds.

Everything here is pure and repeatable: chance comes from a generator that is passed in, days are
stated, no clock is read, nothing is written. ``demo_plan()`` gives the plan the command builds.
Months, hosts and soils are those of ``data/species.json`` (from memory).
"""

from society.demo.rules.plan import SEED, demo_plan, plan, up_to
from society.demo.rules.planned import (
    Plan,
    PlannedComment,
    PlannedEating,
    PlannedFind,
    PlannedForay,
    PlannedOrganism,
    PlannedReading,
    PlannedSlip,
    PlannedStep,
    PlannedVerdict,
    PlannedWood,
)
from society.demo.rules.season import (
    LAST_DAY,
    SEASONS,
    host_matches,
    month_weight,
    season_of,
    suits,
)
from society.demo.rules.world import Member, Site, Species, World, load_world

__all__ = [
    "LAST_DAY",
    "SEASONS",
    "SEED",
    "Member",
    "Plan",
    "PlannedComment",
    "PlannedEating",
    "PlannedFind",
    "PlannedForay",
    "PlannedOrganism",
    "PlannedReading",
    "PlannedSlip",
    "PlannedStep",
    "PlannedVerdict",
    "PlannedWood",
    "Site",
    "Species",
    "World",
    "demo_plan",
    "host_matches",
    "load_world",
    "month_weight",
    "plan",
    "season_of",
    "suits",
    "up_to",
]
