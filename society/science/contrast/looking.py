"""Which look would separate the candidates best for what it costs.

Method. For each look not taken yet the expected information is the mutual information, in bits,
between what would be seen and which row is right, under the present support: the entropy of what
is expected all in all, less the mean entropy of what each row expects. The same is reckoned for
the question 'is it one of the dangerous ones that are still close', and added with DANGER_WEIGHT.
The sum is divided by what the look costs in looks at something seen at once (COSTS; a wait adds
one for each 15 minutes). Of looks at one exposure only one is given: the reading at its best
minute, and the character that says the same in a word only where no account has readings or for
milk on cutting. Trees and substrate count for as much as their exponents let them. Tasting is
never proposed, nor what has been looked at already, nor what `possible` does not allow. What was
written down both as 'none' and as something else is worth another look.

Source: mutual information after Shannon (1948); costs are common practice put into numbers.

Worked example. Two candidates of weight one half each, one always blue, the other never, without
error: one bit. At the cost of a cut (2) that is half a bit for each look at once.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from math import exp, log, log2
from typing import Final

from society.science.contrast.background import Background
from society.science.contrast.checks import Check, checks_left
from society.science.contrast.distributions import error_for
from society.science.contrast.exposures import SAME_AS
from society.science.contrast.facts import (
    DANGER_WEIGHT,
    LEAST_GAIN,
    AccountFacts,
    CharacterFacts,
    Contrast,
    Expected,
    NextLook,
    Observed,
    WouldSay,
)
from society.science.contrast.fitting import contradicted, without

Possible = Callable[[CharacterFacts], bool] | Collection[str]
# So many leading candidates are told of, besides dangerous ones that are close.
LEADING: Final = 4
# Telling is an outcome to which some account gives this chance, and which weighs so much.
_EXPECTED: Final = 0.2
_SPEAKS: Final = -1.0
_DIFFERING: Final = frozenset({"usually", "sometimes"})


def look_next(
    observed: Observed,
    found: Contrast,
    candidates: Sequence[AccountFacts],
    vocabulary: Iterable[CharacterFacts],
    possible: Possible,
    background: Background | None = None,
) -> list[NextLook]:
    """Looks worth taking, best first; `found` is the contrast of the same candidates.

    `possible`: the codes that can still be looked at and are allowed, or what decides it. It is
    asked for 'hosts', 'substrate', 'spores' and readings ('milk', 'flesh', 'reagent:koh') too; a
    reading is also possible where the character that says the same is.
    """
    characters = {character.code: character for character in vocabulary}
    observed = without(observed, contradicted(observed, characters))
    accounts = list({account.key: account for account in candidates}.values())
    if background is None:
        background = Background(accounts, characters.values())
    support = {row.key: exp(row.log_support) for row in found.rows}
    checks = [
        check
        for check in checks_left(observed, accounts, characters, background)
        if _is_possible(check, characters, possible)
    ]
    best: dict[str, tuple[float, Check]] = {}
    for check in checks:
        gain = _gain(check, accounts, support, found)
        held = best.get(check.exposure)
        if gain >= LEAST_GAIN and (held is None or _is_better(gain, check, *held)):
            best[check.exposure] = (gain, check)
    looks = [_told(gain, check, accounts, found) for gain, check in best.values()]
    return sorted(looks, key=lambda look: (-look.gain / look.cost, look.code))


def _is_better(gain: float, check: Check, held: float, other: Check) -> bool:
    """A timed change goes before the word for it; of the minutes the best for its cost."""
    if check.kind != other.kind:
        return check.kind == ("character" if check.exposure == "milk_at_once" else "reading")
    return gain / check.cost > held / other.cost


def information(weights: Sequence[float], rows: Sequence[Sequence[float]]) -> float:
    """Mutual information in bits between rows of these weights and their outcomes.

    `weights` sum to one; each row gives its chances of the same outcomes.
    """
    if not rows:
        return 0.0
    within = sum(w * entropy(row) for w, row in zip(weights, rows, strict=True) if w)
    return max(0.0, entropy(_mixed(weights, rows)) - within)


def entropy(chances: Iterable[float]) -> float:
    """Entropy in bits of chances that sum to one."""
    return -sum(chance * log2(chance) for chance in chances if chance > 0)


def _is_possible(
    check: Check, characters: Mapping[str, CharacterFacts], possible: Possible
) -> bool:
    facts = [check.facts]
    if check.kind == "reading":
        facts += [
            character
            for code, character in characters.items()
            if SAME_AS.get(code) == check.exposure and not character.never_asked
        ]
    if callable(possible):
        return any(possible(fact) for fact in facts)
    return any(fact.code in possible for fact in facts)


def _gain(
    check: Check,
    accounts: Sequence[AccountFacts],
    support: Mapping[int | None, float],
    found: Contrast,
) -> float:
    """Bits about the name, and DANGER_WEIGHT of the bits about danger."""
    usual = _usual(check)
    # Candidates that expect the same are weighed as one: weight of all, and of the close dangers.
    members: dict[tuple[int, float], tuple[Mapping[str, float], float, list[float]]] = {}
    not_known = [support[None], 0.0]
    for account, chances in zip(accounts, check.chances, strict=True):
        weight = support[account.key]
        dangerous = weight if account.key in found.dangerous_close else 0.0
        if chances is None:
            sums = not_known
        else:
            error = error_for(account)
            key = (id(chances), error)
            _chances, _error, sums = members.setdefault(key, (chances, error, [0.0, 0.0]))
        sums[0] += weight
        sums[1] += dangerous
    rows, weights, close = [usual], [not_known[0]], [not_known[1]]
    for chances, error, sums in members.values():
        rows.append(
            [
                (1 - error) * chances[name] + error * rate
                for name, rate in zip(check.outcomes, usual, strict=True)
            ]
        )
        weights.append(sums[0])
        close.append(sums[1])
    return information(weights, rows) + DANGER_WEIGHT * _on_danger(weights, rows, close)


def _usual(check: Check) -> list[float]:
    total = sum(check.background[name] for name in check.outcomes)
    return [check.background[name] / total for name in check.outcomes]


def _on_danger(
    weights: Sequence[float], rows: Sequence[Sequence[float]], close: Sequence[float]
) -> float:
    """Bits on the question 'is it one of the dangerous ones that are close'.

    `close`: how much of each row's weight they have.
    """
    share = sum(close)
    if not 0 < share < 1:
        return 0.0
    dangerous = _mixed([weight / share for weight in close], rows)
    others = [(weight - part) / (1 - share) for weight, part in zip(weights, close, strict=True)]
    return information([share, 1 - share], [dangerous, _mixed(others, rows)])


def _mixed(weights: Sequence[float], rows: Sequence[Sequence[float]]) -> list[float]:
    found = [0.0] * len(rows[0])
    for weight, row in zip(weights, rows, strict=True):
        if weight:
            for number, chance in enumerate(row):
                found[number] += weight * chance
    return found


def _told(gain: float, check: Check, accounts: Sequence[AccountFacts], found: Contrast) -> NextLook:
    would_say = tuple(
        WouldSay(account.key, expects, _differ(expects))
        for account in _leading(accounts, found)
        for expects in (check.expects(account),)
    )
    telling = _telling(check, accounts, found, _usual(check))
    return NextLook(
        check.kind,
        check.facts.code,
        gain,
        check.cost,
        would_say,
        telling,
        any(said.sources_differ for said in would_say),
        *check.group,
        check.minute,
        _goes_with(check, accounts, found, telling),
    )


def _leading(accounts: Sequence[AccountFacts], found: Contrast) -> list[AccountFacts]:
    by_key = {account.key: account for account in accounts}
    keys = [row.key for row in found.rows if row.key is not None]
    chosen = [*keys[:LEADING], *found.dangerous_close[:LEADING]]
    return [by_key[key] for key in dict.fromkeys(chosen)]


def _differ(expects: tuple[Expected, ...]) -> bool:
    return sum(usual in _DIFFERING for _state, usual in expects) > 1


def _goes_with(
    check: Check,
    accounts: Sequence[AccountFacts],
    found: Contrast,
    telling: tuple[str, int, float] | None,
) -> int | None:
    """The leading account that gives the telling outcome the best chance; the better supported."""
    if telling is None:
        return None
    name, against, _weight = telling
    known = dict(zip((account.key for account in accounts), check.chances, strict=True))
    with_it = [
        (held[name], account.key)
        for account in _leading(accounts, found)
        if (held := known[account.key]) and account.key != against
    ]
    chance, key = max(with_it, key=lambda item: item[0], default=(0.0, None))
    return key if chance >= _EXPECTED else None


def _telling(
    check: Check,
    accounts: Sequence[AccountFacts],
    found: Contrast,
    usual: Sequence[float],
) -> tuple[str, int, float] | None:
    """What one leading account expects, and the best supported that it would speak against."""
    if check.kind == "spores":
        return None
    known = dict(zip((account.key for account in accounts), check.chances, strict=True))
    chances = {account.key: known[account.key] for account in _leading(accounts, found)}
    outcomes = [
        (name, rate)
        for name, rate in zip(check.outcomes, usual, strict=True)
        if name and any(held and held[name] >= _EXPECTED for held in chances.values())
    ]
    for account in _leading(accounts, found):
        held = chances.get(account.key)
        if held is None:
            continue
        error = error_for(account)
        weights = [(log((1 - error) * held[name] / rate + error), name) for name, rate in outcomes]
        weight, name = min(weights, default=(0.0, ""))
        if weight <= _SPEAKS:
            return name, account.key, weight
    return None
