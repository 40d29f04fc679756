"""Whether what was seen is what an account lets one expect.

Method. A state that an account holds always, usually or sometimes is expected; one it holds rarely
or never is not, even where its neighbour is. A state it does not name is not expected either,
unless all it says is what is rare, or it is the neighbouring colour of one expected: that fits as
near to it, where the chance of being written for it is COLOUR_FITS_AT or more. Of several states
some expected and some not, it fits in part, and the weight decides.

Of readings 'no change' is expected where the account says so, or where at that minute it still
expects a colour that the exposure began with.

Source: the rules are the society's. Worked example. Milk usually orange, sometimes red, rarely
wine-red: wine-red is not expected; were it not named, it would fit as near to red.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from society.science.contrast.distributions import EXPECTED_WORDS
from society.science.contrast.facts import COLOUR_FITS_AT, NOT_A_LOOK, Observed
from society.science.contrast.readings import UNCHANGED

# What is written of a character that shows nothing of its kind: no ring, no volva, no change.
NONE = "none"


@dataclass(frozen=True)
class Fit:
    """`fits` None: some of it is expected and some not. `near_to`: the colours it is next to."""

    fits: bool | None
    near_to: tuple[str, ...] = ()


def fit_of(
    seen: Collection[str],
    held: Mapping[str, str],
    neighbours: Mapping[str, Sequence[str]],
    chances: Mapping[str, float],
) -> Fit:
    """How the states seen stand to what an account holds.

    `neighbours`: colour -> what is written for it; `chances` of each state to be written.
    """
    expected = [state for state, word in held.items() if word in EXPECTED_WORDS]
    found, near_to = set(), []
    for state in sorted(seen):
        near: list[str] = []
        if state in held:
            fits = held[state] in EXPECTED_WORDS
        elif not expected:
            fits = True
        else:
            if chances[state] >= COLOUR_FITS_AT:
                near = [colour for colour in expected if state in neighbours.get(colour, ())]
            fits = bool(near)
        found.add(fits)
        near_to += near
    # What was seen itself need not be named again.
    near_to = [colour for colour in near_to if colour not in seen] or near_to
    return Fit(found.pop() if len(found) == 1 else None, tuple(dict.fromkeys(near_to)))


def fit_of_reading(
    keys: Collection[str],
    held: Mapping[str, str],
    start: Mapping[str, str],
    neighbours: Mapping[str, Sequence[str]],
    chances: Mapping[str, float],
) -> Fit:
    """How a reading stands to the colours held at its minute; `keys` as `looks_of` gives them.

    `start`: the colours on exposing.
    """
    if NONE in keys and len(keys) > 1:  # 'no change' is another word for what was seen
        if held.get(NONE) in EXPECTED_WORDS:
            return Fit(fits=True)
        keys = set(keys) - {NONE}
    if UNCHANGED in keys:
        still = held.get(NONE) in EXPECTED_WORDS or any(
            word in EXPECTED_WORDS and held.get(colour) in EXPECTED_WORDS
            for colour, word in start.items()
        )
        held = {**held, UNCHANGED: "usually" if still else "never"}
    return fit_of(keys, held, neighbours, chances)


def contradicted(observed: Observed, codes: Iterable[str]) -> tuple[str, ...]:
    """The characters, in the order of `codes`, of which 'none' and another state were written.

    Both cannot stand, and which of them was meant is not known: it is no look at that character.
    """
    return tuple(
        code
        for code in codes
        if NONE in (states := observed.states.get(code, frozenset()))
        and len(states - NOT_A_LOOK) > 1
    )


def without(observed: Observed, codes: Collection[str]) -> Observed:
    """What was observed, without the characters of `codes`."""
    if not codes:
        return observed
    states = {code: states for code, states in observed.states.items() if code not in codes}
    return replace(observed, states=states)
