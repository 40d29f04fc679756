"""Look-alikes computed from the accounts, and columns side by side.

Method. Two accounts of one form are alike when, of the characters easily seen that both hold, the
expected overlap is high. The overlap of a character is what the two have in common: the sum over
states of the smaller probability. A character separates where the overlap is under SEPARATES_BELOW
(as with 'always' against 'never'). The likeness is the mean overlap; different hosts, where both
are held, leave OTHER_HOSTS of it, and months that do not meet OTHER_MONTHS. A pair is a look-alike
at ALIKE_FROM or more, with at least SHARED_AT_LEAST characters held by both, where it is among the
NEAREST of one of the two and among twice as many of the other.

Columns side by side put the rows first on which the columns agree least, by the mean over pairs of
one less the overlap; finds count what was seen as certain.

Source: overlap of distributions is textbook; the limits are the society's.

Worked example. Pits 'many' always against 'none' always, of three states: overlap 0.075; it
separates.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from society.science.contrast.background import months_of
from society.science.contrast.distributions import (
    Distribution,
    character_chances,
    distribution_of,
    expected_of,
    states_of,
)
from society.science.contrast.exposures import code_of
from society.science.contrast.facts import (
    NOT_A_LOOK,
    AccountFacts,
    CharacterFacts,
    Expected,
    Kind,
    Observed,
)
from society.science.contrast.readings import Group, expected_at, looks_of

EASILY_SEEN: Final = frozenset({"at_once", "cut", "wait"})
SEPARATES_BELOW: Final = 0.25
ALIKE_FROM: Final = 0.55
# What different hosts, and months that do not meet, leave of a likeness.
OTHER_HOSTS: Final = 0.85
OTHER_MONTHS: Final = 0.70
# So many look-alikes of each account are kept, twice as many of the one more often alike.
NEAREST: Final = 6
SHARED_AT_LEAST: Final = 4
# Minutes at which columns show an exposure.
AXIS: Final = (0.0, 5.0, 10.0, 30.0, 60.0)
# What a find's column says of a state.
SEEN: Final = "seen"

Column = AccountFacts | Observed


@dataclass(frozen=True)
class Pair:
    """Two accounts taken for each other. `separated_by`: codes, among those easily seen."""

    one: int
    other: int
    likeness: float
    shared: int
    separated_by: tuple[str, ...]


@dataclass(frozen=True)
class SideRow:
    """One line of columns side by side; `cells` in the order of the columns.

    `difference` from 0 to 1; `differs` where two columns have less than SEPARATES_BELOW in common.
    A cell is empty where the account does not say or nobody looked.
    """

    kind: Kind
    code: str
    cells: tuple[tuple[Expected, ...], ...]
    difference: float
    differs: bool
    exposed: str = ""
    reagent: str = ""
    minute: float | None = None


def look_alike_groups(
    accounts: Sequence[AccountFacts], vocabulary: Iterable[CharacterFacts]
) -> list[Pair]:
    """Pairs of look-alikes, the most alike first."""
    return Likeness(accounts, vocabulary).pairs()


class Likeness:
    """Accounts made ready to be asked for their look-alikes, one at a time or all at once.

    All pairs of several hundred accounts take a second; those of one take milliseconds.
    """

    def __init__(
        self, accounts: Sequence[AccountFacts], vocabulary: Iterable[CharacterFacts]
    ) -> None:
        easy = [
            (character.code, states_of(character))
            for character in vocabulary
            if character.cost in EASILY_SEEN and not character.never_asked
        ]
        self._common = _Common(easy)
        self._by_form: dict[str, list[_Known]] = {}
        for account in accounts:
            months = months_of(account.months) if account.months else frozenset()
            places = self._common.places(account)
            held = tuple((number, place) for number, place in enumerate(places) if place >= 0)
            known = _Known(account, places, held, months)
            self._by_form.setdefault(account.form, []).append(known)

    def pairs(self) -> list[Pair]:
        """Every pair that is near for both, the most alike first."""
        pairs = [
            pair
            for rows in self._by_form.values()
            for place, one in enumerate(rows)
            for other in rows[place + 1 :]
            if (pair := _pair(one, other, self._common)) is not None
        ]
        pairs.sort(key=lambda pair: (-pair.likeness, pair.one, pair.other))
        return _nearest(pairs)

    def of(self, key: int) -> list[Pair]:
        """The pairs that one account makes, `NEAREST` at most, the most alike first."""
        pairs = []
        for rows in self._by_form.values():
            for one in rows:
                if one.account.key == key:
                    pairs += [
                        pair
                        for other in rows
                        if other is not one
                        and (pair := _pair(one, other, self._common)) is not None
                    ]
        pairs.sort(key=lambda pair: (-pair.likeness, pair.one, pair.other))
        return pairs[:NEAREST]


@dataclass(frozen=True)
class _Known:
    """An account, and for each character the place of its distribution, -1 where not known."""

    account: AccountFacts
    places: tuple[int, ...]
    held: tuple[tuple[int, int], ...]  # number of a character and place, where known
    months: frozenset[int]


class _Common:
    """The different distributions of each character, and what every two have in common."""

    def __init__(self, characters: Sequence[tuple[str, tuple[str, ...]]]) -> None:
        self.characters = characters
        self._rows: list[list[Distribution]] = [[] for _character in characters]
        self._overlaps: list[dict[tuple[int, int], float]] = [{} for _character in characters]

    def places(self, account: AccountFacts) -> tuple[int, ...]:
        """The places of an account's distributions among the different ones."""
        places = []
        for rows, (code, states) in zip(self._rows, self.characters, strict=True):
            found = character_chances(code, account.states.get(code, {}), states)
            if found is None:
                places.append(-1)
                continue
            if found not in rows:
                rows.append(found)
            places.append(rows.index(found))
        return tuple(places)

    def of(self, one: _Known, other: _Known) -> dict[int, float]:
        """The overlap of each character that both hold, by its number."""
        shared = {}
        theirs = other.places
        for number, place in one.held:
            beside = theirs[number]
            if beside >= 0:
                overlaps = self._overlaps[number]
                found = overlaps.get((place, beside))
                if found is None:
                    rows = self._rows[number]
                    found = overlaps[place, beside] = overlap(rows[place], rows[beside])
                shared[number] = found
        return shared


def _nearest(pairs: Sequence[Pair]) -> list[Pair]:
    """Of pairs, most alike first, those among the nearest of both."""
    ranks: dict[int, int] = {}
    kept = []
    for pair in pairs:
        places = sorted(ranks.get(key, 0) for key in (pair.one, pair.other))
        if places[0] < NEAREST and places[1] < 2 * NEAREST:
            kept.append(pair)
        for key in (pair.one, pair.other):
            ranks[key] = ranks.get(key, 0) + 1
    return kept


def overlap(one: Mapping[str, float], other: Mapping[str, float]) -> float:
    """What two distributions over the same states have in common, from 0 to 1."""
    return sum(min(chance, other[state]) for state, chance in one.items())


def side_by_side(columns: Sequence[Column], vocabulary: Iterable[CharacterFacts]) -> list[SideRow]:
    """The rows of finds and accounts in columns, differences first, else as the vocabulary goes."""
    rows = []
    for character in vocabulary:
        states = states_of(character)
        cells = tuple(_states(column, character.code) for column in columns)
        if any(cells):
            rows.append(_side_row("character", character.code, cells, states))
    groups = sorted({group for column in columns for group in _groups(column)})
    for group in groups:
        for minute in _minutes(group, columns):
            cells = tuple(_colours(column, group, minute) for column in columns)
            if any(cells):
                states = tuple(sorted({state for cell in cells for state, _usual in cell}))
                row = _side_row("reading", code_of(group, minute), cells, states)
                rows.append(
                    SideRow("reading", row.code, cells, row.difference, row.differs, *group, minute)
                )
    for kind in ("hosts", "substrate", "month", "spores"):
        cells = tuple(_other(column, kind) for column in columns)
        if any(cells) and kind == "spores":
            rows.append(_spores_row(columns, cells))
        elif any(cells):
            states = tuple(sorted({state for cell in cells for state, _usual in cell}))
            rows.append(_side_row(kind, kind, cells, states))
    return sorted(rows, key=lambda row: -row.difference)


def _pair(one: _Known, other: _Known, common: _Common) -> Pair | None:
    shared = common.of(one, other)
    if len(shared) < SHARED_AT_LEAST:
        return None
    likeness = sum(shared.values()) / len(shared)
    if likeness < ALIKE_FROM:
        return None
    hosts, others = one.account.hosts, other.account.hosts
    if hosts and others and not hosts & others:
        likeness *= OTHER_HOSTS
    if one.months and other.months and not one.months & other.months:
        likeness *= OTHER_MONTHS
    if likeness < ALIKE_FROM:
        return None
    separated = tuple(
        common.characters[number][0] for number, found in shared.items() if found < SEPARATES_BELOW
    )
    keys = sorted((one.account.key, other.account.key))
    return Pair(keys[0], keys[1], likeness, len(shared), separated)


def _side_row(
    kind: Kind, code: str, cells: tuple[tuple[Expected, ...], ...], states: tuple[str, ...]
) -> SideRow:
    known = [found for cell in cells if (found := _certain(cell, states)) is not None]
    apart = [
        1 - overlap(one, other) for place, one in enumerate(known) for other in known[place + 1 :]
    ]
    difference = sum(apart) / len(apart) if apart else 0.0
    differs = bool(apart) and max(apart) > 1 - SEPARATES_BELOW
    return SideRow(kind, code, cells, difference, differs)


def _spores_row(columns: Sequence[Column], cells: tuple[tuple[Expected, ...], ...]) -> SideRow:
    """Two ranges have in common what they share of the shorter; the less of length and width."""
    held = [column.spores for column in columns if column.spores is not None]
    apart = [
        1
        - min(
            _shared(one.length_from, one.length_to, other.length_from, other.length_to),
            _shared(one.width_from, one.width_to, other.width_from, other.width_to),
        )
        for place, one in enumerate(held)
        for other in held[place + 1 :]
    ]
    difference = sum(apart) / len(apart) if apart else 0.0
    differs = bool(apart) and max(apart) > 1 - SEPARATES_BELOW
    return SideRow("spores", "spores", cells, difference, differs)


def _shared(low: float, high: float, other_low: float, other_high: float) -> float:
    common = min(high, other_high) - max(low, other_low)
    shorter = min(high - low, other_high - other_low)
    if shorter <= 0:
        return 1.0 if common >= 0 else 0.0
    return max(0.0, common / shorter)


def _certain(cell: tuple[Expected, ...], states: tuple[str, ...]) -> Distribution | None:
    """A cell as a distribution; what was seen, or stands without a word, is shared evenly."""
    if not cell:
        return None
    plain = [state for state, usual in cell if usual in (SEEN, "")]
    if plain:
        return {state: plain.count(state) / len(plain) for state in states}
    return distribution_of(dict(cell), states)


def _states(column: Column, code: str) -> tuple[Expected, ...]:
    if isinstance(column, Observed):
        seen = sorted(column.states.get(code, frozenset()) - NOT_A_LOOK)
        return tuple((state, SEEN) for state in seen)
    held = column.states.get(code, {})
    return expected_of({state: usual for state, usual in held.items() if state not in NOT_A_LOOK})


def _groups(column: Column) -> set[Group]:
    if isinstance(column, Observed):
        return set(looks_of(column))
    return {(row.exposed, row.reagent) for row in column.readings}


def _minutes(group: Group, columns: Sequence[Column]) -> list[float]:
    looked = {
        reading.minutes
        for column in columns
        if isinstance(column, Observed)
        for reading, _keys in looks_of(column).get(group, [])
    }
    return sorted(looked | set(AXIS))


def _colours(column: Column, group: Group, minute: float) -> tuple[Expected, ...]:
    if not isinstance(column, Observed):
        return tuple(expected_at(column, *group, minute))
    seen: set[str] = set()
    for reading, _keys in looks_of(column).get(group, []):
        if reading.minutes == minute:
            seen |= reading.colours or frozenset()
    return tuple((colour, SEEN) for colour in sorted(seen))


def _other(column: Column, kind: Kind) -> tuple[Expected, ...]:
    find = isinstance(column, Observed)
    word = SEEN if find else ""
    names: Iterable[str] = ()
    if kind == "hosts":
        names = sorted(column.hosts)
    elif kind == "substrate":
        names = [column.substrate] if isinstance(column, Observed) else sorted(column.substrates)
        names = [name for name in names if name]
    elif kind == "month":
        names = _months(column)
    elif column.spores is not None:
        s = column.spores
        names = (
            f"{s.length_from:g}-{s.length_to:g}",
            f"{s.width_from:g}-{s.width_to:g}",
        )
        return tuple(zip(names, ("length", "width"), strict=True))
    return tuple((name, word) for name in names)


def _months(column: Column) -> list[str]:
    if isinstance(column, Observed):
        return [str(column.month)] if column.month else []
    return [str(month) for month in sorted(months_of(column.months))] if column.months else []
