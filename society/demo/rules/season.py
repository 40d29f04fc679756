"""When and where a species fruits here: months, soils, hosts, and the calendar of forays.

The season starts on 1 March. A species' weight on a day follows a bell about its peak, cut off
sharply at the first and last day of its months; perennial brackets, crusts and lichens may be met
at any time of the year.
"""

import calendar
import datetime as dt
import math
import random
from collections.abc import Sequence

from society.demo.rules.planned import PlannedForay
from society.demo.rules.world import Member, Site, Species, World

SEASONS = (2024, 2025, 2026)
SEASON_STARTS = 3
LAST_DAY = dt.date(2026, 11, 15)
# How a year's weather favours fruiting: a wet autumn, a dry one, a good one.
YEAR_WEIGHT = {2024: 1.0, 2025: 0.75, 2026: 1.1}
# Forays of a season: (month, which weekend of it, Saturday 5 or Sunday 6).
FORAY_DAYS = (
    (3, 3, 5), (4, 4, 6), (5, 3, 5), (6, 3, 6), (7, 3, 5), (8, 4, 6), (9, 1, 5),
    (9, 2, 6), (9, 4, 5), (10, 1, 6), (10, 2, 5), (10, 4, 6), (11, 2, 5),
)  # fmt: skip
# One more in the last season, so that there are forty.
EXTRA_FORAY = (9, 3, 6)


def season_of(day: dt.date) -> int:
    """The season a day belongs to, by the year in which it starts."""
    return day.year if day.month >= SEASON_STARTS else day.year - 1


def month_weight(species: Species, day: dt.date) -> float:
    """0 outside the species' months, else up to 1 at its peak."""
    first, last = species.months
    here = day.month + (day.day - 1) / calendar.monthrange(day.year, day.month)[1]
    span = (last - first) % 12 + 1
    if (here - first) % 12 >= span:
        return 0.0
    away = abs(here - species.peak) % 12
    away = min(away, 12 - away)
    bell = math.exp(-0.5 * (away / max(0.4, span / 4.5)) ** 2)
    return 0.25 + 0.75 * bell if span == 12 else 0.06 + 0.94 * bell


def host_matches(wanted: str, there: str) -> bool:
    """A genus is matched by its species, a species by itself."""
    return there == wanted or there.startswith(wanted + " ")


def hosts_at(species: Species, site: Site) -> tuple[str, ...]:
    """The site's plants that serve the species as host."""
    return tuple(h for h in site.hosts if any(host_matches(w, h) for w in species.hosts))


def suits(species: Species, site: Site) -> bool:
    """Whether soil, hosts and habitat of a site are right for a species."""
    if site.soil not in species.soils:
        return False
    if species.hosts and not hosts_at(species, site):
        return False
    return not species.habitats or any(tag in site.tags for tag in species.habitats)


def choices_at(world: World, site: Site, day: dt.date) -> list[tuple[Species, float]]:
    """The species that may be met at a site on a day, with their weights."""
    found = []
    for species in world.species:
        weight = month_weight(species, day)
        if weight > 0 and suits(species, site):
            found.append((species, species.frequency * weight))
    return found


def day_in_season(rng: random.Random, species: Species, season: int, last: dt.date) -> dt.date:
    """A chance day of a season within the species' months, nearer its peak than not;
    of the season before where the plan ends too early for it."""
    start = dt.date(season, SEASON_STARTS, 1)
    end = min(last, dt.date(season + 1, SEASON_STARTS, 1) - dt.timedelta(days=1))
    days = [start + dt.timedelta(days=i) for i in range((end - start).days + 1)]
    weights = [month_weight(species, day) for day in days]
    if not any(weights):
        return day_in_season(rng, species, season - 1, last)
    return rng.choices(days, weights)[0]


def foray_calendar(rng: random.Random, world: World) -> tuple[PlannedForay, ...]:
    """Forty forays: thirteen in each season and one more in the last."""
    forays: list[PlannedForay] = []
    for season in SEASONS:
        days = [*FORAY_DAYS, EXTRA_FORAY] if season == SEASONS[-1] else list(FORAY_DAYS)
        used: dict[str, int] = {}
        for month, week, weekday in sorted(days):
            day = _nth(season, month, week, weekday)
            site = _foray_site(rng, world, day, used)
            used[site.key] = used.get(site.key, 0) + 1
            forays.append(_foray(rng, world, site, day, f"f{len(forays) + 1:02d}"))
    return tuple(forays)


def _nth(year: int, month: int, week: int, weekday: int) -> dt.date:
    first = dt.date(year, month, 1)
    return first + dt.timedelta(days=(weekday - first.weekday()) % 7 + 7 * (week - 1))


def _foray_site(rng: random.Random, world: World, day: dt.date, used: dict[str, int]) -> Site:
    """A site with something to find, not one already walked twice this season."""
    sites = [s for s in world.sites if used.get(s.key, 0) < 2]
    weights = [
        math.sqrt(sum(w for _, w in choices_at(world, s, day)) + 0.1) / (1 + used.get(s.key, 0))
        for s in sites
    ]
    return rng.choices(sites, weights)[0]


def _foray(rng: random.Random, world: World, site: Site, day: dt.date, key: str) -> PlannedForay:
    leaders = [p for p in world.people if {"organiser", "referee", "keeper"} & set(p.roles)]
    leader = rng.choice(leaders)
    others = draw_people(rng, [p for p in world.people if p != leader], rng.randint(4, 11))
    all_species = day.month < 8 or rng.random() < 0.75
    return PlannedForay(
        key=key,
        title=f"{_season_word(day)} walk, {site.name}",
        site=site.key,
        day=day,
        starts=dt.time(10, 0),
        ends=dt.time(rng.choice((13, 14, 15)), rng.choice((0, 30))),
        leader=leader.key,
        people=(leader.key, *(p.key for p in others)),
        all_species=all_species,
        notes=_foray_note(site, all_species=all_species),
    )


def families_looked_for(site: Site) -> tuple[str, ...]:
    """What a foray for part of the species looks for, by the ground it walks."""
    if is_grass(site):
        return ("Hygrophoraceae", "Clavariaceae", "Geoglossaceae")
    return ("Russulaceae", "Boletaceae", "Suillaceae")


def is_grass(site: Site) -> bool:
    return "grassland" in site.tags and "broadleaf" not in site.tags


def _foray_note(site: Site, *, all_species: bool) -> str:
    note = f"{site.picking_rule} {site.cautions[0][0].upper()}{site.cautions[0][1:]}."
    if not all_species:
        what = "waxcaps and clubs" if is_grass(site) else "milk caps, brittle gills and boletes"
        note += f" Only {what} were looked for."
    return note


def _season_word(day: dt.date) -> str:
    if day.month in (3, 4, 5):
        return "Spring"
    return "Summer" if day.month < 9 else "Autumn"


def draw_people(rng: random.Random, people: Sequence[Member], count: int) -> list[Member]:
    """Different people, the active ones more often."""
    left = list(people)
    out: list[Member] = []
    while left and len(out) < count:
        chosen = rng.choices(left, [p.activity for p in left])[0]
        left.remove(chosen)
        out.append(chosen)
    return out
