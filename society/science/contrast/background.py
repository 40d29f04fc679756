"""The background: what a fungus is like of which nothing is known but that it is one of these.

Method. For each character, each exposure at each minute, hosts, substrates, months and spores, the
background is the mean over the accounts given that hold it, part of it (BACKGROUND_EVEN) spread
evenly. It is the account of 'something not in these accounts', and what stands in for whatever an
account does not hold: so what is not known neither fits nor speaks against. Best made once of all
accounts of a form and kept; what has been worked out is remembered.

Source: the society's own choice. Worked example. Two accounts, one with pits 'many' always, the
other 'none' always, of none, few, many: the background is 0.457, 0.087, 0.457.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from math import exp
from typing import Final

from society.science.contrast.distributions import (
    Distribution,
    character_chances,
    mean_of,
    states_of,
)
from society.science.contrast.facts import (
    BACKGROUND_EVEN,
    COLOURS,
    AccountFacts,
    CharacterFacts,
    MeasuredSpores,
    SporeLimits,
)
from society.science.contrast.readings import UNCHANGED, Group, chances_at, spans_of

# Micrometres by which the reading of a mean is off, beside the spread between collections.
_READING_ERROR: Final = 0.3
# A wide guess for spores of nothing known, per square micrometre.
_ANY_SPORE: Final = 1.0 / 300.0


class Background:
    """The mean of many accounts; see the module. Holds the accounts and what was worked out."""

    def __init__(
        self, accounts: Iterable[AccountFacts], vocabulary: Iterable[CharacterFacts]
    ) -> None:
        self.accounts = tuple(accounts)
        self._characters = {character.code: character for character in vocabulary}
        self._states: dict[str, Distribution] = {}
        self._colours: dict[tuple[Group, float], Distribution] = {}
        self._hosts: Distribution | None = None
        self._substrates: Distribution | None = None
        self._months: dict[int, float] | None = None

    def states(self, code: str) -> Distribution:
        """The background of a character's states."""
        if code not in self._states:
            states = states_of(self._characters[code])
            held = (account.states.get(code, {}) for account in self.accounts)
            rows = (character_chances(code, said, states) for said in held)
            self._states[code] = mean_of((row for row in rows if row), states)
        return self._states[code]

    def colours(self, group: Group, minute: float) -> Distribution:
        """The background of the colours at a minute of an exposure, and of UNCHANGED."""
        if (group, minute) not in self._colours:
            found = (chances_at(row, spans_of(row, group), minute) for row in self.accounts)
            rows = [chances for chances, _trust in filter(None, found)]
            mean = mean_of(rows, COLOURS)
            unchanged = sum(row[UNCHANGED] for row in rows) / len(rows) if rows else 0.5
            mean[UNCHANGED] = (1 - BACKGROUND_EVEN) * unchanged + BACKGROUND_EVEN * 0.5
            self._colours[group, minute] = mean
        return self._colours[group, minute]

    def hosts(self) -> Distribution:
        """Genus -> share of a find's host among the accounts that hold hosts; '' any other."""
        if self._hosts is None:
            self._hosts = _shares([row.hosts for row in self.accounts if row.hosts])
        return self._hosts

    def substrates(self) -> Distribution:
        """Substrate -> share among the accounts that hold one; '' any other."""
        if self._substrates is None:
            self._substrates = _shares([row.substrates for row in self.accounts if row.substrates])
        return self._substrates

    def months(self) -> dict[int, float]:
        """Month -> share among the accounts that hold months."""
        if self._months is None:
            held = [months_of(row.months) for row in self.accounts if row.months]
            rows = [{month: 1 / len(months) for month in months} for months in held]
            counts: Counter[int] = Counter()
            for row in rows:
                counts.update(row)
            share = (1 - BACKGROUND_EVEN) / len(rows) if rows else 0.0
            even = BACKGROUND_EVEN if rows else 1.0
            self._months = {m: share * counts[m] + even / 12 for m in range(1, 13)}
        return self._months

    def spores(self, measured: MeasuredSpores) -> float:
        """How dense the accounts that hold spores are at the middle of what was measured."""
        held = [spore_density(row.spores, measured) for row in self.accounts if row.spores]
        if not held:
            return _ANY_SPORE
        return (1 - BACKGROUND_EVEN) * sum(held) / len(held) + BACKGROUND_EVEN * _ANY_SPORE


def background_of(
    accounts: Iterable[AccountFacts], vocabulary: Iterable[CharacterFacts]
) -> Background:
    """Return the background of these accounts, to be kept and given to `contrast`."""
    return Background(accounts, vocabulary)


def months_of(months: tuple[int, int]) -> frozenset[int]:
    """The months from first to last, across New Year where the first is greater."""
    first, last = months
    return frozenset((first - 1 + step) % 12 + 1 for step in range((last - first) % 12 + 1))


def spore_density(limits: SporeLimits, measured: MeasuredSpores) -> float:
    """Density of the middle of what was measured under an account's limits (length and width).

    The limits are read as the span of two standard deviations to each side, and the reading's own
    error is added; length and width are taken as independent, the exponent makes up for it.
    """
    density = 1.0
    for low, high, seen_low, seen_high in (
        (limits.length_from, limits.length_to, measured.length_from, measured.length_to),
        (limits.width_from, limits.width_to, measured.width_from, measured.width_to),
    ):
        spread = (((high - low) / 4) ** 2 + _READING_ERROR**2) ** 0.5
        away = ((seen_low + seen_high) / 2 - (low + high) / 2) / spread
        density *= exp(-0.5 * away * away) / (spread * 2.5066282746310002)
    return density


def _shares(sets: Sequence[frozenset[str]]) -> Distribution:
    counts: Distribution = {}
    for names in sets:
        for name in sorted(names):
            counts[name] = counts.get(name, 0.0) + 1 / len(names)
    share = (1 - BACKGROUND_EVEN) / len(sets) if sets else 0.0
    even = (BACKGROUND_EVEN if sets else 1.0) / (len(counts) + 1)
    found = {name: share * count + even for name, count in sorted(counts.items())}
    found[""] = even
    return found
