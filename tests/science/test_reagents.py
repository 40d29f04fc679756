"""Reading a written reagent."""

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from society.science.reagents import read_reagent

DATA = Path(__file__).parents[2] / "society" / "names" / "data" / "reagents.csv"


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("KOH", "koh"),
        ("koh", "koh"),
        ("KOH on cap", "koh"),
        ("potassium hydroxide, 5%", "koh"),
        ("10 % KOH on the cap skin", "koh"),
        ("Iron salts", "iron_salts"),
        ("iron salts on stem", "iron_salts"),
        ("FeSO4", "iron_salts"),
        ("iron_salts", "iron_salts"),
        ("Melzer's reagent", "melzer"),
        ("C on thallus", "bleach"),
        ("beet juice", "beet_juice"),
        ("", ""),
    ],
)
def test_a_reagent_comes_to_the_code_of_its_name(text: str, code: str) -> None:
    assert read_reagent(text) == code


def test_every_reagent_of_the_vocabulary_is_read_by_its_code_and_by_its_name() -> None:
    with DATA.open(encoding="utf-8", newline="") as lines:
        rows = list(csv.DictReader(lines))
    assert len(rows) > 10
    for row in rows:
        assert read_reagent(row["code"]) == row["code"]
        assert read_reagent(row["english"]) == row["code"]


@given(st.text(alphabet="kohKOH ironcap", max_size=40))
def test_reading_twice_changes_nothing_and_letter_case_does_not_matter(text: str) -> None:
    code = read_reagent(text)
    assert read_reagent(code) == code
    assert " " not in code
