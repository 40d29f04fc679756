"""The species accounts' files, read as they stand: what must hold of rows, words and names.

The dangerous fungi are those that the checklist holds as such; ``test_checklist_data`` checks them
against the literature on poisonings.
"""

import csv
import re
from collections import Counter
from decimal import Decimal
from pathlib import Path

import pytest

from society.names.models import Account, AccountState, Exposed, TurnedColour
from society.names.models.accounts import Usual
from society.names.services import checklist_load
from society.names.services.account_files import accounts_load

DATA = Path(__file__).resolve().parents[2] / "society" / "names" / "data"
ACCOUNTS = DATA / "accounts"
STATES, READINGS, SPORES = (
    sorted(ACCOUNTS.glob(f"{kind}_*.csv")) for kind in ("characters", "readings", "spores")
)
COLUMNS = {
    "characters": "name,character,states,source",
    "readings": "name,exposed,reagent,minute_from,minute_to,colours,source",
    "spores": "name,length_from,length_to,width_from,width_to,q_from,q_to,source",
    "sources": "name,sources,doubt",
}
USUAL = set(Usual.values)
SEEN = {"always", "usually", "sometimes"}

# One fruit-body shows several states of these at once, as a volva with a bulb inside.
MANY_AT_ONCE = {
    *("cap_surface", "cap_margin", "cap_moisture", "cap_shape", "veil", "volva_kind", "growth"),
    *("stem_base", "stem_surface", "stem_shape", "ring", "gill_edge", "flesh_texture", "hyphae"),
}
# The least number of characters: small forms with few parts have fewer to tell.
LEAST = {"agaric": 8, "bolete": 8}
LEAST_OF_OTHERS = 3

Row = dict[str, str]


def rows_of(path: Path) -> list[Row]:
    with path.open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines, strict=True))


def all_rows(paths: list[Path]) -> list[Row]:
    return [row for path in paths for row in rows_of(path)]


def vocabulary() -> dict[str, Row]:
    return {row["character"]: row for row in rows_of(DATA / "characters.csv")}


def codes(character: Row) -> list[str]:
    return [state.split("=")[0] for state in character["states"].split("|")]


def usual(text: str) -> list[tuple[str, str]]:
    """Return the pairs of a cell like ``white=usually|cream=sometimes``."""
    return [
        (code, word) for code, _equals, word in (part.partition("=") for part in text.split("|"))
    ]


def held() -> dict[str, Row]:
    """Return the accepted names of the checklist with their rows."""
    return {row["scientific_name"]: row for row in all_rows(sorted(DATA.glob("fungi_*.csv")))}


def told() -> dict[str, dict[str, dict[str, str]]]:
    """Return for each name its characters, each with the usual word of its states."""
    found: dict[str, dict[str, dict[str, str]]] = {}
    for row in all_rows(STATES):
        found.setdefault(row["name"], {})[row["character"]] = dict(usual(row["states"]))
    return found


def dangerous(*classes: str) -> dict[str, Row]:
    """Return the species (and varieties) held as dangerous: no genus, section or aggregate."""
    return {
        name: row
        for name, row in held().items()
        if row["danger"] in classes and row["rank"] in ("species", "variety")
    }


def repeated(values: list[str]) -> list[str]:
    return [value for value, times in Counter(values).items() if times > 1]


@pytest.mark.parametrize("path", sorted(ACCOUNTS.glob("*.csv")), ids=lambda path: path.name)
def test_a_file_of_accounts_has_its_columns_and_plain_lines(path: Path) -> None:
    text = path.read_bytes().decode("utf-8")
    assert text.split("\n", 1)[0] == COLUMNS[path.stem.split("_")[0]]
    assert "\r" not in text
    assert "\t" not in text
    assert text.endswith("\n")
    rows = rows_of(path)
    assert rows
    assert [row for row in rows if None in row or None in row.values()] == []
    cells = [cell for row in rows for cell in row.values()]
    assert [cell for cell in cells if cell != cell.strip() or "  " in cell] == []


@pytest.mark.parametrize("path", STATES, ids=lambda path: path.name)
def test_characters_stand_in_the_order_of_names_and_vocabulary(path: Path) -> None:
    order = {code: int(row["order"]) for code, row in vocabulary().items()}
    keys = [(row["name"], order[row["character"]]) for row in rows_of(path)]
    assert keys == sorted(keys)


def test_no_account_tells_a_character_twice_or_stands_in_two_files() -> None:
    rows = all_rows(STATES)
    assert repeated([f"{row['name']} {row['character']}" for row in rows]) == []
    homes = [name for path in STATES for name in {row["name"] for row in rows_of(path)}]
    assert repeated(homes) == []
    assert repeated([row["name"] for row in all_rows(SPORES)]) == []
    assert repeated([row["name"] for row in rows_of(ACCOUNTS / "sources.csv")]) == []


def test_every_account_is_of_an_accepted_species() -> None:
    checklist = held()
    paths = [*STATES, *READINGS, *SPORES, ACCOUNTS / "sources.csv"]
    names = {row["name"] for row in all_rows(paths)}
    assert sorted(names - set(checklist)) == []
    wide = {"genus", "section"}
    assert sorted(name for name in names if checklist[name]["rank"] in wide) == []


def test_every_reading_size_and_doubt_belongs_to_an_account_with_characters() -> None:
    paths = [*READINGS, *SPORES, ACCOUNTS / "sources.csv"]
    assert sorted({row["name"] for row in all_rows(paths)} - set(told())) == []


def test_every_state_and_usual_word_is_of_the_vocabulary() -> None:
    characters = vocabulary()
    rows = all_rows(STATES)
    assert sorted({row["character"] for row in rows} - set(characters)) == []
    wrong = [
        (row["name"], row["character"], code, word)
        for row in rows
        for code, word in usual(row["states"])
        if code not in codes(characters[row["character"]]) or word not in USUAL
    ]
    assert wrong == []
    assert [row for row in rows if repeated([code for code, _word in usual(row["states"])])] == []


def test_a_character_is_told_only_of_forms_that_have_it() -> None:
    characters, checklist = vocabulary(), held()
    wrong = [
        (row["name"], row["character"])
        for row in all_rows(STATES)
        if not {"all", checklist[row["name"]]["form"]}
        & set(characters[row["character"]]["form"].split("|"))
    ]
    assert wrong == []


def test_one_state_at_most_is_always_there_unless_several_can_be_seen_at_once() -> None:
    wrong = [
        (name, character)
        for name, characters in told().items()
        for character, states in characters.items()
        if character not in MANY_AT_ONCE and list(states.values()).count("always") > 1
    ]
    assert wrong == []


def test_a_character_told_of_a_species_tells_more_than_what_it_never_shows() -> None:
    wrong = [
        (name, character)
        for name, characters in told().items()
        for character, states in characters.items()
        if set(states.values()) == {"never"}
    ]
    assert wrong == []


def test_a_volva_or_a_milk_that_is_never_there_is_not_told_as_sometimes_there() -> None:
    wrong = [
        (name, character)
        for name, characters in told().items()
        for character in ("volva_kind", "veil", "milk_colour")
        if characters.get(character, {}).get("none") == "always"
        and set(characters[character].values()) - {"always", "never"}
    ]
    assert wrong == []


def test_every_row_of_an_account_says_where_it_comes_from() -> None:
    rows = all_rows([*STATES, *READINGS, *SPORES])
    told_from = re.compile(r"(from memory|published|sources disagree)\b")
    assert [row for row in rows if not told_from.match(row["source"])] == []
    doubts = {row["doubt"] for row in rows_of(ACCOUNTS / "sources.csv")}
    assert doubts <= {"", "yes"}


def test_no_source_holds_a_code_in_place_of_words() -> None:
    paths = sorted(ACCOUNTS.glob("*.csv"))
    told = [
        row[column] for row in all_rows(paths) for column in ("source", "sources") if column in row
    ]
    assert len(told) > 1000
    assert [words for words in told if re.search(r"\w_\w", words)] == []


def test_nothing_in_the_accounts_speaks_of_eating() -> None:
    eating = re.compile(
        r"\b(edib\w*|eat(s|en|ing|able)?|delicious|tasty|delicac\w*|esteem\w*|culinary|cook(s|ed|ing)?|kitchen|dish\w*"
        r"|safe\w*|harmless|wholesome|choice|poison\w*|meal for)\b",
        re.IGNORECASE,
    )
    paths = sorted(ACCOUNTS.glob("*.csv"))
    cells = [
        cell
        for path in paths
        for row in rows_of(path)
        for column, cell in row.items()
        if column != "name"
    ]
    assert [cell for cell in cells if eating.search(cell)] == []


def test_a_taste_is_never_what_makes_an_account_and_is_never_asked_for() -> None:
    unasked = {code for code, row in vocabulary().items() if row["never_asked"] == "yes"}
    assert unasked == {"taste"}
    short = [
        name
        for name, characters in told().items()
        if unasked & set(characters) and len(set(characters) - unasked) < LEAST["agaric"]
    ]
    assert short == []


def test_an_account_tells_enough_characters_for_its_form() -> None:
    checklist = held()
    thin = [
        (name, len(characters))
        for name, characters in told().items()
        if len(characters) < LEAST.get(checklist[name]["form"], LEAST_OF_OTHERS)
    ]
    assert thin == []


def test_readings_go_forward_in_colours_and_reagents_that_are_known() -> None:
    reagents = {row["code"] for row in rows_of(DATA / "reagents.csv")}
    for row in all_rows(READINGS):
        start, end = Decimal(row["minute_from"]), Decimal(row["minute_to"])
        assert 0 <= start < end, row
        assert row["exposed"] in Exposed.values, row
        assert (row["exposed"] == "reagent") == (row["reagent"] in reagents), row
        assert bool(row["reagent"]) == (row["exposed"] == "reagent"), row
        for colour, word in usual(row["colours"]):
            assert colour in TurnedColour.values, row
            assert word in USUAL, row


def test_spores_go_from_small_to_large_and_are_no_wider_than_long() -> None:
    for row in all_rows(SPORES):
        length = Decimal(row["length_from"]), Decimal(row["length_to"])
        width = Decimal(row["width_from"]), Decimal(row["width_to"])
        assert 0 < length[0] <= length[1] < 400, row
        assert 0 < width[0] <= width[1], row
        assert width[0] <= length[0], row
        assert width[1] <= length[1], row
        assert bool(row["q_from"]) == bool(row["q_to"]), row
        if row["q_from"]:
            assert 1 <= Decimal(row["q_from"]) <= Decimal(row["q_to"]), row


def test_at_least_two_hundred_and_fifty_species_have_an_account() -> None:
    assert len(told()) >= 250


def test_every_deadly_or_seriously_poisonous_species_has_an_account() -> None:
    assert sorted(set(dangerous("deadly", "serious")) - set(told())) == []


def test_a_dangerous_gilled_fungus_tells_its_ring_volva_gills_and_print() -> None:
    needed = {"ring", "volva_kind", "gill_colour", "gill_attachment", "print_colour", "main_colour"}
    accounts = told()
    lacking = {
        name: sorted(needed - set(accounts[name]))
        for name, row in dangerous("deadly", "serious").items()
        if row["form"] == "agaric" and needed - set(accounts[name])
    }
    assert lacking == {}


def test_whatever_is_taken_for_a_dangerous_species_has_an_account() -> None:
    accounts, grave = told(), dangerous("deadly", "serious")
    without = {
        name
        for row in rows_of(DATA / "look_alikes.csv")
        for name in (row["name"], row["other"])
        if {row["name"], row["other"]} & set(grave) and name not in accounts
    }
    assert without == set()


# Nothing in the accounts parts these for sure: the ochre of the volva is seen, rarely, in both of
# the first pair; the season parts the second, and tubes and potash the third.
HELD_TOO_CLOSE = {
    ("Amanita ovoidea", "Amanita proxima"),
    ("Gyromitra esculenta", "Gyromitra infula"),
    ("Fistulina hepatica", "Hapalopilus rutilans"),
}


def test_a_dangerous_species_is_told_from_its_look_alike_of_the_same_form() -> None:
    """A puffball shares no characters with an agaric, so pairs of two forms are left out."""
    accounts, grave, checklist = told(), dangerous("deadly", "serious"), held()
    pairs = [
        (row["name"], row["other"])
        for row in rows_of(DATA / "look_alikes.csv")
        if {row["name"], row["other"]} & set(grave)
        and checklist[row["name"]]["form"] == checklist[row["other"]]["form"]
    ]
    assert len(pairs) > 50
    not_apart = {pair for pair in pairs if not apart(accounts[pair[0]], accounts[pair[1]])}
    assert not_apart <= HELD_TOO_CLOSE


def apart(one: dict[str, dict[str, str]], other: dict[str, dict[str, str]]) -> list[str]:
    """Return the characters of which one usually shows a state that the other never shows.

    Two that show no state in common, each at least sometimes, are apart as well.
    """
    found = []
    for character in sorted(set(one) & set(other)):
        first, second = one[character], other[character]
        shown, shown_too = (
            {state for state, word in states.items() if word in SEEN} for states in (first, second)
        )
        denied = any(
            mine.get(state) in ("always", "usually") and word == "never"
            for mine, theirs in ((first, second), (second, first))
            for state, word in theirs.items()
        )
        if denied or (shown and shown_too and not shown & shown_too):
            found.append(character)
    return found


def test_the_death_caps_hold_white_gills_ring_and_volva_and_field_mushrooms_hold_neither() -> None:
    """Public literature names these characters (general encyclopedia articles on the species)."""
    accounts = told()
    for name in ("Amanita phalloides", "Amanita virosa", "Amanita verna"):
        assert accounts[name]["volva_kind"]["bag"] == "always"
        assert accounts[name]["volva_kind"]["none"] == "never"
        assert accounts[name]["gill_colour"]["pink"] == "never"
        assert accounts[name]["print_colour"]["white"] == "always"
        assert accounts[name]["ring"]["hanging"] in ("always", "usually")
    mushrooms = [name for name in accounts if name.startswith("Agaricus ")]
    assert len(mushrooms) >= 10
    for name in mushrooms:
        assert accounts[name]["volva_kind"] == {"none": "always", "bag": "never"}
        assert accounts[name]["print_colour"]["white"] == "never"


@pytest.mark.django_db
def test_every_row_of_the_accounts_is_loaded_and_loading_again_adds_nothing() -> None:
    checklist_load()
    first = accounts_load()
    assert first.left_out == ()
    assert first.accounts == Account.objects.count() == len(told())
    assert AccountState.objects.count() == sum(
        len(states) for characters in told().values() for states in characters.values()
    )
    doubted = {row["name"] for row in rows_of(ACCOUNTS / "sources.csv") if row["doubt"] == "yes"}
    in_doubt = Account.objects.filter(is_doubtful=True)
    assert {
        account.taxon.scientific_name for account in in_doubt.select_related("taxon")
    } == doubted
    assert accounts_load().new_rows == 0
