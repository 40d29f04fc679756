"""Measure how names with stated mistakes resolve: right share against confidence, kinds, dangers.

    python -m tests.bench.names

reads the checklist that comes with the logbook (no database), takes a share of its harmless species
out of the index (they stand for species that no checklist holds), makes mistakes of stated kinds in
names of both with a fixed seed, and prints: a reliability table, accuracy by kind of mistake, false
resolutions, moves to or from a dangerous species, and the time of look-ups over 30,000 names.
``--lines N`` for another number of lines, ``--seed N`` for others.
"""

import argparse
import csv
import random
import statistics
import sys
import time
from collections import Counter, defaultdict
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TextIO

from society.science.names import IndexEntry, NameIndex, Resolution, kind_of_synonym
from tests.bench.mistakes import MISTAKES, Line, Name, lines_of

DATA = Path(__file__).resolve().parents[2] / "society" / "names" / "data"
LEFT_OUT = 0.15  # share of harmless species that the index does not hold
LINES = 20_000
AIM_MS = 20
DANGEROUS = ("deadly", "serious")


def checklist() -> list[Name]:
    """Return every name of the checklist's files."""
    names, dangerous, groups, ranks = [], {}, {}, {}
    for path in [*sorted(DATA.glob("fungi_*.csv")), DATA / "hosts.csv"]:
        for row in _rows(path):
            accepted = row["scientific_name"]
            dangerous[accepted] = row.get("danger") in DANGEROUS
            groups[accepted], ranks[accepted] = row.get("group", "fungus"), row["rank"]
            facts = (accepted, groups[accepted], row["rank"], dangerous[accepted])
            names.append(Name(accepted, "accepted", *facts))
            names += [Name(word, "english", *facts) for word in row["english"].split("|") if word]
    for row in _rows(DATA / "synonyms.csv"):
        accepted = row["accepted"]
        if accepted in groups:
            kind = row["kind"]
            if kind in ("synonym", "combination"):
                kind = kind_of_synonym(row["synonym"], accepted)
            facts = (accepted, groups[accepted], ranks[accepted], dangerous[accepted])
            names.append(Name(row["synonym"], kind, *facts))
    return names


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def index_of(names: list[Name]) -> tuple[NameIndex, dict[int, str]]:
    """Return an index of the names, and the accepted name of each key."""
    keys = {name.accepted: number for number, name in enumerate(names) if name.kind == "accepted"}
    entries = [
        IndexEntry(
            key=keys[name.accepted] if name.kind in ("accepted", "english") else number,
            name=name.text,
            kind=name.kind,  # type: ignore[arg-type]
            accepted_key=keys[name.accepted],
            group=name.group,
            rank=name.rank,
            dangerous=name.dangerous,
        )
        for number, name in enumerate(names)
    ]
    return NameIndex(entries), {key: accepted for accepted, key in keys.items()}


# --- measuring -------------------------------------------------------------------------------


@dataclass
class Measured:
    """What came of all lines."""

    bins: dict[int, list[tuple[float, bool]]]
    kinds: dict[str, Counter[str]]
    to_dangerous: list[str]
    from_dangerous: list[str]
    ways: dict[str, list[tuple[float, bool]]]
    wrong: list[str]


EDGES = (0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95, 0.98, 1.01)


def measured(index: NameIndex, accepted: dict[int, str], lines: list[Line]) -> Measured:
    """Resolve every line and compare with what was meant."""
    result = Measured(defaultdict(list), defaultdict(Counter), [], [], defaultdict(list), [])
    dangerous = {m for m in accepted if _is_dangerous(index, accepted[m])}
    for line in lines:
        came = index.resolve(line.text, by_spelling=True)
        kind = result.kinds[line.mistake]
        kind["lines"] += 1
        best = came.candidates[0] if came.candidates else None
        right = best is not None and accepted[best.accepted_key] == line.meant
        if best is not None:
            at = next(at for at in range(len(EDGES)) if best.confidence < EDGES[at + 1])
            result.bins[at].append((best.confidence, right))
            result.ways[best.via].append((best.confidence, right))
        kind["first"] += right
        five = {accepted[match.accepted_key] for match in came.candidates[:5]}
        kind["among five"] += line.meant in five
        _count_resolved(result, line, came, accepted, dangerous)
    return result


def _is_dangerous(index: NameIndex, name: str) -> bool:
    match = index.resolve(name).match
    return match is not None and match.dangerous


def _count_resolved(
    result: Measured,
    line: Line,
    came: Resolution,
    accepted: dict[int, str],
    dangerous: set[int],
) -> None:
    kind = result.kinds[line.mistake]
    if came.match is None:
        return
    kind["resolved"] += 1
    got = accepted[came.match.accepted_key]
    if got == line.meant:
        return
    kind["wrong"] += 1
    told = f"{line.text!r} ({line.mistake} in {line.meant}) -> {got} by {came.match.via}"
    result.wrong.append(f"{told} {came.match.confidence}")
    if came.match.accepted_key in dangerous:
        result.to_dangerous.append(told)
    if line.dangerous:
        result.from_dangerous.append(told)


def report(result: Measured, out: TextIO, *, show_wrong: int = 0) -> None:
    """Print the tables."""
    print("confidence     lines   stated   right", file=out)
    for at in sorted(result.bins):
        pairs = result.bins[at]
        stated, right = _means(pairs)
        top = min(EDGES[at + 1], 1.0)
        print(f"{EDGES[at]:4.2f} - {top:4.2f} {len(pairs):8d} {stated:8.3f} {right:7.3f}", file=out)
    pairs = [pair for held in result.bins.values() for pair in held]
    brier = statistics.fmean((stated - right) ** 2 for stated, right in pairs)
    print(f"Brier score {brier:.4f} over {len(pairs)} lines with a candidate\n", file=out)
    print("via            lines   stated   right", file=out)
    for via, pairs in sorted(result.ways.items()):
        stated, right = _means(pairs)
        print(f"{via:12s} {len(pairs):7d} {stated:8.3f} {right:7.3f}", file=out)
    print("\nmistake             lines resolved   wrong  best right  among five", file=out)
    total: Counter[str] = Counter()
    for mistake in MISTAKES:
        kind = result.kinds[mistake]
        total.update(kind)
        if kind["lines"]:
            print(_kind_line(mistake, kind), file=out)
    print(_kind_line("all", total), file=out)
    for told in result.wrong[:show_wrong]:
        print(told, file=out)


def report_moves(results: list[Measured], out: TextIO) -> bool:
    """Print what was moved to or from a dangerous species; return whether anything was."""
    to_one = [told for result in results for told in result.to_dangerous]
    from_one = [told for result in results for told in result.from_dangerous]
    print(f"\nmoved to a dangerous species:   {len(to_one)}", file=out)
    print(f"moved from a dangerous species: {len(from_one)}", file=out)
    for told in to_one + from_one:
        print("  " + told, file=out)
    return bool(to_one or from_one)


def _means(pairs: list[tuple[float, bool]]) -> tuple[float, float]:
    return (
        statistics.fmean(stated for stated, _ in pairs),
        statistics.fmean(float(right) for _, right in pairs),
    )


def _kind_line(name: str, kind: Counter[str]) -> str:
    lines = kind["lines"]
    return (
        f"{name:18s} {lines:6d} {kind['resolved'] / lines:8.3f} {kind['wrong']:7d} "
        f"{kind['first'] / lines:11.3f} {kind['among five'] / lines:11.3f}"
    )


# --- time ------------------------------------------------------------------------------------


def grown(names: list[Name], to: int, seed: int) -> list[Name]:
    """Return the names with invented ones beside them: real genera, epithets put together anew."""
    chance = random.Random(seed)
    two = [name.text.split() for name in names if name.kind != "english" and " " in name.text]
    genera = [words[0] for words in two]
    halves = [words[1] for words in two]
    held = {name.text for name in names}
    more = list(names)
    while len(more) < to:
        first, last = chance.choice(halves), chance.choice(halves)
        text = f"{chance.choice(genera)} {first[: len(first) // 2]}{last[len(last) // 2 :]}"
        if text not in held:
            held.add(text)
            more.append(Name(text, "accepted", text, "fungus", "species", False))
    return more


def times(names: list[Name], texts: list[str], size: int, seed: int) -> dict[str, list[float]]:
    """Return the milliseconds of each look-up as one types, and of each resolving, when cold."""
    index, _ = index_of(grown(names, size, seed))
    spent: dict[str, list[float]] = {"search": [], "resolve": []}
    for text in texts:
        for way, call in (("search", index.search), ("resolve", _by_spelling(index))):
            start = time.perf_counter()
            call(text)
            spent[way].append((time.perf_counter() - start) * 1000)
    return spent


def _by_spelling(index: NameIndex) -> Callable[[str], Resolution]:
    return lambda text: index.resolve(text, by_spelling=True)


def report_times(spent: dict[str, list[float]], size: int, out: TextIO) -> bool:
    """Print the times over ``size`` names; return whether the aim is met."""
    print(f"\nover {size} names, ms    median     95 %      most", file=out)
    for way, taken in spent.items():
        held = sorted(taken)
        high = held[round(0.95 * (len(held) - 1))]
        median = statistics.median(held)
        print(f"{way:22s} {median:8.2f} {high:8.2f} {held[-1]:9.2f}", file=out)
    return all(statistics.quantiles(taken, n=20)[-1] < AIM_MS for taken in spent.values())


def main(arguments: list[str], out: TextIO = sys.stdout) -> int:
    """Measure and print; 1 where a dangerous species was moved or the times miss the aim."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lines", type=int, default=LINES)
    parser.add_argument("--seed", type=int, default=20)
    parser.add_argument("--size", type=int, default=30_000)
    parser.add_argument("--show-wrong", type=int, default=0)
    asked = parser.parse_args(arguments)
    names = checklist()
    chance = random.Random(asked.seed)
    species = sorted({n.accepted for n in names if n.rank == "species" and not n.dangerous})
    out_of_it = set(chance.sample(species, round(LEFT_OUT * len(species))))
    kept = [name for name in names if name.accepted not in out_of_it]
    index, accepted = index_of(kept)
    held = {name.accepted for name in kept}
    lines = list(lines_of(names, held, asked.seed, asked.lines))
    worst = list(lines_of(names, held, asked.seed, asked.lines // 2, only_dangerous=True))
    print(
        f"{len(kept)} names held, {len(out_of_it)} species left out, {len(lines)} lines", file=out
    )
    result = measured(index, accepted, lines)
    report(result, out, show_wrong=asked.show_wrong)
    dangers = measured(index, accepted, worst)
    total = sum((kind for kind in dangers.kinds.values()), Counter())
    print(f"\n{len(worst)} lines of dangerous species alone:", file=out)
    print(_kind_line("all", total), file=out)
    moved = report_moves([result, dangers], out)
    texts = [line.text for line in lines[: min(1000, asked.lines)]]
    in_time = report_times(times(names, texts, asked.size, asked.seed), asked.size, out)
    return int(moved or not in_time)


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
