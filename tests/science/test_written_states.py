"""Which states of a character written words come to."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from society.science.written_states import states_written

PRINT = {
    "white": "white",
    "cream": "cream",
    "clay": "clay brown",
    "rusty": "rusty brown",
    "brown": "brown",
    "purple_black": "purple-black",
}


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        ("pale cream to clay brown", {"cream", "clay"}),
        ("Rusty brown.", {"rusty"}),
        ("PURPLE-BLACK", {"purple_black"}),
        ("rusty", {"rusty"}),
        ("like old ivory", set()),
        ("whitewashed", set()),
        ("cream, not white", {"cream"}),
        ("never rusty brown", set()),
        ("clay brown without white tint", {"clay"}),
        ("", set()),
    ],
)
def test_words_come_to_the_states_they_name(text: str, codes: set[str]) -> None:
    assert states_written(text, PRINT) == codes


@given(st.text(max_size=60))
def test_whatever_is_written_comes_to_states_that_are_there(text: str) -> None:
    assert states_written(text, PRINT) <= PRINT.keys()


@given(st.sampled_from(sorted(PRINT)))
def test_the_name_of_a_state_comes_to_that_state_alone(code: str) -> None:
    assert states_written(PRINT[code], PRINT) == {code}
