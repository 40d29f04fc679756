"""The whole plan: forays, members' walks, old notebooks, and a few finds set by hand."""

import datetime as dt
import random
from collections.abc import Iterator
from dataclasses import replace

from society.demo.rules.finds import Meeting, readings, written_down
from society.demo.rules.judging import from_the_books, judged, later, unwatched
from society.demo.rules.planned import (
    Plan,
    PlannedComment,
    PlannedEating,
    PlannedFind,
    PlannedForay,
    PlannedOrganism,
)
from society.demo.rules.season import (
    LAST_DAY,
    SEASONS,
    YEAR_WEIGHT,
    choices_at,
    day_in_season,
    draw_people,
    families_looked_for,
    foray_calendar,
    host_matches,
    season_of,
    suits,
)
from society.demo.rules.words import EATING
from society.demo.rules.world import Member, Site, Species, World, load_world

SEED = 20240301
FINDS = 1200
FROM_BOOKS = 18
# Finds written down on a foray, by month, in a good season.
ON_FORAY = {3: 6, 4: 7, 5: 8, 6: 8, 7: 9, 8: 15, 9: 22, 10: 25, 11: 17}
# How the members' own walks spread over the year.
WALKS = {1: 2, 2: 3, 3: 4, 4: 5, 5: 5, 6: 4, 7: 6, 8: 12, 9: 24, 10: 26, 11: 12, 12: 4}


def demo_plan() -> Plan:
    """The plan of the demo society: always the same."""
    return plan(random.Random(SEED), load_world())


def plan(rng: random.Random, world: World) -> Plan:
    """Forty forays and 1,200 finds; every chance comes from ``rng``, no clock is read."""
    forays = foray_calendar(rng, world)
    meetings = [m for foray in forays for m in _on_foray(rng, world, foray)]
    meetings += _each_species_once(rng, world)
    wanted = FINDS - FROM_BOOKS - len(CASES)
    meetings += _alone(rng, world, wanted - len(meetings))
    meetings = meetings[:wanted]
    finds = []
    for serial, met in enumerate(meetings, start=1):
        keyed = replace(met, key=f"d{serial:04d}")
        find = written_down(rng, world, keyed, LAST_DAY)
        finds.append(judged(rng, world, find, LAST_DAY))
    finds += _old_books(rng, world, len(finds))
    finds += _set_by_hand(rng, world, len(finds))
    finds = _on_eating(rng, world, finds)
    return Plan(forays, tuple(sorted(finds, key=lambda f: (f.day, f.key))))


def up_to(whole: Plan, day: dt.date) -> Plan:
    """The plan without forays and finds after a day (for a machine whose clock stands earlier).

    Slips, verdicts and comments after the day are left out with it.
    """
    finds = tuple(
        replace(
            f,
            slips=tuple(s for s in f.slips if s.day <= day),
            verdicts=tuple(v for v in f.verdicts if v.day <= day),
            comments=tuple(c for c in f.comments if c.day <= day),
        )
        for f in whole.finds
        if f.day <= day
    )
    return Plan(tuple(f for f in whole.forays if f.day <= day), finds)


# --- meetings


def _on_foray(rng: random.Random, world: World, foray: PlannedForay) -> Iterator[Meeting]:
    site = world.site(foray.site)
    people = [world.person(key) for key in foray.people]
    wanted = round(ON_FORAY[foray.day.month] * YEAR_WEIGHT[season_of(foray.day)])
    left = choices_at(world, site, foray.day)
    if not foray.all_species:
        wanted_families = families_looked_for(site)
        left = [(s, w) for s, w in left if s.family in wanted_families]
    for _ in range(wanted):
        if not left:
            return
        index = rng.choices(range(len(left)), [w for _, w in left])[0]
        species, weight = left[index]
        # A second find of a species on one walk is written down rarely.
        left[index] = (species, weight * 0.06)
        finder = _finder(rng, people, species)
        others = [p.key for p in people if p != finder]
        companions = tuple(rng.sample(others, min(len(others), rng.choice((0, 0, 1, 2)))))
        yield Meeting("", species, site, foray.day, finder, companions, foray.key)


def _each_species_once(rng: random.Random, world: World) -> list[Meeting]:
    """Every species of the pool is met at least once, near its peak."""
    out = []
    for species in world.species:
        season = rng.choices(SEASONS, [YEAR_WEIGHT[s] for s in SEASONS])[0]
        day = day_in_season(rng, species, season, LAST_DAY)
        site = rng.choice([s for s in world.sites if suits(species, s)])
        finder = _finder(rng, world.people, species)
        out.append(Meeting("", species, site, day, finder, (), None))
    return out


def _alone(rng: random.Random, world: World, count: int) -> list[Meeting]:
    """Members' own walks: a person, a day, a site they like, one to five finds."""
    out: list[Meeting] = []
    while len(out) < count:
        day = _walk_day(rng)
        person = draw_people(rng, world.people, 1)[0]
        site = _walk_site(rng, world, person)
        there = choices_at(world, site, day)
        if not there:
            continue
        liked = [w * (3 if s.genus in person.genera else 1) for s, w in there]
        for species, _ in _sample(rng, there, liked, rng.choice((1, 1, 2, 3, 5))):
            out.append(Meeting("", species, site, day, person, (), None))
    return out


def _sample(
    rng: random.Random, there: list[tuple[Species, float]], weights: list[float], count: int
) -> list[tuple[Species, float]]:
    chosen: list[tuple[Species, float]] = []
    for entry in rng.choices(there, weights, k=count):
        if entry not in chosen:
            chosen.append(entry)
    return chosen


def _walk_day(rng: random.Random) -> dt.date:
    while True:
        season = rng.choices(SEASONS, [YEAR_WEIGHT[s] for s in SEASONS])[0]
        month = rng.choices(list(WALKS), list(WALKS.values()))[0]
        day = dt.date(season if month >= 3 else season + 1, month, rng.randint(1, 28))
        if day <= LAST_DAY:
            return day


def _walk_site(rng: random.Random, world: World, person: Member) -> Site:
    if person.sites and rng.random() < 0.6:
        return world.site(rng.choice(person.sites))
    return rng.choice(world.sites)


def _finder(
    rng: random.Random, people: list[Member] | tuple[Member, ...], species: Species
) -> Member:
    weights = [p.activity * (3 if species.genus in p.genera else 1) for p in people]
    return rng.choices(people, weights)[0]


# --- old notebooks


def _old_books(rng: random.Random, world: World, start: int) -> list[PlannedFind]:
    """A few finds of 1971 to 1994 out of the founding member's notebooks."""
    out = []
    common = [s for s in world.species if s.frequency >= 6]
    for i, species in enumerate(rng.sample(common, FROM_BOOKS)):
        year = rng.randint(1971, 1994)
        day = day_in_season(rng, species, year, dt.date(1995, 2, 28))
        site = rng.choice([s for s in world.sites if suits(species, s)])
        met = Meeting(f"d{start + i + 1:04d}", species, site, day, world.people[0], (), None)
        find = written_down(rng, world, met, LAST_DAY)
        out.append(from_the_books(world, find, day, rng.randint(3, 90)))
    return out


# --- finds set by hand


# Milk caps that show what host and minutes settle, and what they leave unsettled:
# species, site, outcome, the trees within reach, whether somebody looked again.
CASES: tuple[tuple[str, str, str, tuple[str, ...], bool], ...] = (
    # named deliciosus, under spruce alone, wine red within half an hour
    ("Lactarius deterrimus", "wether-rigg-spruce", "disputed", ("Picea abies",), True),
    # pine alone, unchanged at thirty minutes
    ("Lactarius deliciosus", "merrowside-pinewood", "confirmed", ("Pinus sylvestris",), True),
    # pine on lime, wine red within ten minutes
    ("Lactarius semisanguifluus", "limekiln-bank", "confirmed", ("Pinus sylvestris",), True),
    # spruce and pine both near, and nobody looked again
    (
        "Lactarius deterrimus",
        "merrowside-pinewood",
        "left_open",
        ("Picea abies", "Pinus sylvestris"),
        False,
    ),
)


def _set_by_hand(rng: random.Random, world: World, start: int) -> list[PlannedFind]:
    out = []
    finders = [p for p in world.people if p.sign_in and not p.scope]
    for i, (name, key, outcome, trees, watched) in enumerate(CASES):
        species, site = world.named(name), world.site(key)
        day = day_in_season(rng, species, SEASONS[i % len(SEASONS)], LAST_DAY)
        finder = _finder(rng, finders, species)
        met = Meeting(f"d{start + i + 1:04d}", species, site, day, finder, (), None)
        find = written_down(rng, world, met, LAST_DAY)
        find = _stood_with(rng, find, species, trees)
        out.append(judged(rng, world, find if watched else unwatched(find), LAST_DAY, outcome))
    return out


def _stood_with(
    rng: random.Random, find: PlannedFind, species: Species, trees: tuple[str, ...]
) -> PlannedFind:
    """The find with these trees alone, and its milk looked at every time."""
    stood = tuple(
        PlannedOrganism(tree, _part(species, tree), "sure", 3.0 + 2.5 * i, "living")
        for i, tree in enumerate(trees)
    )
    find = replace(find, organisms=stood, readings=())
    while not find.readings or any(not s.looked for r in find.readings for s in r.steps):
        find = replace(find, readings=readings(rng, species))
    return find


def _part(species: Species, tree: str) -> str:
    return "probable_host" if any(host_matches(h, tree) for h in species.hosts) else "nearby"


# --- on eating


def _on_eating(rng: random.Random, world: World, finds: list[PlannedFind]) -> list[PlannedFind]:
    """Lays the statements on eating at finds of their species, one to a find."""
    out = list(finds)
    for where, kind, name, said_by, source, text in EATING:
        free = [
            i
            for i, f in enumerate(out)
            if f.species == name and not f.eating and f.outcome != "from_the_books"
        ]
        if not free:
            raise LookupError(f"no find of {name} is free for a statement on eating")
        index = rng.choice(free)
        out[index] = _say(
            rng, world, out[index], PlannedEating(where, kind, "", said_by, source, text)
        )
    return out


def _say(rng: random.Random, world: World, find: PlannedFind, said: PlannedEating) -> PlannedFind:
    """Puts the words where they were said: own note, notes, remark on the slip, or comment."""
    by = find.finder
    if said.where == "remark" and not find.slips:
        said = replace(said, where="notes")
    if said.where == "comment":
        by = rng.choice([p.key for p in world.people if p.sign_in and p.key != find.finder])
        comment = PlannedComment(by, later(rng, find.day, LAST_DAY, 1, 9), said.text)
        find = replace(find, comments=(*find.comments, comment))
    elif said.where == "notes":
        find = replace(find, notes=f"{find.notes} {said.text}".strip())
    elif said.where == "remark":
        slip = replace(find.slips[0], remarks=said.text)
        find = replace(find, slips=(slip, *find.slips[1:]))
    return replace(find, eating=(replace(said, by=by),))
