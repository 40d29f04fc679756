"""From words of frequency to probabilities, and the background every account is held against.

Method. The states an account speaks of weigh what USUAL says; what is left of one, at least
UNSPOKEN, is shared evenly by the states it does not speak of; then all are brought to sum one.
The background of a character is the mean of the accounts that hold it, mixed with an even share,
so that nothing has probability nought. Several states written down for one character are read as
'one of these, or both': half the mean of their probabilities (one of them, not said which) and
half their geometric mean (all of them stand). Of colours a share of looks, NEIGHBOUR_SHARE, names
a neighbouring one. A mistaken look, one in so many, follows the
background; so the ratio of a look against the background never falls below the rate of error, and
it is cut off at GREATEST_GAIN above. Source: a naive Bayes likelihood with an observer's error, as
in any textbook; the numbers are the society's.

Worked example. Pits on the stem 'many' always, of none, few, many: many 0.95, none and few 0.025
each. With background 1/3 each and error 0.05, 'none' weighs (0.95 * 0.025 + 0.05 / 3) / (1 / 3),
about 0.12, against the account.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from functools import lru_cache
from math import exp, log

from society.science.contrast.facts import (
    BACKGROUND_EVEN,
    COLOUR_CHARACTERS,
    DANGEROUS_ERROR,
    GREATEST_GAIN,
    NEAR_COLOURS,
    NEIGHBOUR_SHARE,
    NOT_A_LOOK,
    OBSERVER_ERROR,
    UNSPOKEN,
    USUAL,
    AccountFacts,
    CharacterFacts,
    Expected,
)

Distribution = dict[str, float]
# As usual or more: the state is one that the account lets one expect.
EXPECTED_WORDS = frozenset({"always", "usually", "sometimes"})


def distribution_of(held: Mapping[str, str], states: Sequence[str]) -> Distribution | None:
    """The probabilities of `states` under what an account holds; None where it holds nothing."""
    spoken = {state: USUAL[held[state]] for state in states if state in held}
    if not spoken:
        return None
    unspoken = len(states) - len(spoken)
    total = sum(spoken.values())
    rest = max(UNSPOKEN, 1.0 - total) if unspoken else 0.0
    total += rest
    each = rest / unspoken / total if unspoken else 0.0
    return {state: spoken[state] / total if state in spoken else each for state in states}


def character_chances(
    code: str, held: Mapping[str, str], states: Sequence[str]
) -> Distribution | None:
    """The chances that each state is written down: of colours, some looks name a neighbour."""
    if not held:
        return None
    return _chances(code in COLOUR_CHARACTERS, tuple(held.items()), tuple(states))


@lru_cache(maxsize=20_000)
def _chances(
    is_colour: bool, held: tuple[Expected, ...], states: tuple[str, ...]
) -> Distribution | None:
    """Remembered, as accounts hold few different rows; nobody writes to what is given back."""
    found = distribution_of(dict(held), states)
    if found is None or not is_colour:
        return found
    near = {s: [n for n in NEAR_COLOURS.get(s, ()) if n in found] for s in states}
    return with_neighbours(found, near)


def with_neighbours(
    chances: Mapping[str, float], near: Mapping[str, Sequence[str]]
) -> Distribution:
    """Share NEIGHBOUR_SHARE of each colour's chance among its neighbours, where it has any."""
    found = dict.fromkeys(chances, 0.0)
    for colour, chance in chances.items():
        neighbours = near.get(colour, ())
        kept = chance * (1 - NEIGHBOUR_SHARE) if neighbours else chance
        found[colour] += kept
        for neighbour in neighbours:
            found[neighbour] += (chance - kept) / len(neighbours)
    return found


def mean_of(distributions: Iterable[Mapping[str, float]], states: Sequence[str]) -> Distribution:
    """The mean of distributions over `states`, mixed with an even share."""
    rows = list(distributions)
    even = 1.0 / len(states)
    if not rows:
        return dict.fromkeys(states, even)
    share = (1.0 - BACKGROUND_EVEN) / len(rows)
    return {
        state: share * sum(row[state] for row in rows) + BACKGROUND_EVEN * even for state in states
    }


def one_or_both(seen: Collection[str], distribution: Mapping[str, float]) -> float:
    """The probability of what was written, read as 'one of these, or both'."""
    chances = [distribution[state] for state in sorted(seen)]
    if len(chances) == 1:
        return chances[0]
    mean = sum(chances) / len(chances)
    return 0.5 * mean + 0.5 * exp(sum(map(log, chances)) / len(chances))


def error_for(account: AccountFacts) -> float:
    """How often a look tells nothing of this candidate."""
    return DANGEROUS_ERROR if account.is_dangerous else OBSERVER_ERROR


def log_ratio(chance: float, background: float, error: float) -> float:
    """Log of the ratio against the background, with error, between its floor and its ceiling."""
    return log(min((1.0 - error) * chance / background + error, GREATEST_GAIN))


def states_of(character: CharacterFacts) -> tuple[str, ...]:
    """The states that are looks; 'not looked' is none."""
    return tuple(state for state in character.states if state not in NOT_A_LOOK)


def expected_of(held: Mapping[str, str]) -> tuple[Expected, ...]:
    """What an account holds, most usual first."""
    return _expected(tuple(held.items())) if held else ()


@lru_cache(maxsize=20_000)
def _expected(held: tuple[Expected, ...]) -> tuple[Expected, ...]:
    looks = (item for item in held if item[0] not in NOT_A_LOOK)
    return tuple(sorted(looks, key=lambda item: (-USUAL[item[1]], item[0])))
