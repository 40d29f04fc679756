"""Timed readings: what an account expects at a minute, and what a row of looks says of it.

Method. An account's readings are spans of minutes with colours. At a minute within spans, all
spans that hold it count together (sources may differ). Between two spans the two are mixed by the
distance to each. After the last span half of it stays, the other half is the background, and what
it says is carried on by name (`carried_from`). Before the first span the account says nothing, nor
does the colour of milk on cutting say what it turns to. Where an account has no readings of an
exposure but says in a word what it turns to (`flesh_change`), that is taken to hold over
WORD_MINUTES.

'No change' of milk is the same as its colour at the start: an account that says 'none' at half an
hour is read as its colour at the start, and a look that says 'no change' is read as the colour
first seen, or, where none was written, as the chance that this account's colour is still what it
was. Of all else 'no change' is a code of its own, and so is read white or cream on a cut.

A share of looks (NEIGHBOUR_SHARE) is written in a neighbouring colour. A reading nobody looked at
is no reading.

Source: common practice of timing the milk; the spans are the accounts' own.

Worked example. Orange from 0 to 5 minutes, wine-red from 10 to 30: at 8 minutes two fifths orange
and three fifths wine-red.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from society.science.contrast.distributions import (
    Distribution,
    distribution_of,
    with_neighbours,
)
from society.science.contrast.facts import (
    COLOURS,
    USUAL,
    AccountFacts,
    Expected,
    ExpectedReading,
    Observed,
    ReadingSeen,
)

Group = tuple[str, str]  # what was exposed, and the reagent or ''
UNCHANGED: Final = "unchanged"
# Up to here a look at milk says its colour on cutting, not its change.
AT_ONCE_MINUTES: Final = 2.0
# Whom a colour is mixed up with; twice where it happens most.
NEIGHBOURS: Final[Mapping[str, tuple[str, ...]]] = {
    "watery": ("white",),
    "white": ("cream", "watery"),
    "cream": ("white", "yellow"),
    "yellow": ("cream", "orange"),
    "orange": ("yellow", "red"),
    "pink": ("red", "lilac"),
    "red": ("wine", "wine", "orange", "pink"),
    "wine": ("red", "red", "brown", "lilac"),
    "lilac": ("wine", "pink"),
    "blue": ("green", "grey"),
    "green": ("blue",),
    "grey": ("black", "brown"),
    "brown": ("wine", "black"),
    "black": ("grey", "brown"),
}
MILK: Final = ("milk", "")
# Characters that say in a word what a reading says by the minute, and when that is taken to hold.
IN_WORDS: Final[Mapping[Group, str]] = {
    MILK: "milk_change",
    ("flesh", ""): "flesh_change",
    ("gills", ""): "underside_bruising",
    ("pores", ""): "underside_bruising",
    ("stem", ""): "stem_bruising",
    ("reagent", "koh"): "koh_cap",
    ("reagent", "iron_salts"): "iron_flesh",
    ("reagent", "ammonia"): "ammonia_cap",
}
WORD_MINUTES: Final = (5.0, 120.0)
# States of these characters that are called otherwise among the colours.
WORDS: Final[Mapping[str, str]] = {
    "carrot": "orange",
    "chrome": "yellow",
    "maroon": "wine",
    "olive": "green",
    "purple": "wine",
    "violet": "lilac",
}
# Flesh and gills are of these before they turn.
_PALE: Final = frozenset({"watery", "white", "cream"})


def spans_of(account: AccountFacts, group: Group) -> list[ExpectedReading]:
    """The account's readings of one exposure, by minute; else what its characters say in words."""
    rows = [row for row in account.readings if (row.exposed, row.reagent) == group]
    if not rows and group in IN_WORDS:
        rows = _from_words(account, group)
    return sorted(rows, key=lambda row: (row.minute_from, row.minute_to, row.colour))


def _from_words(account: AccountFacts, group: Group) -> list[ExpectedReading]:
    said = [(IN_WORDS[group], *WORD_MINUTES)]
    if group == MILK:
        said.append(("milk_colour", 0.0, 1.0))
    return [
        ExpectedReading(*group, first, last, WORDS.get(state, state), usual)
        for code, first, last in said
        for state, usual in account.states.get(code, {}).items()
        if WORDS.get(state, state) in COLOURS and (code, state) != ("milk_colour", "none")
    ]


def expected_at(account: AccountFacts, exposed: str, reagent: str, minute: float) -> list[Expected]:
    """(colour, how usual) at a minute, most usual first, for the time line.

    Between two spans the colours of both, none more than 'sometimes'; before the first span and
    after the last nothing, as the account does not say.
    """
    return _usual_first(_held_by(spans_of(account, (exposed, reagent)), minute))


def expected_or_carried(
    account: AccountFacts, spans: Sequence[ExpectedReading], minute: float
) -> tuple[Expected, ...]:
    """As `expected_at`, and after the last span what that says; see `carried_from`."""
    carried = carried_from(spans, minute)
    return tuple(_usual_first(_held_by(spans, minute if carried is None else carried)))


def _usual_first(held: Mapping[str, str]) -> list[Expected]:
    return sorted(held.items(), key=lambda item: (-USUAL[item[1]], COLOURS.index(item[0])))


def _held_by(spans: Sequence[ExpectedReading], minute: float) -> dict[str, str]:
    """What the spans of a minute say; between two spans both, none more than 'sometimes'."""
    held = _held([row for row in spans if row.minute_from <= minute <= row.minute_to])
    if held:
        return held
    earlier, later = _around(spans, minute)
    if not (earlier and later):
        return {}
    return {
        colour: usual if USUAL[usual] < USUAL["sometimes"] else "sometimes"
        for colour, usual in _held([*earlier, *later]).items()
    }


def carried_from(spans: Sequence[ExpectedReading], minute: float) -> float | None:
    """The minute from which what an account says is carried on to this one; None where it is not.

    Only after its last span; the colour of milk on cutting is not carried on to its change.
    """
    if not spans:
        return None
    ends = max(row.minute_to for row in spans)
    milk = (spans[0].exposed, spans[0].reagent) == MILK
    if minute <= ends or (milk and ends <= AT_ONCE_MINUTES < minute):
        return None
    return ends


def held_at(
    account: AccountFacts, spans: Sequence[ExpectedReading], minute: float
) -> dict[str, str]:
    """Colour -> how usual at a minute, carried on where it is; empty where nothing is held.

    Milk of which the account says 'no change' is held to keep the colours it began with.
    """
    carried = carried_from(spans, minute)
    held = _held_by(spans, minute if carried is None else carried)
    if "none" in held and (spans[0].exposed, spans[0].reagent) == MILK:
        for colour, usual in _start_words(account, spans).items():
            word = min(usual, held["none"], key=USUAL.__getitem__)
            if colour not in held or USUAL[word] > USUAL[held[colour]]:
                held[colour] = word
    return held


def start_of(account: AccountFacts, spans: Sequence[ExpectedReading]) -> dict[str, str]:
    """Colour on exposing -> how usual; for milk only said not to change, its colour on cutting."""
    return _start_words(account, spans) if spans else {}


def chances_at(
    account: AccountFacts, spans: Sequence[ExpectedReading], minute: float
) -> tuple[Distribution, float] | None:
    """Chances of each colour, and of UNCHANGED, at a minute; and how far they may be trusted.

    None where the account holds nothing of this minute, nor anything that is carried on to it.
    """
    found = _spoken_at(spans, minute)
    if found is None:
        return None
    chances, trust = found
    unchanged = chances["none"]
    if (spans[0].exposed, spans[0].reagent) == MILK:
        start = _start(account, spans)
        unmoved = chances["none"]
        chances = {colour: chance + unmoved * start[colour] for colour, chance in chances.items()}
        chances["none"] = unmoved * start["none"]
        unchanged = chances["none"] + sum(
            start[colour] * chances[colour] for colour in COLOURS if colour != "none"
        )
    chances = with_neighbours(chances, NEIGHBOURS)
    chances[UNCHANGED] = min(unchanged, 1.0)
    return chances, trust


def looks_of(observed: Observed) -> dict[Group, list[tuple[ReadingSeen, frozenset[str]]]]:
    """The readings somebody looked at and that could be read, by exposure and minute.

    Beside each stand the keys of `chances_at` that it may be: colours, or UNCHANGED.
    """
    groups: dict[Group, list[ReadingSeen]] = {}
    for reading in observed.readings:
        if reading.colours:
            groups.setdefault((reading.exposed, reading.reagent), []).append(reading)
    found = {}
    for group in sorted(groups):
        rows = sorted(groups[group], key=lambda row: (row.minutes, sorted(row.colours or ())))
        first = _first_seen(observed, group, rows)
        found[group] = [(row, _keys(group, row, first)) for row in rows]
    return found


def chance_of(keys: Iterable[str], chances: Mapping[str, float]) -> float:
    """The chance that one of `keys` is seen."""
    return min(1.0, sum(chances[key] for key in sorted(keys)))


def _first_seen(observed: Observed, group: Group, rows: list[ReadingSeen]) -> frozenset[str]:
    """The colour the exposure began with, as far as anybody wrote it."""
    seen = frozenset(rows[0].colours or ()) - {"none"}
    if rows[0].minutes <= AT_ONCE_MINUTES and seen:
        return seen
    if group == MILK:
        milk = observed.states.get("milk_colour", frozenset())
        return frozenset(WORDS.get(state, state) for state in milk) & set(COLOURS) - {"none"}
    return frozenset()


def _keys(group: Group, row: ReadingSeen, first: frozenset[str]) -> frozenset[str]:
    colours = row.colours or frozenset()
    if first and "none" in colours:
        colours = colours - {"none"} | first
        return colours | {"none"}
    if group != MILK:
        still = colours <= _PALE or (colours <= first and first <= _PALE | {"yellow"})
        return colours | {"none"} if still else colours
    if first and colours <= first:
        return colours | {"none"}  # still what it was: an account may call that 'no change'
    if "none" in colours:
        return colours - {"none"} | {UNCHANGED}
    return colours


def _held(spans: Iterable[ExpectedReading]) -> dict[str, str]:
    held: dict[str, str] = {}
    for row in spans:
        if row.colour not in held or USUAL[row.usual] > USUAL[held[row.colour]]:
            held[row.colour] = row.usual
    return held


def _around(
    spans: Sequence[ExpectedReading], minute: float
) -> tuple[list[ExpectedReading], list[ExpectedReading]]:
    """The last spans that end before a minute, and the first that begin after it."""
    ends = max((row.minute_to for row in spans if row.minute_to < minute), default=None)
    begins = min((row.minute_from for row in spans if row.minute_from > minute), default=None)
    return (
        [row for row in spans if row.minute_to == ends],
        [row for row in spans if row.minute_from == begins],
    )


def _mixed(spans: Iterable[ExpectedReading]) -> Distribution:
    found = distribution_of(_held(spans), COLOURS)
    if found is None:
        raise ValueError("no span holds a colour of the list")
    return found


def _spoken_at(
    spans: Sequence[ExpectedReading], minute: float
) -> tuple[Distribution, float] | None:
    covering = [row for row in spans if row.minute_from <= minute <= row.minute_to]
    if covering:
        return _mixed(covering), 1.0
    earlier, later = _around(spans, minute)
    if not (earlier and later):
        return (_mixed(earlier), 0.5) if carried_from(spans, minute) is not None else None
    ends, begins = earlier[0].minute_to, later[0].minute_from
    share = (minute - ends) / (begins - ends)
    before, after = _mixed(earlier), _mixed(later)
    return {colour: (1 - share) * before[colour] + share * after[colour] for colour in COLOURS}, 1.0


def _start(account: AccountFacts, spans: Sequence[ExpectedReading]) -> Distribution:
    found = distribution_of(_start_words(account, spans), COLOURS)
    if found is None:
        raise ValueError("no span holds a colour of the list")
    return found


def _start_words(account: AccountFacts, spans: Sequence[ExpectedReading]) -> dict[str, str]:
    begins = spans[0].minute_from
    held = _held(row for row in spans if row.minute_from == begins)
    if "none" in held:
        milk = {
            WORDS.get(state, state): usual
            for state, usual in account.states.get("milk_colour", {}).items()
            if state != "none"
        }
        if set(milk) & set(COLOURS):
            return milk
    return held
