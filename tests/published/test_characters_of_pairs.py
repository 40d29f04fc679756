"""Characters of well-known pairs in the species accounts, against published texts.

The accounts are read from the files they are loaded from. Sources, named beside each check:

* Key: Nuytinck & Verbeken 2005, 2007, key to the European species of Lactarius sect. Deliciosi.
* Phillips: Phillips 2006, *Mushrooms*, the entries of the species.
* Sheets: species sheets of two Italian mycological associations.
* Encyclopedia: general encyclopedia articles on the species.
* Field descriptions: several general field descriptions.
* Society guide: a mycological society's guide to first finds.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import pytest

DATA = Path(__file__).resolve().parents[2] / "society" / "names" / "data"
RANKS = ("never", "rarely", "sometimes", "usually", "always")

DELICIOSUS = "Lactarius deliciosus"
DETERRIMUS = "Lactarius deterrimus"
SEMISANGUIFLUUS = "Lactarius semisanguifluus"
SALMONICOLOR = "Lactarius salmonicolor"
SANGUIFLUUS = "Lactarius sanguifluus"
VINOSUS = "Lactarius vinosus"
QUIETICOLOR = "Lactarius quieticolor"
FENNOSCANDICUS = "Lactarius fennoscandicus"
PORNINSIS = "Lactarius porninsis"
CYANOPUS = "Lactarius cyanopus"


def _rows(pattern: str) -> Iterator[dict[str, str]]:
    for file in sorted(DATA.glob(pattern)):
        with file.open(encoding="utf-8", newline="") as lines:
            yield from csv.DictReader(lines)


def _usual(text: str) -> dict[str, str]:
    return dict(part.split("=", 1) for part in text.split("|"))


STATES = {
    (row["name"], row["character"]): _usual(row["states"])
    for row in _rows("accounts/characters_*.csv")
}
SOURCES = {
    (row["name"], row["character"]): row["source"] for row in _rows("accounts/characters_*.csv")
}
SPORES = {row["name"]: row for row in _rows("accounts/spores_*.csv")}
HOSTS = {
    row["scientific_name"]: set(filter(None, row["hosts"].split("|")))
    for row in _rows("fungi_*.csv")
}


def _main(states: dict[str, str]) -> set[str]:
    """The states said to be usual or invariable."""
    return {state for state, usual in states.items() if usual in ("usually", "always")}


def _milk(name: str, minute: float) -> dict[str, str]:
    """What the account expects of the milk at a minute after the cut."""
    for row in _rows("accounts/readings_milkcaps.csv"):
        milk = row["name"] == name and row["exposed"] == "milk"
        if milk and Decimal(row["minute_from"]) <= minute < Decimal(row["minute_to"]):
            return _usual(row["colours"])
    raise AssertionError(f"{name} has no reading of the milk at minute {minute}")


@pytest.mark.parametrize(
    ("name", "hosts"),
    [
        (DELICIOSUS, {"Pinus"}),  # Key, field descriptions
        (DETERRIMUS, {"Picea", "Arctostaphylos"}),  # Encyclopedia
        (SEMISANGUIFLUUS, {"Pinus"}),  # Phillips
        (SALMONICOLOR, {"Abies"}),  # Key, Phillips, sheets
        (SANGUIFLUUS, {"Pinus"}),  # Key, sheets
        (VINOSUS, {"Pinus"}),  # Sheets
        (FENNOSCANDICUS, {"Picea"}),  # Encyclopedia
        (PORNINSIS, {"Larix"}),  # Key
        (CYANOPUS, {"Pinus"}),  # Key
    ],
)
def test_the_tree_is_the_one_of_the_published_text(name: str, hosts: set[str]) -> None:
    assert HOSTS[name] == hosts


@pytest.mark.parametrize(
    ("name", "fresh"),
    [
        (DELICIOSUS, {"orange", "carrot"}),  # Field descriptions
        (DETERRIMUS, {"orange", "carrot"}),  # Encyclopedia
        (SEMISANGUIFLUUS, {"carrot"}),  # Sheets; Phillips differs, see below
        (SALMONICOLOR, {"orange"}),  # Phillips
        (SANGUIFLUUS, {"wine", "red"}),  # Key, sheets
        (VINOSUS, {"wine"}),  # Key, sheets
        (QUIETICOLOR, {"orange"}),  # Key
        (FENNOSCANDICUS, {"orange"}),  # Encyclopedia
        (PORNINSIS, {"white"}),  # Key
        (CYANOPUS, {"blue"}),  # Key
    ],
)
def test_the_milk_at_the_cut_is_the_colour_of_the_published_text(
    name: str, fresh: set[str]
) -> None:
    assert _main(STATES[name, "milk_colour"]) == fresh


def test_white_milk_speaks_against_every_orange_milk_cap_but_the_one_of_larch() -> None:
    """Key: white latex leads to L. porninsis only."""
    section = (
        DELICIOSUS,
        DETERRIMUS,
        SEMISANGUIFLUUS,
        SALMONICOLOR,
        SANGUIFLUUS,
        VINOSUS,
        QUIETICOLOR,
        FENNOSCANDICUS,
        CYANOPUS,
    )
    assert {STATES[name, "milk_colour"]["white"] for name in section} == {"never"}
    assert STATES[PORNINSIS, "milk_colour"]["white"] == "always"


def test_at_half_an_hour_the_spruce_milk_cap_is_maroon_and_the_pine_one_is_not() -> None:
    """Encyclopedia: L. deterrimus maroon within 30 minutes. Sheets and encyclopedia:
    L. deliciosus does not change."""
    assert _main(_milk(DETERRIMUS, 30)) == {"wine"}
    assert _main(_milk(DELICIOSUS, 30)) == {"orange"}
    assert STATES[DELICIOSUS, "milk_change"]["maroon"] == "never"
    assert "maroon" in _main(STATES[DETERRIMUS, "milk_change"])


def test_the_half_bleeding_milk_cap_is_wine_red_after_a_few_minutes() -> None:
    """Sheets: wine-red after a few minutes. The spruce milk cap needs longer."""
    assert _main(_milk(SEMISANGUIFLUUS, 7)) == {"wine"}
    assert _main(_milk(DETERRIMUS, 7)) == {"orange"}
    assert _main(_milk(DELICIOSUS, 7)) == {"orange"}


def test_the_bleeding_milk_cap_is_red_at_once_and_stays_so() -> None:
    """Key: red latex at once. Sheets: stays red."""
    for minute in (0, 5, 10, 30, 60):
        assert "wine" in _main(_milk(SANGUIFLUUS, minute)), minute
        assert "orange" not in _main(_milk(SANGUIFLUUS, minute)), minute
    assert not _main(_milk(SANGUIFLUUS, 0)) & _main(_milk(SEMISANGUIFLUUS, 0))


def test_the_fir_milk_cap_has_no_green_and_the_others_have() -> None:
    """Key: L. salmonicolor without green, seldom in very young or very old ones. Field
    descriptions, encyclopedia, Phillips: the other three green."""
    assert _main(STATES[SALMONICOLOR, "greening"]) == {"none"}
    assert STATES[SALMONICOLOR, "greening"]["patches"] == "never"
    for name in (DELICIOSUS, DETERRIMUS, SEMISANGUIFLUUS):
        assert _main(STATES[name, "greening"]) & {"spots", "patches"}, name
        assert "none" not in _main(STATES[name, "greening"]), name


def test_the_two_red_milk_caps_differ_in_zones_and_in_green() -> None:
    """Key: hardly zoned with slow slight green leads to L. sanguifluus; clearly zoned with strong
    green is the other. Sheets agree for L. vinosus."""
    assert _main(STATES[SANGUIFLUUS, "cap_zones"]) == {"none"}
    assert _main(STATES[VINOSUS, "cap_zones"]) == {"clear"}
    assert "patches" in _main(STATES[VINOSUS, "greening"])
    assert "patches" not in _main(STATES[SANGUIFLUUS, "greening"])
    assert not {"orange"} & _main(STATES[SANGUIFLUUS, "gill_colour"])  # Key: pinkish to vinaceous


@pytest.mark.parametrize(
    ("name", "zones"),
    [(DELICIOSUS, "clear"), (SEMISANGUIFLUUS, "faint"), (FENNOSCANDICUS, "clear")],
)
def test_the_zones_are_those_of_the_published_text(name: str, zones: str) -> None:
    """Field descriptions, Phillips and encyclopedia, in this order."""
    assert _main(STATES[name, "cap_zones"]) == {zones}


def test_pits_are_clear_on_the_pine_and_the_fir_milk_cap() -> None:
    """Sheets and field descriptions for L. deliciosus, Phillips for L. salmonicolor, sheets for
    L. sanguifluus and L. vinosus."""
    for name in (DELICIOSUS, SALMONICOLOR, SANGUIFLUUS, VINOSUS):
        assert _main(STATES[name, "stem_pits"]) == {"many"}, name


@pytest.mark.parametrize(
    ("name", "sizes"),
    [
        (SEMISANGUIFLUUS, ("7.5", "9.5", "6", "8.25")),  # Phillips
        (SALMONICOLOR, ("9.5", "11.5", "7", "9.5")),  # Phillips
        (SANGUIFLUUS, ("7.5", "9.5", "6", "8")),  # Sheets
        (VINOSUS, ("8", "10", "6", "7")),  # Sheets
        (FENNOSCANDICUS, ("7.5", "8.1", "6.1", "6.5")),  # Encyclopedia, a range of means
    ],
)
def test_spores_have_the_published_limits(name: str, sizes: tuple[str, ...]) -> None:
    row = SPORES[name]
    held = (row["length_from"], row["length_to"], row["width_from"], row["width_to"])
    assert [Decimal(size) for size in held] == [Decimal(size) for size in sizes]


def test_the_spores_of_the_pine_milk_cap_overlap_all_three_published_ranges() -> None:
    """Field descriptions disagree: 7-9, 7.5-11 and 9-11 µm long; 6-7, 6-7.5 and 6.5-7 µm wide."""
    row = SPORES[DELICIOSUS]
    for shortest, longest in ((7, 9), (Decimal("7.5"), 11), (9, 11)):
        assert Decimal(row["length_from"]) < longest
        assert Decimal(row["length_to"]) > shortest
    for narrowest, widest in ((6, 7), (6, Decimal("7.5")), (Decimal("6.5"), 7)):
        assert Decimal(row["width_from"]) < widest
        assert Decimal(row["width_to"]) > narrowest


def test_where_the_texts_disagree_the_accounts_keep_both_and_say_so() -> None:
    green = STATES[DELICIOSUS, "milk_change"]["green"]  # two field descriptions, against sheets
    assert RANKS.index("never") < RANKS.index(green) < RANKS.index("usually")
    red = STATES[SEMISANGUIFLUUS, "milk_colour"]["red"]  # Phillips, against sheets
    assert RANKS.index("never") < RANKS.index(red) < RANKS.index("usually")
    turned = STATES[SANGUIFLUUS, "milk_change"]["green"]  # guides from memory, against sheets
    assert RANKS.index("never") < RANKS.index(turned) < RANKS.index("usually")
    for key in (
        (DELICIOSUS, "milk_change"),
        (DELICIOSUS, "stem_pits"),
        (SEMISANGUIFLUUS, "milk_colour"),
        (SANGUIFLUUS, "milk_change"),
    ):
        assert " against " in SOURCES[key] or " two " in SOURCES[key], key


def test_a_button_green_all_over_is_left_open() -> None:
    """Key: very small buttons can be wholly blue-green in L. salmonicolor, L. deliciosus,
    L. quieticolor and L. deterrimus."""
    for name in (SALMONICOLOR, DELICIOSUS, QUIETICOLOR, DETERRIMUS):
        assert STATES[name, "greening"]["all_green"] == "rarely", name


def test_the_milk_caps_of_northern_spruce_turn_differently() -> None:
    """Encyclopedia: gills and flesh of L. fennoscandicus blue-green when bruised, its milk
    greenish grey in air."""
    assert _main(STATES[FENNOSCANDICUS, "underside_bruising"]) == {"green"}
    assert STATES[FENNOSCANDICUS, "underside_bruising"]["blue"] == "sometimes"
    assert STATES[FENNOSCANDICUS, "milk_change"]["grey"] != "never"
    assert "maroon" not in _main(STATES[FENNOSCANDICUS, "milk_change"])


def test_green_brittlegills_have_no_ring_and_no_volva() -> None:
    """Encyclopedia: flesh brittle, no ring, no volva, against the death cap."""
    for name in ("Russula aeruginea", "Russula heterophylla", "Russula virescens"):
        assert _main(STATES[name, "ring"]) == {"none"}
        assert STATES[name, "volva_kind"]["bag"] == "never"
        assert _main(STATES[name, "flesh_texture"]) == {"brittle"}


def test_puffballs_are_even_inside_and_earthballs_dark() -> None:
    """Society guide: cut lengthwise, no outline of a mushroom; a discoloured inside is an
    earthball or an old one."""
    for name in ("Lycoperdon perlatum", "Apioperdon pyriforme", "Calvatia gigantea"):
        assert STATES[name, "gleba"]["outline"] == "never", name
        assert "white" in _main(STATES[name, "gleba"]), name
    for name in ("Scleroderma citrinum", "Scleroderma verrucosum"):
        assert _main(STATES[name, "gleba"]) == {"purple_black"}, name


def test_the_chanterelle_bears_folds_and_never_true_gills() -> None:
    """A general page: true gills, in tufts on wood, against folds; encyclopedia: rusty gills and
    cobweb threads of the deadly webcaps taken for it."""
    assert _main(STATES["Cantharellus cibarius", "gill_kind"]) == {"folds"}
    assert STATES["Cantharellus cibarius", "gill_kind"]["gills"] == "never"
    assert STATES["Cantharellus cibarius", "print_colour"]["rusty"] == "never"
