"""Which characters the finder wrote down, by rule and by a chance that is the find's own.

Somewhat under half of the finds have any. Of the characters of its account that a member sees on
the spot (at once, by a cut, under a lens) about a third are written, each in a state drawn by how
usual the account holds it; one in fifty is a mistake. Where nothing may be lifted or cut, what
needs that is not seen. Tastes are never written.
"""

import random
from collections.abc import Mapping
from dataclasses import dataclass

HAVE_ANY = 0.45
WRITTEN = 0.35
MISTAKEN = 0.02
ON_THE_SPOT = ("at_once", "cut", "lens")
CHANCE = {"always": 0.96, "usually": 0.7, "sometimes": 0.22, "rarely": 0.04, "never": 0.0}


@dataclass(frozen=True)
class Noticeable:
    """A character: its states in order, what it costs to see, and whether it needs a cut."""

    states: tuple[str, ...]
    cost: str
    cuts: bool
    never_asked: bool


def characters_seen(
    seed: int,
    account: Mapping[str, Mapping[str, str]],
    vocabulary: Mapping[str, Noticeable],
    *,
    may_take: bool,
) -> list[tuple[str, str]]:
    """Return (character, state) as written by the finder; the same seed gives the same."""
    rng = random.Random(seed)
    if rng.random() > HAVE_ANY:
        return []
    seen = []
    for code in sorted(account):
        character = vocabulary[code]
        if character.never_asked or character.cost not in ON_THE_SPOT or rng.random() > WRITTEN:
            continue
        if character.cuts and not may_take:
            continue
        if rng.random() < MISTAKEN:
            seen.append((code, rng.choice(character.states)))
            continue
        usual = account[code]
        weights = [CHANCE[usual[state]] for state in sorted(usual)]
        if sum(weights) > 0:
            seen.append((code, rng.choices(sorted(usual), weights)[0]))
    return seen
