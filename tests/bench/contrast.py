"""Draw finds from the species accounts and see how the contrast does on them; prints tables.

    python -m tests.bench.contrast --finds 400

Needs no database. Finds are drawn from the accounts the society ships, with a stated rate of
mistaken looks and of characters nobody looked at, and a fixed seed. The candidates of a find are
its true species, look-alikes and dangerous species of its form, twelve in all; in one find of five
the true species is left out, as with 'something not in these accounts'.

What this cannot show: the finds come from the accounts, look by look and independently of each
other, so real finds will do worse. That the accounts are right is not tested here.
"""

import argparse
import math
import random
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import TextIO

from society.science.contrast import (
    CLOSE_WITHIN,
    DANGEROUS_ERROR,
    GREATEST_GAIN,
    TOGETHER,
    USUAL,
    AccountFacts,
    Background,
    CharacterFacts,
    Contrast,
    NextLook,
    Observed,
    ReadingSeen,
    background_of,
    contrast,
    cost_of,
    expected_at,
    look_alike_groups,
    look_next,
)
from tests.bench.accounts import accounts_read, vocabulary_read

CANDIDATES = 12
LEFT_OUT = 0.2
RATES = ((0.0, 0.3), (0.05, 0.3), (0.05, 0.6), (0.15, 0.6), (0.15, 0.85))  # mistaken, not looked
MINUTES = (5.0, 30.0)
MOST_CHECKS = 30
BINS = (0.0, 0.01, 0.05, 0.2, 0.4, 0.6, 0.8, 0.95, 1.0001)


@dataclass
class World:
    """The accounts, what they are held against, and the chance finds are drawn by."""

    chance: random.Random
    accounts: list[AccountFacts]
    vocabulary: list[CharacterFacts]
    backgrounds: dict[str, Background] = field(default_factory=dict)
    alike: dict[int, list[int]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        forms = {account.form for account in self.accounts}
        for form in sorted(forms):
            members = [account for account in self.accounts if account.form == form]
            self.backgrounds[form] = background_of(members, self.vocabulary)
        for pair in look_alike_groups(self.accounts, self.vocabulary):
            self.alike.setdefault(pair.one, []).append(pair.other)
            self.alike.setdefault(pair.other, []).append(pair.one)
        self.by_key = {account.key: account for account in self.accounts}
        self.characters = {character.code: character for character in self.vocabulary}
        # An account too thin to draw from says nothing of the method.
        self.rich = [account for account in self.accounts if len(account.states) >= 6]

    def candidates(self, true: AccountFacts, *, left_out: bool) -> list[AccountFacts]:
        """Return the true species, its look-alikes, then dangerous ones and others of its form."""
        like_form = [a for a in self.accounts if a.form == true.form and a.key != true.key]
        dangerous = [account for account in like_form if account.is_dangerous]
        alike = [self.by_key[key] for key in self.alike.get(true.key, [])][:7]
        self.chance.shuffle(dangerous)
        self.chance.shuffle(like_form)
        rows = {account.key: account for account in (true, *alike, *dangerous[:4], *like_form)}
        found = list(rows.values())[:CANDIDATES]
        return found[1:] if left_out else found


@dataclass
class Drawn:
    """Everything that could be seen of a find, by what a look is called."""

    true: AccountFacts
    states: dict[str, str]
    readings: dict[tuple[str, str, float], str]
    host: str
    month: int | None

    def looks(self) -> list[str]:
        around = [word for word, value in (("hosts", self.host), ("month", self.month)) if value]
        return [*self.states, *self.exposures(), *around]

    def exposures(self) -> list[str]:
        return list(dict.fromkeys(exposed for exposed, _reagent, _minutes in self.readings))

    def seen(self, looks: Sequence[str]) -> Observed:
        return Observed(
            {code: frozenset({self.states[code]}) for code in looks if code in self.states},
            tuple(
                ReadingSeen(exposed, reagent, minutes, frozenset({colour}))
                for (exposed, reagent, minutes), colour in self.readings.items()
                if exposed in looks
            ),
            {self.host: "probable_host"} if "hosts" in looks and self.host else {},
            month=self.month if "month" in looks else None,
        )


def draw(world: World, true: AccountFacts, mistaken: float) -> Drawn:
    """Draw what a find of a species shows; one look in so many is of any other species."""
    others = world.backgrounds[true.form].accounts
    chance = world.chance

    def source(code: str) -> AccountFacts:
        if chance.random() >= mistaken:
            return true
        holding = [account for account in others if account.states.get(code)]
        return chance.choice(holding) if holding else true

    states = {}
    for code in true.states:
        character = world.characters.get(code)
        if character is not None and not character.never_asked:
            state = _state(chance, source(code).states.get(code, {}), character)
            if state:
                states[code] = state
    readings = {}
    for exposed, reagent in sorted({(row.exposed, row.reagent) for row in true.readings}):
        for minutes in MINUTES:
            expected = expected_at(true, exposed, reagent, minutes)
            if expected:
                readings[exposed, reagent, minutes] = _weighted(chance, dict(expected))
    host = chance.choice(sorted(true.hosts)) if true.hosts else ""
    month = None
    if true.months:
        first, last = true.months
        month = (first - 1 + chance.randint(0, (last - first) % 12)) % 12 + 1
    return Drawn(true, states, readings, host, month)


def _state(chance: random.Random, held: dict[str, str], character: CharacterFacts) -> str:
    """A state by how usual it is; what the account leaves over falls on the states unspoken of."""
    looks = [state for state in character.states if state not in ("not_looked", "not_kept")]
    weights = {state: USUAL[held[state]] for state in looks if state in held}
    if not weights:
        return ""
    unspoken = [state for state in looks if state not in held]
    rest = max(0.05, 1 - sum(weights.values()))
    weights |= {state: rest / len(unspoken) for state in unspoken}
    return chance.choices(list(weights), list(weights.values()))[0]


def _weighted(chance: random.Random, held: dict[str, str]) -> str:
    return chance.choices(list(held), [USUAL[usual] for usual in held.values()])[0]


def finds(
    world: World, number: int, mistaken: float
) -> Iterator[tuple[Drawn, list[AccountFacts], bool]]:
    """Draw finds with their candidates, and whether the true species is among them."""
    for _ in range(number):
        true = world.chance.choice(world.rich)
        left_out = world.chance.random() < LEFT_OUT
        yield draw(world, true, mistaken), world.candidates(true, left_out=left_out), not left_out


def weigh(world: World, observed: Observed, candidates: list[AccountFacts], form: str) -> Contrast:
    return contrast(observed, candidates, world.vocabulary, world.backgrounds[form])


def leads(world: World, number: int, out: TextIO) -> None:
    """Print how often the right row leads, and how well support is calibrated."""
    print(f"\nThe right row leads ({number} finds each; of {CANDIDATES} and the unknown)", file=out)
    print("mistaken  not looked  looks  leads  separated  of these right  Brier  ms", file=out)
    pooled: list[tuple[float, bool]] = []
    for mistaken, missing in RATES:
        right = separated = separated_right = looks_taken = 0
        brier = spent = 0.0
        for drawn, candidates, is_in in finds(world, number, mistaken):
            looks = [look for look in drawn.looks() if world.chance.random() >= missing]
            observed = drawn.seen(looks)
            start = time.process_time()
            found = weigh(world, observed, candidates, drawn.true.form)
            spent += time.process_time() - start
            answer = drawn.true.key if is_in else None
            right += found.rows[0].key == answer
            separated += found.separated
            separated_right += found.separated and found.rows[0].key == answer
            looks_taken += len(looks)
            for row in found.rows:
                share = math.exp(row.log_support)
                brier += (share - (row.key == answer)) ** 2
                pooled.append((share, row.key == answer))
        print(
            f"{mistaken:8.2f}  {missing:10.2f}  {looks_taken / number:5.1f}  {right / number:5.2f}"
            f"  {separated / number:9.2f}  {_share(separated_right, separated):>14}"
            f"  {brier / number:5.3f}  {1000 * spent / number:.1f}",
            file=out,
        )
    _reliability(pooled, out)


def _share(part: int, whole: int) -> str:
    return f"{part / whole:.2f}" if whole else "none"


def _reliability(pooled: list[tuple[float, bool]], out: TextIO) -> None:
    print("\nStated support against how often the row was right (all rates together)", file=out)
    print("support        rows  stated  right", file=out)
    for low, high in pairwise(BINS):
        rows = [(share, right) for share, right in pooled if low <= share < high]
        if rows:
            stated = sum(share for share, _right in rows) / len(rows)
            right = sum(right for _share, right in rows) / len(rows)
            print(
                f"{low:.2f}-{min(high, 1):.2f}  {len(rows):9d}  {stated:6.3f}  {right:5.3f}",
                file=out,
            )


Choice = Callable[[World, Drawn, list[AccountFacts], list[str], Contrast], str | None]


def _informed(
    world: World, drawn: Drawn, candidates: list[AccountFacts], taken: list[str], found: Contrast
) -> str | None:
    left = set(drawn.looks()) - set(taken)
    looks = look_next(
        drawn.seen(taken),
        found,
        candidates,
        world.vocabulary,
        left,
        world.backgrounds[drawn.true.form],
    )
    return next((name for look in looks if (name := _name(look)) in left), None)


def _name(look: NextLook) -> str:
    return look.exposed if look.kind == "reading" else look.code


def _fixed(
    world: World, drawn: Drawn, candidates: list[AccountFacts], taken: list[str], found: Contrast
) -> str | None:
    order = [*world.characters, *drawn.exposures(), "hosts", "month"]
    left = set(drawn.looks()) - set(taken)
    return next((code for code in order if code in left), None)


def _random(
    world: World, drawn: Drawn, candidates: list[AccountFacts], taken: list[str], found: Contrast
) -> str | None:
    left = [code for code in drawn.looks() if code not in taken]
    return world.chance.choice(left) if left else None


def _cost(world: World, look: str) -> float:
    """Return what a look costs, by the costs the science states."""
    if look in world.characters:
        character = world.characters[look]
        return cost_of(character.cost, character.wait_minutes)
    return (
        cost_of("wait", MINUTES[-1]) if look not in ("hosts", "month") else cost_of("at_once", None)
    )


def checks(world: World, number: int, out: TextIO) -> dict[str, float]:
    """Print how many looks it takes until a species is separated, chosen in three ways."""
    print(
        f"\nLooks until one stands apart ({number} finds, 0.05 mistaken, at most {MOST_CHECKS})",
        file=out,
    )
    print("chosen by      looks   cost  apart  of these right", file=out)
    cases = [(drawn, rows) for drawn, rows, is_in in finds(world, number, 0.05) if is_in]
    means = {}
    ways: dict[str, Choice] = {"look next": _informed, "fixed order": _fixed, "at random": _random}
    for name, choose in ways.items():
        looks = cost = 0.0
        apart = right = 0
        for drawn, candidates in cases:
            taken: list[str] = []
            found = weigh(world, drawn.seen(taken), candidates, drawn.true.form)
            while not found.separated and len(taken) < MOST_CHECKS:
                look = choose(world, drawn, candidates, taken, found)
                if look is None:
                    break
                taken.append(look)
                found = weigh(world, drawn.seen(taken), candidates, drawn.true.form)
            looks += len(taken)
            cost += sum(_cost(world, look) for look in taken)
            apart += found.separated
            right += found.separated and found.rows[0].key == drawn.true.key
        means[name] = looks / max(len(cases), 1)
        print(
            f"{name:12}  {means[name]:6.1f}  {cost / max(len(cases), 1):5.1f}"
            f"  {apart / max(len(cases), 1):5.2f}  {_share(right, apart):>14}",
            file=out,
        )
    return means


def mistakes(world: World, number: int, out: TextIO) -> int:
    """Print what one mistake does to a dangerous species; return how many rows were lost."""
    dangerous = [account for account in world.rich if account.is_dangerous]
    dropped = far = tried = 0
    worst = 0.0
    for _ in range(number):
        true = world.chance.choice(dangerous)
        candidates = world.candidates(true, left_out=False)
        drawn = draw(world, true, 0.0)
        looks = [look for look in drawn.looks() if world.chance.random() >= 0.5]
        observed = drawn.seen(looks)
        before = weigh(world, observed, candidates, true.form)
        for code in observed.states:
            for state in world.characters[code].states:
                other = replace(observed, states={**observed.states, code: frozenset({state})})
                without = replace(
                    observed, states={c: s for c, s in observed.states.items() if c != code}
                )
                after = weigh(world, other, candidates, true.form)
                bare = weigh(world, without, candidates, true.form)
                keys = {row.key for row in after.rows}
                dropped += true.key not in keys
                tried += 1
                far += true.key in before.dangerous_close and true.key not in after.dangerous_close
                lost = after.row(true.key).log_likelihood - bare.row(true.key).log_likelihood
                worst = min(worst, lost)
    print(f"\nOne mistaken look at a dangerous species ({tried} mistakes tried)", file=out)
    print(f"rows lost from the table: {dropped}", file=out)
    print(f"no longer close (the leader outweighs it {CLOSE_WITHIN:.0f} times): {far}", file=out)
    print(
        f"greatest loss by one look: to 1/{math.exp(-worst):.1f} "
        f" (floor 1/{DANGEROUS_ERROR**-TOGETHER:.1f}; another may gain"
        f" {GREATEST_GAIN**TOGETHER:.1f} times)",
        file=out,
    )
    return dropped


def report(number: int, seed: int = 3, out: TextIO = sys.stdout) -> None:
    """Print all tables for so many finds."""
    world = World(random.Random(seed), list(accounts_read().values()), vocabulary_read())
    held = f"{len(world.accounts)} accounts in {len(world.backgrounds)} forms"
    print(f"{held}, {len(world.rich)} drawn from; seed {seed}", file=out)
    leads(world, number, out)
    checks(world, max(number // 4, 1), out)
    mistakes(world, max(number // 8, 1), out)


def main() -> None:
    parser = argparse.ArgumentParser(
        description="Measure the contrast on finds drawn from accounts."
    )
    parser.add_argument("--finds", type=int, default=400)
    parser.add_argument("--seed", type=int, default=3)
    chosen = parser.parse_args()
    report(chosen.finds, chosen.seed)


if __name__ == "__main__":
    main()
