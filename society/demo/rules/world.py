"""The invented society as it stands in ``data/``: sites, people and the pool of species."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

DATA = Path(__file__).resolve().parent.parent / "data"


@dataclass(frozen=True)
class ReadingStep:
    minute: int
    seen: str
    colour: str


@dataclass(frozen=True)
class ReadingRule:
    """What a species shows over time on a cut, under a thumb, or under a reagent."""

    kind: str
    exposed: str
    reagent: str
    steps: tuple[ReadingStep, ...]


@dataclass(frozen=True)
class Species:
    """One row of the pool. ``months`` are first and last month, the last may be earlier than
    the first (winter); ``peak`` is a month with its fraction (9.5 is the middle of September);
    ``row`` is the whole row as the sketches want it."""

    name: str
    family: str
    form: str
    frequency: int
    months: tuple[int, int]
    peak: float
    hosts: tuple[str, ...]
    substrate: str
    soils: tuple[str, ...]
    habitats: tuple[str, ...]
    count: tuple[int, int]
    growth: str
    older: tuple[str, ...]
    mistaken: str
    readings: tuple[ReadingRule, ...]
    spore_print: str | None
    row: Mapping[str, Any]

    @property
    def genus(self) -> str:
        return self.name.split()[0]


@dataclass(frozen=True)
class Site:
    """A wood or field. ``ring`` is its boundary, (longitude, latitude), not closed again."""

    key: str
    name: str
    parent: str
    openness: str
    hectares: float
    soil: str
    hosts: tuple[str, ...]
    habitats: tuple[str, ...]
    tags: tuple[str, ...]
    picking: str
    picking_rule: str
    owner: str
    cautions: tuple[str, ...]
    boundary: Mapping[str, Any]

    @property
    def ring(self) -> tuple[tuple[float, float], ...]:
        return tuple((x, y) for x, y in self.boundary["coordinates"][0][:-1])

    @property
    def may_lift_and_cut(self) -> bool:
        return self.picking != "nothing"


@dataclass(frozen=True)
class Scope:
    rank: str
    name: str

    def covers(self, species: Species) -> bool:
        return self.rank == "all" or self.name in (species.family, species.genus)


@dataclass(frozen=True)
class Member:
    key: str
    name: str
    initials: str
    roles: tuple[str, ...]
    scope: tuple[Scope, ...]
    sign_in: bool
    sites: tuple[str, ...]
    genera: tuple[str, ...]
    activity: int
    note: str

    def referees(self, species: Species) -> bool:
        return any(scope.covers(species) for scope in self.scope)


@dataclass(frozen=True)
class World:
    society: Mapping[str, Any]
    groups: tuple[Mapping[str, str], ...]
    sites: tuple[Site, ...]
    people: tuple[Member, ...]
    species: tuple[Species, ...]

    def site(self, key: str) -> Site:
        return next(s for s in self.sites if s.key == key)

    def person(self, key: str) -> Member:
        return next(p for p in self.people if p.key == key)

    def named(self, name: str) -> Species:
        return next(s for s in self.species if s.name == name)


@lru_cache(maxsize=1)
def load_world() -> World:
    """Read the three files of ``data/``."""
    places = json.loads((DATA / "sites.json").read_text(encoding="utf-8"))
    people = json.loads((DATA / "people.json").read_text(encoding="utf-8"))["people"]
    pool = json.loads((DATA / "species.json").read_text(encoding="utf-8"))["species"]
    return World(
        society=places["society"],
        groups=tuple(places["groups"]),
        sites=tuple(Site(**{k: _frozen(v) for k, v in s.items()}) for s in places["sites"]),
        people=tuple(_member(p) for p in people),
        species=tuple(_species(s) for s in pool),
    )


def _frozen(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value


def _member(row: dict[str, Any]) -> Member:
    scope = tuple(Scope(**s) for s in row["scope"])
    return Member(**{**{k: _frozen(v) for k, v in row.items()}, "scope": scope})


def _species(row: dict[str, Any]) -> Species:
    readings = tuple(
        ReadingRule(
            r["kind"], r["exposed"], r["reagent"], tuple(ReadingStep(**s) for s in r["steps"])
        )
        for r in row["readings"]
    )
    return Species(
        name=row["name"],
        family=row["family"],
        form=row["form"],
        frequency=row["frequency"],
        months=(row["months"][0], row["months"][1]),
        peak=row["peak"],
        hosts=tuple(row["hosts"]),
        substrate=row["substrate"],
        soils=tuple(row["soils"]),
        habitats=tuple(row["habitats"]),
        count=(row["count"][0], row["count"][1]),
        growth=row["growth"],
        older=tuple(row["older"]),
        mistaken=row["mistaken"],
        readings=readings,
        spore_print=row["colours"]["spore_print"],
        row=row,
    )
