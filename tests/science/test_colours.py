"""Written colours, as they stand in notebooks, read into the codes of the accounts."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from society.names.models import vocabulary
from society.science.colours import CODES, read_colour
from society.science.contrast import COLOURS

DATA = Path(vocabulary.__file__).parents[1] / "data"


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        ("wine-red", "wine"),
        ("Wine red", "wine"),
        ("slowly turning maroon", "wine"),
        ("vinaceous", "wine"),
        ("carrot", "orange"),
        ("bright carrot orange", "orange"),
        ("bluish green", "blue green"),
        ("reddens", "red"),
        ("slowly blackening", "black"),
        ("gray", "grey"),
        ("purplish red", "wine"),
        ("purple", "wine lilac"),
        ("olive-green", "green"),
        ("olive", "green brown"),
        ("turquoise", "blue green"),
        ("off-white", "white cream"),
        ("like water", "watery"),
        ("salmon pink", "pink"),
        ("orange, some green", "orange green"),
        ("blood red at the cut", "red"),
    ],
)
def test_a_colour_goes_to_the_codes_it_may_mean(text: str, codes: str) -> None:
    assert read_colour(text) == frozenset(codes.split())


@pytest.mark.parametrize(
    "text",
    [
        "no change",
        "No colour change",
        "unchanged",
        "unchanging",
        "does not change",
        "didn’t change",
        "hardly any change",
        "no reaction",
        "stayed the same",
        "same as before",
        "none",
        "negative",
    ],
)
def test_no_change_is_its_own_code(text: str) -> None:
    assert read_colour(text) == {"none"}


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        ("unchanged orange", "orange"),
        ("stays orange", "orange"),
        ("no change but greenish spots", "green"),
        ("unchanged at first, then slowly wine-red", "wine"),
    ],
)
def test_a_colour_named_beside_no_change_is_what_was_seen(text: str, codes: str) -> None:
    assert read_colour(text) == frozenset(codes.split())


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        ("from orange to wine-red", "wine"),
        ("orange then maroon after 10 min", "wine"),
        ("white at once, then yellow", "yellow"),
        ("orange; later wine red", "wine"),
        ("yellow → brown", "brown"),
        ("orange turning", "orange"),
    ],
)
def test_of_a_turn_the_colour_it_came_to_is_taken(text: str, codes: str) -> None:
    assert read_colour(text) == frozenset(codes.split())


def test_a_range_without_a_turn_keeps_both_ends() -> None:
    assert read_colour("orange to red") == {"orange", "red"}


@pytest.mark.parametrize(
    "text", ["not green", "not turning red", "not red or green", "no longer orange"]
)
def test_what_is_denied_is_not_what_was_seen(text: str) -> None:
    assert read_colour(text) is None


def test_a_colour_beside_a_denied_one_is_kept() -> None:
    assert read_colour("no green, orange") == {"orange"}
    assert read_colour("without green; brown") == {"brown"}


@pytest.mark.parametrize(
    "text", ["", "  ", "?", "pale", "not looked", "nobody looked", "no milk", "after 5 minutes"]
)
def test_what_names_no_colour_is_not_read_as_no_change(text: str) -> None:
    assert read_colour(text) is None


def test_the_codes_are_those_of_the_accounts_in_the_same_order() -> None:
    assert tuple(vocabulary.TurnedColour.values) == CODES == COLOURS


def test_every_colour_name_the_society_lists_can_be_read() -> None:
    with (DATA / "colours.csv").open(encoding="utf-8", newline="") as lines:
        names = [row["english"] for row in csv.DictReader(lines)]

    assert len(names) > 40
    assert [name for name in names if not read_colour(name)] == []


@pytest.mark.parametrize("choice", [c for c in vocabulary.TurnedColour if c != "none"])
def test_a_colour_chosen_from_the_list_is_read_as_itself(choice: vocabulary.TurnedColour) -> None:
    found = read_colour(str(choice.label))

    assert found is not None
    assert str(choice.value) in found


@given(st.text(max_size=60))
def test_any_text_is_read_or_not_read_and_nothing_else(text: str) -> None:
    found = read_colour(text)

    assert found is None or (found and found <= set(CODES))
    assert found is None or "none" not in found or len(found) == 1


@given(
    st.sampled_from([c for c in CODES if c not in ("none", "watery")]),
    st.sampled_from(["", "dark ", "pale ", "slowly turning ", "DEEP "]),
)
def test_shades_and_the_way_of_turning_do_not_change_the_colour(colour: str, before: str) -> None:
    assert colour in (read_colour(before + colour) or ())


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        ("flesh unchanged", {"none"}),
        ("no change in the flesh", {"none"}),
        ("flesh not blue", None),
        ("flesh blue", {"blue"}),
        ("cut flesh reddening", {"red"}),
        ("flesh-coloured", {"pink"}),
        ("flesh pink", {"pink"}),
        ("turned bright clear red", {"red"}),
        ("clear", {"watery"}),
    ],
)
def test_what_was_cut_and_how_bright_it_was_are_no_colours(
    text: str, codes: set[str] | None
) -> None:
    read = read_colour(text)
    assert (None if read is None else set(read)) == codes
