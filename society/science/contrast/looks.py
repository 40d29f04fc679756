"""What each thing that was seen says of each candidate.

Method. A character's look is asked of the account's distribution, a timed reading of the account's
colours at that minute, both against the background and with error (`distributions`, `readings`).
It fits where the account lets one expect it (`fitting`), else it speaks against; what the account
does not hold, or not at that minute, is not known, with weight nought. Of several states written,
some expected and some not, the weight decides.

Source: as in `distributions`. Worked example. Pits 'none' seen, account 'many' always: speaks
against, with the weight worked out in `distributions`.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from society.science.contrast.background import Background
from society.science.contrast.distributions import (
    Distribution,
    character_chances,
    error_for,
    expected_of,
    log_ratio,
    one_or_both,
    states_of,
)
from society.science.contrast.exposures import SAME_AS, code_of, exposure_of
from society.science.contrast.facts import (
    COLOUR_CHARACTERS,
    NEAR_COLOURS,
    AccountFacts,
    CharacterFacts,
    Expected,
    ExpectedReading,
    Kind,
    Observed,
    ReadingSeen,
    Verdict,
)
from society.science.contrast.fitting import Fit, fit_of, fit_of_reading
from society.science.contrast.readings import (
    NEIGHBOURS,
    Group,
    carried_from,
    chance_of,
    chances_at,
    expected_or_carried,
    held_at,
    looks_of,
    spans_of,
    start_of,
)


@dataclass(frozen=True)
class Said:
    """What one look says of one candidate; the fields are those of Bearing and Moment."""

    verdict: Verdict
    weight: float = 0.0
    expects: tuple[Expected, ...] = ()
    near_to: tuple[str, ...] = ()
    in_part: bool = False
    carried_from: float | None = None


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
    near = NEAR_COLOURS if code in COLOUR_CHARACTERS else {}
    return _said(fit_of(seen, held, near, distribution), weight, expected_of(held))


def _said(
    fit: Fit, weight: float, expects: tuple[Expected, ...], carried: float | None = None
) -> Said:
    fits = weight >= 0 if fit.fits is None else fit.fits
    verdict: Verdict = "fits" if fits else "speaks_against"
    return Said(verdict, weight, expects, fit.near_to, fit.fits is None, carried)


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
                said.append(_of_reading(account, held, reading.minutes, keys, found, usual))
            looks.append(_reading_look(group, reading, tuple(said)))
    return looks


def _of_reading(
    account: AccountFacts,
    spans: Sequence[ExpectedReading],
    minute: float,
    keys: frozenset[str],
    found: tuple[Distribution, float],
    usual: float,
) -> Said:
    chances, trust = found
    chance = trust * chance_of(keys, chances) + (1 - trust) * usual
    weight = log_ratio(chance, usual, error_for(account))
    held, start = held_at(account, spans, minute), start_of(account, spans)
    fit = fit_of_reading(keys, held, start, NEIGHBOURS, chances)
    expects = expected_or_carried(account, spans, minute)
    return _said(fit, weight, expects, carried_from(spans, minute))


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
