"""The measurement of names runs, on few lines. No time is judged here; dangers are."""

import io
import random

import pytest

from tests.bench import names as bench


def test_the_measurement_prints_every_table_and_moves_nothing_dangerous() -> None:
    out = io.StringIO()
    bench.main(["--lines", "600", "--size", "6000", "--seed", "4"], out)
    told = out.getvalue()
    for mistake in bench.MISTAKES:
        assert f"\n{mistake} " in told
    for table in ("confidence ", "via ", "Brier score", "lines of dangerous species", "over 6000"):
        assert table in told
    assert "moved to a dangerous species:   0\n" in told
    assert "moved from a dangerous species: 0\n" in told


def test_the_same_seed_makes_the_same_lines() -> None:
    names = bench.checklist()
    held = {name.accepted for name in names}
    one, other, another = (list(bench.lines_of(names, held, seed, 40)) for seed in (1, 1, 2))
    assert one == other
    assert one != another


def test_a_name_resolved_wrongly_is_counted_and_a_move_is_told() -> None:
    names = [
        bench.Name("Aus bus", "accepted", "Aus bus", "fungus", "species", False),
        bench.Name("Cus dus", "accepted", "Cus dus", "fungus", "species", True),
    ]
    index, accepted = bench.index_of(names)
    line = bench.Line("Aus bus", "as written", "Cus dus", True, True)
    result = bench.measured(index, accepted, [line])
    assert result.kinds["as written"]["wrong"] == 1
    assert len(result.from_dangerous) == 1
    assert result.to_dangerous == []
    out = io.StringIO()
    assert bench.report_moves([result], out)
    assert "moved from a dangerous species: 1" in out.getvalue()


@pytest.mark.parametrize("mistake", [kind for kind in bench.MISTAKES if kind != "as written"])
def test_each_mistake_changes_a_name_it_can_be_made_in(mistake: str) -> None:
    chance = random.Random(3)
    made = {bench.MISTAKES[mistake]("Psathyrella phyllogena", chance) for _ in range(20)}
    assert made - {"Psathyrella phyllogena"}
