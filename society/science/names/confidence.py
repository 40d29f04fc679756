"""How likely a guess is what was meant: costs made into shares, and the line below which nobody
chooses.

Method: each guess has the weight exp(-RATE x cost); its share is its weight among all guesses for
the same words, times the chance that what was meant is in the checklist at all. That chance falls
with the cost of the best guess and rises with the letters it rests on: a logistic curve for each
way a guess is reached. Names found as written have a fixed share for each kind of row.

Source: logistic calibration is common practice; every constant here was set from the measurement of
`tests/bench/names.py`, in which mistakes are made in names of the real checklist and part of its
species is taken out, and is checked by it: stated confidence against the share that was right.

Worked example: one guess by spelling at cost 1 over 20 letters has share 1 and the chance
1 / (1 + exp(-(BASE + LETTER x 20 - COST x 1))); two guesses at the same cost halve it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Final

from society.science.names.entries import EntryKind
from society.science.names.guessing import Guess, Way

LINE: Final = 0.9  # below this stated confidence nothing is chosen
FLOOR: Final = 0.02  # below this a guess is not offered
RATE: Final = 4.0
AS_WRITTEN: Final[Mapping[EntryKind, float]] = {
    "accepted": 0.99,
    "english": 0.98,
    "synonym": 0.98,
    "combination": 0.98,
    "misapplied": 0.5,
}
ANOTHER_SENSE: Final = 0.5  # at most, where the words say the name is meant in another's sense
UNREAD: Final = 0.6  # at most, where the words say more than the name
INSIDE: Final = 0.2  # a name that only holds the words

# way: (base, for each letter, for each unit of cost)
CURVES: Final[Mapping[Way, tuple[float, float, float]]] = {
    "whole": (4.0, 0.0, 1.0),
    "short": (3.4, 0.27, 0.5),
    "both": (1.8, 0.04, 1.1),
    "cut": (4.5, 0.27, 1.9),
    "genus": (4.0, 0.13, 3.6),
    "spelt": (8.0, 0.17, 3.95),
    "english": (8.0, 0.11, 4.0),
    "moved": (8.0, 0.15, 3.4),
}


def chance_listed(guess: Guess) -> float:
    """How likely it is that the words mean a name of the checklist, from the best guess."""
    base, letter, unit = CURVES[guess.way]
    return 1 / (1 + math.exp(-(base + letter * min(guess.letters, 24) - unit * guess.cost)))


def shares(guesses: Sequence[Guess]) -> list[float]:
    """The confidence of each guess, the best first; one guess for each accepted name."""
    if not guesses:
        return []
    best = guesses[0]
    weights = [math.exp(-RATE * (guess.cost - best.cost)) for guess in guesses]
    listed = chance_listed(best) / sum(weights)
    return [weight * listed for weight in weights]
