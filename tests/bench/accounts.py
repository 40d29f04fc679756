"""Read the society's accounts and vocabulary from their files, without a database."""

import csv
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from society.science.contrast import (
    AccountFacts,
    CharacterFacts,
    ExpectedReading,
    SporeLimits,
)

DATA = Path(__file__).parents[2] / "society" / "names" / "data"
DANGEROUS = frozenset({"deadly", "serious"})


def vocabulary_read(folder: Path = DATA) -> list[CharacterFacts]:
    """Return the characters of the vocabulary, in its order."""
    return [
        CharacterFacts(
            code=row["character"],
            states=tuple(part.partition("=")[0] for part in row["states"].split("|")),
            cost=row["cost"],  # type: ignore[arg-type]
            wait_minutes=int(row["wait_minutes"]) if row["wait_minutes"] else None,
            cuts=row["cuts"] == "yes",
            never_asked=row["never_asked"] == "yes",
            forms=frozenset(row["form"].split("|")),
        )
        for row in _rows(folder, "characters.csv")
    ]


def accounts_read(folder: Path = DATA) -> dict[str, AccountFacts]:
    """Return the accounts by name; what the checklist does not hold is left out."""
    taxa = {row["scientific_name"]: row for row in _rows(folder, "fungi_*.csv")}
    facts: dict[str, dict[str, Any]] = {}
    held = folder / "accounts"
    for row in _rows(held, "characters_*.csv"):
        if row["name"] in taxa:
            account = facts.setdefault(row["name"], {"states": {}, "readings": []})
            account["states"].setdefault(row["character"], {}).update(_usual(row["states"]))
    for row in _rows(held, "readings_*.csv"):
        if row["name"] in facts:
            facts[row["name"]]["readings"] += [
                ExpectedReading(
                    row["exposed"],
                    row["reagent"],
                    float(row["minute_from"]),
                    float(row["minute_to"]),
                    colour,
                    usual,
                )
                for colour, usual in _usual(row["colours"]).items()
            ]
    for row in _rows(held, "spores_*.csv"):
        if row["name"] in facts:
            sizes = [float(row[side]) if row[side] else None for side in _SIDES]
            facts[row["name"]]["spores"] = SporeLimits(*sizes)  # type: ignore[arg-type]
    return {
        name: _account(key, taxa[name], facts[name]) for key, name in enumerate(sorted(facts), 1)
    }


_SIDES = ("length_from", "length_to", "width_from", "width_to", "q_from", "q_to")


def _account(key: int, taxon: dict[str, str], facts: dict[str, Any]) -> AccountFacts:
    first, _dash, last = taxon["months"].partition("-")
    return AccountFacts(
        key=key,
        form=taxon["form"],
        genus=taxon["genus"],
        is_dangerous=taxon["danger"] in DANGEROUS,
        states=facts["states"],
        readings=tuple(facts["readings"]),
        spores=facts.get("spores"),
        hosts=frozenset(
            filter(None, (host.split()[0] for host in taxon["hosts"].split("|") if host))
        ),
        substrates=frozenset(filter(None, taxon["substrate"].split("|"))),
        months=(int(first), int(last or first)) if first else None,
    )


def _rows(folder: Path, pattern: str) -> Iterator[dict[str, str]]:
    for file in sorted(folder.glob(pattern)):
        with file.open(encoding="utf-8", newline="") as lines:
            yield from csv.DictReader(lines)


def _usual(text: str) -> dict[str, str]:
    parts = (part.partition("=") for part in text.split("|") if part)
    return {code.strip(): usual.strip() for code, _equals, usual in parts}
