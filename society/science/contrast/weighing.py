"""The contrast itself: every candidate in order of support, with what bears on it and how.

Method. Each look (a character, a timed reading, hosts, substrate, month, spores) has a log ratio
for each candidate: its chance under the account against its chance under the background. What an
account does not hold has ratio one; a character written down as 'none' and as something else is
no look (`contradicted`). Looks at the same exposure (readings of milk at several
minutes, and the character that says the same in a word) are not independent: the one on which the
candidates differ most counts in full, every other by SAME_EXPOSURE, and together they never weigh
less than the rate of error nor more than GREATEST_GAIN, as if they were one look. Milk on cutting
and the change of milk are two exposures. The support of a row is its prior times all its ratios,
over the sum of the rows; 'something not in these accounts' has the prior UNKNOWN_PRIOR and the
background as its account, so all its ratios are one.

Looks at different parts are taken as independent (naive Bayes). They are not quite, so the log
ratio of each counts by TOGETHER only (hosts, substrate, month and spores have exponents of their
own). Support still runs ahead where a relative of a candidate is not in the accounts; words, not
numbers, are for showing.

No candidate is left out however little supports it, and none is ever called excluded.

Source: naive Bayes with an observer's error, as in any textbook; numbers in `facts`.

Worked example. Two candidates of prior 0.4, unknown 0.2; one look with chances 0.9 and 0.05 and
background 0.475: ratios, with error 0.05, are 1.85 and 0.15, to the power 0.85 they are 1.687 and
0.199; shares are 0.675, 0.080, 0.200 over their sum 0.955.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from math import exp, inf, log
from typing import Final

from society.science.contrast.background import Background
from society.science.contrast.distributions import error_for, expected_of
from society.science.contrast.exposures import SAME_AS, code_of, exposure_of
from society.science.contrast.facts import (
    CLOSE_WITHIN,
    DANGEROUS_SEPARATED_AT,
    GENUS_ONLY_STAGES,
    GREATEST_GAIN,
    RECORDED_MOST,
    RECORDED_POWER,
    REMOTE_PRIOR,
    SAME_EXPOSURE,
    SEEN_AT_LEAST,
    SEPARATED_AT,
    TOGETHER,
    UNKNOWN_PRIOR,
    AccountFacts,
    Bearing,
    CharacterFacts,
    Contrast,
    Expected,
    Kind,
    Moment,
    Observed,
    Row,
    Verdict,
)
from society.science.contrast.fitting import contradicted, without
from society.science.contrast.looks import Look, Said, looks_at
from society.science.contrast.readings import Group, expected_or_carried, spans_of
from society.science.contrast.surroundings import surroundings

# The minute whose colour stands for an exposure that nobody has looked at yet.
USUAL_MINUTE: Final = 30.0
_NOTHING_KNOWN: Final = Said("not_known")


def contrast(
    observed: Observed,
    candidates: Sequence[AccountFacts],
    vocabulary: Iterable[CharacterFacts],
    background: Background | None = None,
    in_question: Collection[int] | None = None,
) -> Contrast:
    """Hold what was observed against each candidate; see the module for the rule.

    `background`: best of all accounts of the form (`background_of`); else of the candidates.
    `in_question`: keys of the names proposed and their look-alikes; the others, there for their
    form and danger, start with REMOTE_PRIOR. None or nothing: all alike.
    """
    characters = {character.code: character for character in vocabulary}
    accounts = list({account.key: account for account in candidates}.values())
    if background is None:
        background = Background(accounts, characters.values())
    contradictions = contradicted(observed, characters)
    observed = without(observed, contradictions)
    looks = looks_at(observed, accounts, characters, background)
    factors = _factors(looks, accounts)
    unseen = _unseen(looks, accounts, characters)
    priors = _priors(accounts, in_question)
    rows = []
    for place, account in enumerate([*accounts, None]):
        bearings = [
            *_bearings(looks, factors, place if account is not None else None),
            *unseen[place],
            *surroundings(observed, account, background),
        ]
        rows.append(_row(account, log(priors[place]) if priors[place] else -inf, bearings))
    return replace(_ordered(rows, observed), contradictions=contradictions)


def ratio(found: Contrast, one: int | None, other: int | None) -> float:
    """How many times better the evidence fits `one` than `other`, whatever their priors."""
    return exp(found.row(one).log_likelihood - found.row(other).log_likelihood)


def _factors(looks: Sequence[Look], accounts: Sequence[AccountFacts]) -> list[list[float]]:
    """For each look and candidate the share of its weight that counts."""
    exposures: dict[str, list[int]] = {}
    for number, look in enumerate(looks):
        exposures.setdefault(look.exposure, []).append(number)
    factors = [[TOGETHER] * len(accounts) for _look in looks]
    for numbers in exposures.values():
        if len(numbers) == 1:  # one look keeps within its bounds already
            continue
        first = max(numbers, key=lambda number: looks[number].spread)
        shares = {number: 1.0 if number == first else SAME_EXPOSURE for number in numbers}
        for place, account in enumerate(accounts):
            total = sum(shares[n] * looks[n].said[place].weight for n in numbers)
            bounded = min(max(total, log(error_for(account))), log(GREATEST_GAIN))
            scale = bounded / total if total else 1.0
            for number in numbers:
                factors[number][place] = TOGETHER * shares[number] * scale
    return factors


def _bearings(
    looks: Sequence[Look], factors: Sequence[Sequence[float]], place: int | None
) -> list[Bearing]:
    """One bearing a character, and one for all readings of an exposure."""
    members: dict[tuple[Kind, str], list[tuple[Look, Said, float]]] = {}
    for look, shares in zip(looks, factors, strict=True):
        if place is None:
            row = (look, _NOTHING_KNOWN, 0.0)
        else:
            row = (look, look.said[place], look.said[place].weight * shares[place])
        members.setdefault((look.kind, look.code), []).append(row)
    return [_bearing(rows) for rows in members.values()]


def _bearing(rows: Sequence[tuple[Look, Said, float]]) -> Bearing:
    look, said, weight = rows[-1]
    if look.kind == "character":
        return Bearing(
            look.kind,
            look.code,
            said.verdict,
            look.seen,
            said.expects,
            weight,
            near_to=said.near_to,
            in_part=said.in_part,
        )
    weight = sum(counted for _look, _said, counted in rows)
    known = [said for _look, said, _counted in rows if said.verdict != "not_known"]
    verdicts = {said.verdict for said in known}
    verdict: Verdict = next(iter(verdicts), "not_known")
    near = [colour for said in known for colour in said.near_to]
    if len(verdicts) > 1:  # at some minutes it fits, at others it speaks against
        verdict = "fits" if weight >= 0 else "speaks_against"
    return Bearing(
        look.kind,
        look.code,
        verdict,
        look.seen,
        said.expects,
        weight,
        *look.group,
        tuple(
            Moment(
                look.minutes,
                look.seen,
                said.expects,
                said.verdict,
                said.near_to,
                said.in_part,
                said.carried_from,
            )
            for look, said, _counted in rows
        ),
        tuple(dict.fromkeys(near)) if all(said.near_to for said in known) else (),
        len(verdicts) > 1 or any(said.in_part for said in known),
    )


def _unseen(
    looks: Sequence[Look],
    accounts: Sequence[AccountFacts],
    characters: Mapping[str, CharacterFacts],
) -> list[list[Bearing]]:
    """For each candidate and the unknown, what an account speaks of and nobody has looked at.

    Of readings and the character that says the same in a word, the character alone.
    """
    done = {look.exposure for look in looks}
    known = {code for account in accounts for code, held in account.states.items() if held}
    codes = [
        code
        for code, character in characters.items()
        if code in known and not character.never_asked and SAME_AS.get(code, code) not in done
    ]
    done |= {SAME_AS.get(code, code) for code in codes}
    groups = sorted(
        group
        for group in {(row.exposed, row.reagent) for a in accounts for row in a.readings}
        if exposure_of(group, USUAL_MINUTE) not in done
    )
    found: list[list[Bearing]] = []
    for account in accounts:
        states = account.states
        bearings = [_unseen_character(code, expected_of(states.get(code, {}))) for code in codes]
        for group in groups:
            expects: tuple[Expected, ...] = ()
            if account.readings:
                expects = expected_or_carried(account, spans_of(account, group), USUAL_MINUTE)
            bearings.append(_unseen_reading(group, expects))
        found.append(bearings)
    found.append(
        [
            *(_unseen_character(code, ()) for code in codes),
            *(_unseen_reading(group, ()) for group in groups),
        ]
    )
    return found


@lru_cache(maxsize=20_000)
def _unseen_character(code: str, expects: tuple[Expected, ...]) -> Bearing:
    """A character nobody has looked at; remembered, as most of a table is made of these."""
    return Bearing("character", code, "not_seen", (), expects)


def _unseen_reading(group: Group, expects: tuple[Expected, ...]) -> Bearing:
    code = code_of(group, USUAL_MINUTE)
    return Bearing("reading", code, "not_seen", (), expects, 0.0, *group)


def _priors(accounts: Sequence[AccountFacts], in_question: Collection[int] | None) -> list[float]:
    """Shares before any evidence, the unknown last. A dangerous one is never held for rarer."""
    if not accounts:
        return [1.0]
    shares = [min((1 + account.recorded) ** RECORDED_POWER, RECORDED_MOST) for account in accounts]
    most = max(shares)
    shares = [
        (most if account.is_dangerous else share)
        * (REMOTE_PRIOR if in_question and account.key not in in_question else 1.0)
        for account, share in zip(accounts, shares, strict=True)
    ]
    total = sum(shares)
    return [*((1 - UNKNOWN_PRIOR) * share / total for share in shares), UNKNOWN_PRIOR]


def _row(account: AccountFacts | None, prior: float, bearings: list[Bearing]) -> Row:
    verdicts = [bearing.verdict for bearing in bearings]
    fits, against = verdicts.count("fits"), verdicts.count("speaks_against")
    return Row(
        key=account.key if account is not None else None,
        is_dangerous=account is not None and account.is_dangerous,
        log_support=0.0,
        log_prior=prior,
        log_likelihood=sum(bearing.weight for bearing in bearings),
        fits=fits,
        against=against,
        seen=fits + against,
        not_known=verdicts.count("not_known"),
        bearings=tuple(bearings),
    )


def _ordered(rows: list[Row], observed: Observed) -> Contrast:
    heights = [row.log_prior + row.log_likelihood for row in rows]
    top = max(heights)
    total = top + log(sum(exp(height - top) for height in heights))
    rows = [
        replace(row, log_support=height - total) for row, height in zip(rows, heights, strict=True)
    ]
    rows.sort(key=lambda row: (-row.log_support, row.key is None, row.key or 0))
    whole = observed.stage not in GENUS_ONLY_STAGES and not observed.pictures_only
    leader = rows[0]
    close = tuple(
        row.key
        for row in rows
        if row.key is not None
        and row.is_dangerous
        and leader.log_support - row.log_support < log(CLOSE_WITHIN)
    )
    separated = (
        whole
        and leader.key is not None
        and leader.seen >= SEEN_AT_LEAST
        and all(
            leader.log_support - row.log_support
            >= log(DANGEROUS_SEPARATED_AT if row.is_dangerous else SEPARATED_AT)
            for row in rows[1:]
        )
    )
    return Contrast(tuple(rows), "species" if whole else "genus", separated, close)
