"""What each thing that was seen says of each candidate.

Method. A character's look is asked of the account's distribution, a timed reading of the account's
colours at that minute, both against the background and with error (`distributions`, `readings`).
It fits where the account lets one expect it (always, usually, sometimes; for a reading a chance of
COLOUR_FITS_AT), else it speaks against; what the account does not hold is not known, with weight
nought. Of several states written, some expected and some not, the weight decides.

Source: as in `distributions`. Worked example. Pits 'none' seen, account 'many' always: speaks
against, with the weight worked out in `distributions`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from society.science.contrast.background import Background
from society.science.contrast.distributions import (
    character_chances,
    error_for,
    expected_of,
    is_expected,
    log_ratio,
    one_or_both,
    states_of,
)
from society.science.contrast.exposures import SAME_AS, code_of, exposure_of
from society.science.contrast.facts import (
    COLOUR_CHARACTERS,
    COLOUR_FITS_AT,
    AccountFacts,
    CharacterFacts,
    Expected,
    Kind,
    Observed,
    ReadingSeen,
    Verdict,
)
from society.science.contrast.readings import (
    Group,
    chance_of,
    chances_at,
    expected_at,
    looks_of,
    spans_of,
)


@dataclass(frozen=True)
class Said:
    """What one look says of one candidate."""

    verdict: Verdict
    weight: float = 0.0
    expects: tuple[Expected, ...] = ()


@dataclass(frozen=True)
class Look:
    kind: Kind
    code: str
    exposure: str
    seen: tuple[str, ...]
    said: tuple[Said, ...]
    group: Group = ("", "")
    minutes: float = 0.0

    @property
    def spread(self) -> float:
        """How far apart the candidates, and the unknown with weight nought, are on it."""
        weights = [0.0, *(said.weight for said in self.said)]
        return max(weights) - min(weights)


def looks_at(
    observed: Observed,
    accounts: Sequence[AccountFacts],
    characters: Mapping[str, CharacterFacts],
    background: Background,
) -> list[Look]:
    """Every look taken at characters and exposures, in the vocabulary's order, then by minute."""
    return [
        *_character_looks(observed, accounts, characters, background),
        *_reading_looks(observed, accounts, background),
    ]


def _character_looks(
    observed: Observed,
    accounts: Sequence[AccountFacts],
    characters: Mapping[str, CharacterFacts],
    background: Background,
) -> list[Look]:
    looks = []
    for code, character in characters.items():
        states = states_of(character)
        seen = tuple(s for s in states if s in observed.states.get(code, ()))
        if seen:
            usual = one_or_both(seen, background.states(code))
            said = _of_all(seen, character, accounts, usual)
            looks.append(Look("character", code, SAME_AS.get(code, code), seen, said))
    return looks


def _of_all(
    seen: tuple[str, ...],
    character: CharacterFacts,
    accounts: Sequence[AccountFacts],
    usual: float,
) -> tuple[Said, ...]:
    """What a look says of each account; accounts that hold the same are asked once."""
    code, states = character.code, states_of(character)
    known: dict[tuple[tuple[Expected, ...], bool], Said] = {}
    said = []
    for account in accounts:
        held = account.states.get(code, {})
        key = (tuple(held.items()), account.is_dangerous)
        if key not in known:
            known[key] = _of_states(seen, code, states, held, usual, error_for(account))
        said.append(known[key])
    return tuple(said)


def _of_states(
    seen: tuple[str, ...],
    code: str,
    states: tuple[str, ...],
    held: Mapping[str, str],
    usual: float,
    error: float,
) -> Said:
    distribution = character_chances(code, held, states)
    if distribution is None:
        return Said("not_known")
    weight = log_ratio(one_or_both(seen, distribution), usual, error)
    fits = is_expected(seen, held, _near(code, distribution))
    if fits is None:
        fits = weight >= 0
    return Said("fits" if fits else "speaks_against", weight, expected_of(held))


def _near(code: str, distribution: Mapping[str, float]) -> frozenset[str]:
    """The colours that may be written for one the account names."""
    if code not in COLOUR_CHARACTERS:
        return frozenset()
    return frozenset(s for s, chance in distribution.items() if chance >= COLOUR_FITS_AT)


def _reading_looks(
    observed: Observed, accounts: Sequence[AccountFacts], background: Background
) -> list[Look]:
    looks = []
    for group, rows in looks_of(observed).items():
        spans = [spans_of(account, group) for account in accounts]
        for reading, keys in rows:
            usual = chance_of(keys, background.colours(group, reading.minutes))
            said = []
            for account, held in zip(accounts, spans, strict=True):
                found = chances_at(account, held, reading.minutes)
                if found is None:
                    said.append(Said("not_known"))
                    continue
                chances, trust = found
                chance = trust * chance_of(keys, chances) + (1 - trust) * usual
                fits = chance_of(keys, chances) >= COLOUR_FITS_AT
                weight = log_ratio(chance, usual, error_for(account))
                expects = tuple(expected_at(account, *group, reading.minutes))
                said.append(Said("fits" if fits else "speaks_against", weight, expects))
            looks.append(_reading_look(group, reading, tuple(said)))
    return looks


def _reading_look(group: Group, reading: ReadingSeen, said: tuple[Said, ...]) -> Look:
    minutes = reading.minutes
    return Look(
        "reading",
        code_of(group, minutes),
        exposure_of(group, minutes),
        tuple(sorted(reading.colours or ())),
        said,
        group,
        minutes,
    )
