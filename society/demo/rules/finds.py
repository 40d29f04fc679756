"""What was written down in the field for one find of a species at a site on a day."""

import datetime as dt
import random
from dataclasses import dataclass
from uuid import NAMESPACE_URL, uuid5

from society.demo.rules.planned import (
    PlannedFind,
    PlannedOrganism,
    PlannedReading,
    PlannedStep,
    PlannedWood,
)
from society.demo.rules.season import hosts_at
from society.demo.rules.words import NOTES, print_words
from society.demo.rules.world import Member, Site, Species, World
from society.science.evidence import VIEWS_BY_FORM

NEEDS_CUT_OR_LIFT = frozenset({"section", "stem_base", "detail", "spore_print"})
STALKED = ("agaric", "bolete")
DRAWN = ("habitat", "cap", "underside", "side", "stem_base", "section", "detail", "spore_print")


@dataclass(frozen=True)
class Meeting:
    """Who met what, where and when."""

    key: str
    species: Species
    site: Site
    day: dt.date
    finder: Member
    companions: tuple[str, ...]
    foray: str | None


def written_down(rng: random.Random, world: World, met: Meeting, last: dt.date) -> PlannedFind:
    """A find with all but its slips, verdicts and comments."""
    species, site = met.species, met.site
    may_take = site.may_lift_and_cut
    in_hand = _in_hand(rng, met, last)
    has_print = may_take and species.form in STALKED and rng.random() < 0.18
    kept = in_hand == "dried" and rng.random() < 0.8
    point = point_within(rng, site) if rng.random() < 0.78 else None
    count = _count(rng, species)
    serial = int(met.key[1:])
    return PlannedFind(
        key=met.key,
        uuid=uuid5(NAMESPACE_URL, f"caldermoss:{met.key}"),
        species=species.name,
        outcome="unconfirmed",
        day=met.day,
        time_of_day=_time(rng),
        date_verbatim="",
        site=site.key,
        point=point,
        uncertainty_m=rng.choice((5, 8, 10, 15, 25, 50)) if point else None,
        foray=met.foray,
        finder=met.finder.key,
        companions=met.companions,
        entered_by=_entered_by(rng, world, met.finder),
        collector_number=_number(rng, met, serial),
        form=species.form,
        organisms=organisms(rng, species, site),
        substrate=_substrate(species),
        substrate_note="buried pupa" if species.substrate == "other" else "",
        wood=_wood(rng, species),
        habitat=rng.choice(site.habitats),
        soil=site.soil if rng.random() < 0.8 else "",
        count=count,
        growth="single" if count == 1 and species.growth != "sheet" else species.growth,
        stage=_stage(rng, species),
        base=_base(rng, species, may_take=may_take),
        views=views(rng, species, may_take=may_take),
        readings=readings(rng, species) if may_take else (),
        spore_print=print_words(species.spore_print or "#fdfbf4") if has_print else "",
        in_hand="print" if has_print and in_hand == "pictures" else in_hand,
        specimen_kept=kept,
        specimen_number=f"CH {met.day.year}-{serial:04d}" if kept else "",
        notes=rng.choice(NOTES) if rng.random() < 0.3 else "",
        made_secret=rng.choice((2, 3, 4)) if rng.random() < 0.015 else None,
        slips=(),
        verdicts=(),
        comments=(),
        eating=(),
    )


def point_within(rng: random.Random, site: Site) -> tuple[float, float]:
    """A chance point (latitude, longitude) inside the boundary, to five places."""
    ring = site.ring
    west, east = min(x for x, _ in ring), max(x for x, _ in ring)
    south, north = min(y for _, y in ring), max(y for _, y in ring)
    while True:
        lon, lat = round(rng.uniform(west, east), 5), round(rng.uniform(south, north), 5)
        if within(ring, lon, lat):
            return (lat, lon)


def within(ring: tuple[tuple[float, float], ...], x: float, y: float) -> bool:
    """Whether a point lies inside a ring, by counting the edges to one side of it."""
    found = False
    x1, y1 = ring[-1]
    for x2, y2 in ring:
        if (y1 > y) != (y2 > y) and x < (x2 - x1) * (y - y1) / (y2 - y1) + x1:
            found = not found
        x1, y1 = x2, y2
    return found


def organisms(rng: random.Random, species: Species, site: Site) -> tuple[PlannedOrganism, ...]:
    """The host as far as it was made out, and what else stood within reach of the roots."""
    out: list[PlannedOrganism] = []
    possible = hosts_at(species, site)
    if possible:
        out.append(_host(rng, species, rng.choice(possible)))
    taken = {o.name.split()[0] for o in out}
    others = [h for h in site.hosts if h.split()[0] not in taken]
    for name in rng.sample(others, min(len(others), rng.choice((0, 1, 1, 2)))):
        written = name.split()[0] if rng.random() < 0.25 else name
        distance = round(rng.uniform(2, 18), 1) if rng.random() < 0.7 else None
        sure = "sure" if rng.random() < 0.85 else "unsure"
        out.append(PlannedOrganism(written, "nearby", sure, distance, "living"))
    return tuple(out)


def _host(rng: random.Random, species: Species, name: str) -> PlannedOrganism:
    written = name
    if rng.random() < 0.25 and not any(" " in h for h in species.hosts):
        written = name.split()[0]
    if species.substrate in ("wood", "living_plant"):
        state = (
            "living"
            if species.substrate == "living_plant"
            else rng.choice(("dead", "dead", "dying"))
        )
        return PlannedOrganism(written, "host", "sure", 0.0, state)
    part = "host" if rng.random() < 0.4 else "probable_host"
    distance = round(rng.uniform(0.5, 9), 1)
    return PlannedOrganism(written, part, "sure", distance, "living")


def readings(rng: random.Random, species: Species) -> tuple[PlannedReading, ...]:
    """What the finder watched; a missed minute is 'not looked', never 'no change'."""
    out = []
    for rule in species.readings:
        if rng.random() > (0.85 if rule.kind == "milk" else 0.6):
            continue
        steps = []
        for step in rule.steps:
            looked = step.minute == 0 or rng.random() < 0.86
            steps.append(PlannedStep(step.minute, looked, step.seen if looked else ""))
        out.append(PlannedReading(rule.exposed, rule.reagent, tuple(steps)))
    return tuple(out)


def views(rng: random.Random, species: Species, *, may_take: bool) -> tuple[str, ...]:
    """The views photographed: most of what the form asks for, sometimes one picture only."""
    turns = any(r.kind in ("milk", "bruise") for r in species.readings)
    allowed = []
    for view in VIEWS_BY_FORM[species.form]:
        if view not in DRAWN or (not may_take and view in NEEDS_CUT_OR_LIFT):
            continue
        if view == "detail" and species.form in STALKED and not turns:
            continue
        if view == "spore_print":
            continue
        allowed.append(view)
    mood = rng.random()
    if mood < 0.06:
        return ()
    if mood < 0.18:
        return (next(v for v in ("cap", "side", "detail", "habitat") if v in allowed),)
    return tuple(v for v in allowed if rng.random() < 0.82)


def _count(rng: random.Random, species: Species) -> int:
    low, high = species.count
    return min(high, low + int(rng.expovariate(3.2 / max(1, high - low))))


def _stage(rng: random.Random, species: Species) -> str:
    """Buttons are of fungi with a cap; lichens and rusts have no stage worth a word."""
    if species.form in ("lichen", "rust"):
        return ""
    button = 5 if species.form in (*STALKED, "stomach") else 0
    return rng.choices(("button", "young", "mature", "old"), (button, 22, 60, 14))[0]


def _time(rng: random.Random) -> dt.time | None:
    if rng.random() > 0.6:
        return None
    return dt.time(rng.randint(9, 16), rng.choice((0, 5, 10, 20, 30, 40, 45, 50)))


def _substrate(species: Species) -> str:
    return "insect" if species.substrate == "other" else species.substrate


def _wood(rng: random.Random, species: Species) -> PlannedWood | None:
    if species.substrate != "wood":
        return None
    large = species.form == "bracket" or species.form in STALKED
    part = rng.choice(
        ("trunk", "stump", "branch") if large else ("branch", "branch", "twig", "trunk")
    )
    position = "standing" if part == "stump" else rng.choice(("standing", "fallen", "fallen"))
    girth = rng.randrange(40, 260, 5) if part in ("trunk", "stump") else None
    return PlannedWood(part, position, rng.choices((1, 2, 3, 4, 5), (2, 3, 3, 2, 1))[0], girth)


def _base(rng: random.Random, species: Species, *, may_take: bool) -> str:
    if species.form not in STALKED:
        return ""
    if not may_take:
        return "not_seen"
    return rng.choices(("lifted", "cut", "not_seen"), (5, 2, 3))[0]


def _in_hand(rng: random.Random, met: Meeting, last: dt.date) -> str:
    if not met.site.may_lift_and_cut:
        return "pictures"
    if (last - met.day).days <= 6:
        return rng.choice(("fresh", "fridge", "drying", "pictures"))
    return rng.choices(("pictures", "dried", "nothing"), (55, 28, 17))[0]


def _number(rng: random.Random, met: Meeting, serial: int) -> str:
    if rng.random() > 0.3:
        return ""
    return f"{met.finder.initials} {met.day.year % 100:02d}/{serial % 400 + 1}"


def _entered_by(rng: random.Random, world: World, finder: Member) -> str:
    if finder.sign_in:
        return finder.key
    return rng.choice([p.key for p in world.people if "organiser" in p.roles])
