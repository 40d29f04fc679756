"""The looks that have not been taken yet, and what each candidate expects of them.

Method. Characters of the vocabulary that a candidate holds; timed readings at the minutes one
looks at milk (MINUTES), later than any look so far; the trees, the substrate, and the spores by
length and width in bins. Each comes with its outcomes, their chances under each candidate (None:
not known) and under the background, and its cost. Trees and substrate are softened towards the
background by the exponents of `surroundings`, as they count for no more than that.

Source: common practice; the numbers are the society's. Worked example. Milk of an account orange
to 5 minutes and wine-red from 10: the look at 30 minutes costs 2 + 30 / 15 = 4.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from math import erf, inf
from typing import Final

from society.science.contrast.background import Background
from society.science.contrast.distributions import (
    Distribution,
    character_chances,
    expected_of,
    states_of,
)
from society.science.contrast.exposures import SAME_AS, code_of, exposure_of
from society.science.contrast.facts import (
    COLOURS,
    COSTS,
    HOST_POWER,
    SUBSTRATE_POWER,
    WAIT_MINUTES_A_LOOK,
    AccountFacts,
    CharacterFacts,
    Cost,
    Expected,
    Kind,
    Observed,
)
from society.science.contrast.readings import (
    Group,
    chances_at,
    expected_at,
    looks_of,
    spans_of,
)
from society.science.contrast.surroundings import host_chance, substrate_chance

# The minutes at which a reading is proposed, as one looks at milk; common practice.
MINUTES: Final = (1.0, 5.0, 10.0, 30.0, 60.0)
_SPORE_BINS: Final = 6


@dataclass(frozen=True)
class Check:
    """A look that could be taken: what each candidate, and the background, give its outcomes."""

    facts: CharacterFacts
    kind: Kind
    exposure: str
    cost: float
    outcomes: Sequence[str]
    background: Mapping[str, float]
    chances: Sequence[Mapping[str, float] | None]
    expects: Callable[[AccountFacts], tuple[Expected, ...]]
    group: Group = ("", "")
    minute: float | None = None


def checks_left(
    observed: Observed,
    accounts: Sequence[AccountFacts],
    characters: Mapping[str, CharacterFacts],
    background: Background,
) -> Iterable[Check]:
    """Every look that has not been taken, whether or not it is possible."""
    yield from _characters(observed, accounts, characters, background)
    yield from _readings(observed, accounts, characters, background)
    yield from _around(observed, accounts, background)


def cost_of(cost: Cost, minutes: float | None) -> float:
    """What a look costs, in looks at something seen at once."""
    return COSTS[cost] + (minutes or 0) / WAIT_MINUTES_A_LOOK


def _characters(
    observed: Observed,
    accounts: Sequence[AccountFacts],
    characters: Mapping[str, CharacterFacts],
    background: Background,
) -> Iterable[Check]:
    done = _done(observed, characters)
    for code, character in characters.items():
        exposure = SAME_AS.get(code, code)
        states = states_of(character)
        if character.never_asked or exposure in done or len(states) < 2:
            continue
        held = [account.states.get(code, {}) for account in accounts]
        chances = [character_chances(code, said, states) for said in held]
        if any(chances):
            yield Check(
                character,
                "character",
                exposure,
                cost_of(character.cost, character.wait_minutes),
                states,
                background.states(code),
                chances,
                partial(_states_expected, code),
            )


def _done(observed: Observed, characters: Mapping[str, CharacterFacts]) -> set[str]:
    """The exposures somebody has looked at."""
    done = {
        SAME_AS.get(code, code)
        for code, character in characters.items()
        if set(states_of(character)) & observed.states.get(code, frozenset())
    }
    for group, rows in looks_of(observed).items():
        done.update(exposure_of(group, reading.minutes) for reading, _keys in rows)
    return done


def _readings(
    observed: Observed,
    accounts: Sequence[AccountFacts],
    characters: Mapping[str, CharacterFacts],
    background: Background,
) -> Iterable[Check]:
    looked = {group: rows[-1][0].minutes for group, rows in looks_of(observed).items()}
    said = {
        SAME_AS[code]
        for code, states in observed.states.items()
        if code in SAME_AS and code in characters and set(states_of(characters[code])) & states
    }
    for group in sorted({(row.exposed, row.reagent) for a in accounts for row in a.readings}):
        spans = [spans_of(account, group) for account in accounts]
        for minute in MINUTES:
            exposure = exposure_of(group, minute)
            if exposure in said or minute <= looked.get(group, -1.0):
                continue
            cost: Cost = "reagent" if group[0] == "reagent" else "wait"
            facts = CharacterFacts(
                code_of(group, minute), COLOURS, cost, round(minute), group[0] in ("milk", "flesh")
            )
            usual = background.colours(group, minute)
            chances = [
                _trusted(chances_at(account, held, minute))
                for account, held in zip(accounts, spans, strict=True)
            ]
            yield Check(
                facts,
                "reading",
                exposure,
                cost_of(cost, minute),
                COLOURS,
                usual,
                chances,
                partial(_colours_expected, group, minute),
                group,
                minute,
            )


def _trusted(found: tuple[Distribution, float] | None) -> Distribution | None:
    """Only what the account says of that minute; what is carried on to it is no reason to wait."""
    if found is None or found[1] < 1:
        return None
    chances, _trust = found
    return {key: chances[key] for key in COLOURS}


def _around(
    observed: Observed, accounts: Sequence[AccountFacts], background: Background
) -> Iterable[Check]:
    """The trees, what it grew on, and the spores."""
    if not observed.hosts and any(account.hosts for account in accounts):
        rates = background.hosts()
        yield Check(
            CharacterFacts("hosts", tuple(rates)),
            "hosts",
            "hosts",
            COSTS["at_once"],
            tuple(rates),
            rates,
            _hosts(accounts, background),
            lambda account: tuple((genus, "") for genus in sorted(account.hosts)),
        )
    if not observed.substrate and any(account.substrates for account in accounts):
        rates = background.substrates()
        yield Check(
            CharacterFacts("substrate", tuple(rates)),
            "substrate",
            "substrate",
            COSTS["at_once"],
            tuple(rates),
            rates,
            _substrates(accounts, background),
            lambda account: tuple((name, "") for name in sorted(account.substrates)),
        )
    if observed.spores is None and sum(account.spores is not None for account in accounts) > 1:
        yield _spores(accounts)


def _hosts(accounts: Sequence[AccountFacts], background: Background) -> list[Distribution | None]:
    """The same value for the same hosts."""
    rates = background.hosts()
    known: dict[frozenset[str], Distribution | None] = {frozenset(): None}
    for account in accounts:
        if account.hosts not in known:
            chances = {genus: host_chance(genus, account, background) for genus in rates}
            known[account.hosts] = _softened(chances, rates, HOST_POWER["probable_host"])
    return [known[account.hosts] for account in accounts]


def _substrates(
    accounts: Sequence[AccountFacts], background: Background
) -> list[Distribution | None]:
    rates = background.substrates()
    known: dict[frozenset[str], Distribution | None] = {frozenset(): None}
    for account in accounts:
        if account.substrates not in known:
            chances = {name: substrate_chance(name, account, background) for name in rates}
            known[account.substrates] = _softened(chances, rates, SUBSTRATE_POWER)
    return [known[account.substrates] for account in accounts]


def _softened(chances: Distribution, rates: Mapping[str, float], power: float) -> Distribution:
    total, usual = sum(chances.values()), sum(rates.values())
    return {
        name: power * chances[name] / total + (1 - power) * rates[name] / usual for name in chances
    }


def _spores(accounts: Sequence[AccountFacts]) -> Check:
    """Length and width in bins between the smallest and the largest account."""
    held = [account.spores for account in accounts if account.spores is not None]
    edges = []
    for low, high in (
        (min(s.length_from for s in held), max(s.length_to for s in held)),
        (min(s.width_from for s in held), max(s.width_to for s in held)),
    ):
        step = (high - low) / _SPORE_BINS
        inner = [low + step * number for number in range(1, _SPORE_BINS)]
        edges.append([-inf, *inner, inf])
    names = [f"{a}.{b}" for a in range(_SPORE_BINS) for b in range(_SPORE_BINS)]
    chances: list[Distribution | None] = []
    for account in accounts:
        if account.spores is None:
            chances.append(None)
            continue
        s = account.spores
        long = _binned(edges[0], s.length_from, s.length_to)
        wide = _binned(edges[1], s.width_from, s.width_to)
        chances.append(dict(zip(names, (a * b for a in long for b in wide), strict=True)))
    known = [row for row in chances if row]
    usual = {name: sum(row[name] for row in known) / len(known) for name in names}
    return Check(
        CharacterFacts("spores", tuple(names), "microscope"),
        "spores",
        "spores",
        COSTS["microscope"],
        names,
        usual,
        chances,
        _spores_expected,
    )


def _binned(edges: Sequence[float], low: float, high: float) -> list[float]:
    middle, spread = (low + high) / 2, (((high - low) / 4) ** 2 + 0.3**2) ** 0.5
    below = [0.5 * (1 + erf((edge - middle) / spread / 2**0.5)) for edge in edges]
    return [after - before for before, after in pairwise(below)]


def _spores_expected(account: AccountFacts) -> tuple[Expected, ...]:
    limits = account.spores
    if limits is None:
        return ()
    return (
        (f"{limits.length_from:g}-{limits.length_to:g}", "length"),
        (f"{limits.width_from:g}-{limits.width_to:g}", "width"),
    )


def _states_expected(code: str, account: AccountFacts) -> tuple[Expected, ...]:
    return expected_of(account.states.get(code, {}))


def _colours_expected(group: Group, minute: float, account: AccountFacts) -> tuple[Expected, ...]:
    return tuple(expected_at(account, group[0], group[1], minute))
