"""What a sketch needs to know of a species, read once from its row of ``species.json``."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

PALE = "#f2ead8"


@dataclass(frozen=True)
class Subject:
    """Sizes in cm, colours as ``#rrggbb``, marks as short words."""

    name: str
    form: str
    across: float
    tall: float
    stem: float
    figure: Mapping[str, str]
    marks: frozenset[str]
    colours: Mapping[str, str | None]
    hosts: tuple[str, ...]
    substrate: str
    habitats: tuple[str, ...]
    # The cut has changed colour within the first minute.
    turns_at_once: bool = False

    def colour(self, part: str, other: str = PALE) -> str:
        return self.colours.get(part) or other

    def has(self, mark: str) -> bool:
        return mark in self.marks


def subject_of(species: Mapping[str, Any]) -> Subject:
    """The subject of a row as ``species.json`` holds it."""
    return Subject(
        name=species["name"],
        form=species["form"],
        across=float(species["across_cm"]),
        tall=float(species["tall_cm"]),
        stem=float(species["stem_cm"]),
        figure=dict(species["figure"]),
        marks=frozenset(species["marks"]),
        colours=dict(species["colours"]),
        hosts=tuple(species["hosts"]),
        substrate=species["substrate"],
        habitats=tuple(species["habitats"]),
        turns_at_once=any(_differs(r, species["colours"]["flesh"]) for r in species["readings"]),
    )


def _differs(reading: Mapping[str, Any], flesh: str | None) -> bool:
    """Whether a bruise is of another colour than the flesh from the first minute on."""
    if reading["kind"] != "bruise" or flesh is None:
        return False
    first = reading["steps"][0]["colour"]
    parts = [(int(first[i : i + 2], 16), int(flesh[i : i + 2], 16)) for i in (1, 3, 5)]
    return sum(abs(a - b) for a, b in parts) > 90
