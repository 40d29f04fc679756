"""Cells that begin like formulas are made harmless; numbers stay numbers."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from society.science.spreadsheet_cells import as_written, harmless


@pytest.mark.parametrize(
    "text",
    [
        "=1+1",
        "+1+1",
        "-1+1",
        "@SUM(A1)",
        "\t=1",
        "\rword",
        "\nword",
        "\tword",
        "  =1+1",
        "\u00a0=1",
        '"=1"',
        "'=1",
        "“=1",
        "\ufeff=1",
        "\u200b@x",
        "\x00=1",
        "＝1+1",
        "＋1",
        "－1",
        "＠x",
        "﹦1",
        "−1+1",
        "-5 m",
        "+44 (0)1",
        "--5",
        "-",
        "=",
        "- young",
        "-1,5",
        "-1\n",
    ],
)
def test_what_could_be_run_gets_an_apostrophe(text: str) -> None:
    assert harmless(text) == "'" + text


@pytest.mark.parametrize(
    "text",
    ["", " ", "5", "-5", "+5", "-5.25", "+3.2e-4", "-.5", "12.", "1e6", "Russula - young",
     "Lactarius sect. Deliciosi", "SK 12 34", "'tis", "a=b", "(=1)", "é", "12/10/2024"],
)  # fmt: skip
def test_numbers_and_plain_words_stay_as_they_are(text: str) -> None:
    assert harmless(text) == text


@given(st.text())
def test_the_words_come_back_as_they_were(text: str) -> None:
    assert as_written(harmless(text)) == text


@given(st.text(alphabet="=+-@ \t\r\n'\"abc1＝\u200b", max_size=12))
def test_no_cell_begins_like_a_formula_unless_it_is_a_number(text: str) -> None:
    cell = harmless(text)
    if cell[:1] in ("=", "+", "-", "@", "\t", "\r", "\n", "＝"):
        assert float(cell) == float(text)


@given(st.one_of(st.integers().map(str), st.floats(allow_nan=False, allow_infinity=False).map(str)))
def test_every_number_stays_a_number(text: str) -> None:
    assert harmless(text) == text
