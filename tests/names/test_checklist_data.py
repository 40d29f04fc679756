"""The checklist's files, read as they stand: no database, only the rows and what must hold of them.

The names that must be held as dangerous are those of the literature on poisonings for Europe
(Wennig et al. 2020, Graeme 2014, Kirchmair et al. 2011, Bedry et al. 2001, Stöver et al. 2019,
Saviuc et al. 2001, Olson, Poisoning & Drug Overdose).
"""

import csv
import re
from collections import Counter
from pathlib import Path

import pytest

from society.safety.gate import danger_words

DATA = Path(__file__).resolve().parents[2] / "society" / "names" / "data"
FUNGI_FILES = sorted(DATA.glob("fungi_*.csv"))
LARGER = {
    "fungi_agarics.csv": 480,
    "fungi_boletes.csv": 45,
    "fungi_brackets.csv": 60,
    "fungi_clubs_corals.csv": 25,
    "fungi_stomach_truffles.csv": 25,
    "fungi_jellies.csv": 12,
}
OTHER_FILES = {
    f"fungi_{kind}.csv" for kind in ("cups", "crusts", "flasks", "rusts", "lichens", "slime_moulds")
}

COLUMNS = {
    "fungi": (
        "scientific_name,authorship,rank,form,genus,family,order,english,trophic,hosts,substrate,"
        "months,needs,danger,danger_note,sensitivity,source,doubt"
    ),
    "synonyms": "synonym,authorship,accepted,kind,source",
    "hosts": "scientific_name,authorship,rank,group,family,english,source,doubt",
    "look_alikes": "name,other,separated_by,source,verified,thought_to_be_eaten",
    "characters": "form,part,character,english,sentence,cost,states,wait_minutes,cuts,never_asked,"
    "order",
}
FORMS = {
    *("agaric", "bolete", "bracket", "crust", "club", "stomach", "jelly"),
    *("cup", "flask", "rust", "lichen", "slime_mould"),
}
ALLOWED = {
    "rank": {"species", "aggregate", "section", "genus", "variety"},
    "form": FORMS,
    "trophic": {"ectomycorrhizal", "saprotrophic", "parasitic", "lichenised", "other", ""},
    "needs": {"eye", "microscope", "specimen", "sequence"},
    "danger": {"deadly", "serious", "illness", ""},
    "sensitivity": {"", "1", "2", "3", "4"},
    "doubt": {"", "yes"},
}
SUBSTRATES = {
    *("soil", "litter", "wood", "dung", "grass", "moss"),
    *("living_plant", "fungus", "fire_site", "cone", "other"),
}
GROUPS = {"tree", "shrub", "herb", "fern", "moss", "insect", "dung", "alga"}
COSTS = {"at_once", "cut", "wait", "overnight", "lens", "microscope", "reagent"}

EPITHET = r"[a-zë]+(-[a-zë]+)*"
SHAPES = {
    "genus": re.compile(r"[A-Z][a-zë]+"),
    "species": re.compile(rf"[A-Z][a-zë]+ {EPITHET}"),
    "variety": re.compile(rf"[A-Z][a-zë]+ {EPITHET} var\. {EPITHET}"),
    "aggregate": re.compile(rf"[A-Z][a-zë]+ {EPITHET} agg\."),
    "section": re.compile(r"[A-Z][a-zë]+ sect\. [A-Z][a-zë]+"),
}
MONTHS = re.compile(r"(1[0-2]|[1-9])-(1[0-2]|[1-9])")

# Each with the least class it may be held at; older names are followed through the synonyms.
DANGEROUS = {
    "deadly": [
        *("Amanita phalloides", "Amanita virosa", "Amanita verna", "Galerina marginata"),
        *("Lepiota brunneoincarnata", "Lepiota subincarnata", "Lepiota castanea"),
        *("Conocybe filaris", "Cortinarius orellanus", "Cortinarius rubellus"),
        *("Cortinarius speciosissimus", "Paxillus involutus", "Tricholoma equestre"),
        *("Tricholoma flavovirens", "Inocybe patouillardii", "Gyromitra esculenta"),
    ],
    "serious": [
        *("Amanita proxima", "Amanita boudieri", "Amanita gracilior", "Amanita echinocephala"),
        *("Amanita muscaria", "Amanita pantherina", "Clitocybe rivulosa", "Clitocybe dealbata"),
        *("Inosperma erubescens", "Psilocybe semilanceata", "Pluteus salicinus"),
        *("Entoloma sinuatum", "Chlorophyllum molybdites", "Omphalotus olearius"),
        *("Omphalotus illudens", "Boletus satanas", "Hypholoma fasciculare"),
        *("Tricholoma pardinum", "Tricholoma terreum", "Clitocybe amoenolens"),
        *("Pleurocybella porrigens", "Hapalopilus rutilans"),
    ],
    "illness": [
        *("Coprinus atramentarius", "Ampulloclitocybe clavipes", "Agaricus xanthodermus"),
        *("Scleroderma citrinum", "Lactarius torminosus", "Hygrophoropsis aurantiaca"),
        *("Suillus luteus", "Lactarius semisanguifluus", "Morchella esculenta"),
    ],
}
CLASSES = ["", "illness", "serious", "deadly"]


def rows_of(name: str) -> list[dict[str, str]]:
    with (DATA / name).open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines, strict=True))


def fungi() -> list[dict[str, str]]:
    return [row for file in FUNGI_FILES for row in rows_of(file.name)]


def names_held() -> set[str]:
    return {row["scientific_name"] for row in fungi()}


def accepted_of() -> dict[str, str]:
    """Return every scientific name of the checklist with the accepted name it leads to."""
    held = {name: name for name in names_held()}
    for row in rows_of("synonyms.csv"):
        if row["kind"] != "english":
            held.setdefault(row["synonym"], row["accepted"])
    return held


def repeated(values: list[str]) -> list[str]:
    return [value for value, times in Counter(values).items() if times > 1]


def checked_files() -> list[str]:
    further = ("synonyms.csv", "hosts.csv", "look_alikes.csv", "characters.csv")
    return [file.name for file in FUNGI_FILES] + list(further)


@pytest.mark.parametrize("name", checked_files())
def test_a_file_has_its_columns_and_plain_lines(name: str) -> None:
    text = (DATA / name).read_bytes().decode("utf-8")
    kind = "fungi" if name.startswith("fungi_") else name.removesuffix(".csv")
    assert text.split("\n", 1)[0] == COLUMNS[kind]
    assert "\r" not in text
    assert "\t" not in text
    assert text.endswith("\n")
    rows = rows_of(name)
    assert rows
    ragged = [row for row in rows if None in row or None in row.values()]
    assert ragged == []
    untidy = [cell for row in rows for cell in row.values() if cell != cell.strip() or "  " in cell]
    assert untidy == []


@pytest.mark.parametrize(
    ("name", "key"),
    [
        *((file.name, "scientific_name") for file in FUNGI_FILES),
        ("synonyms.csv", "synonym"),
        ("hosts.csv", "scientific_name"),
    ],
)
def test_a_file_is_sorted_and_holds_no_name_twice(name: str, key: str) -> None:
    names = [row[key] for row in rows_of(name)]
    assert names == sorted(names)
    assert repeated(names) == []


def test_no_fungus_stands_in_two_files() -> None:
    assert repeated([row["scientific_name"].casefold() for row in fungi()]) == []


@pytest.mark.parametrize("name", [file.name for file in FUNGI_FILES])
def test_every_cell_holds_an_allowed_value(name: str) -> None:
    wrong = [
        (row["scientific_name"], column, row[column])
        for row in rows_of(name)
        for column, allowed in ALLOWED.items()
        if row[column] not in allowed
    ]
    wrong += [
        (row["scientific_name"], "substrate", part)
        for row in rows_of(name)
        for part in row["substrate"].split("|")
        if part and part not in SUBSTRATES
    ]
    wrong += [
        (row["scientific_name"], "months", row["months"])
        for row in rows_of(name)
        if row["months"] and not MONTHS.fullmatch(row["months"])
    ]
    assert wrong == []


@pytest.mark.parametrize("name", [file.name for file in FUNGI_FILES])
def test_a_name_is_written_as_its_rank_demands(name: str) -> None:
    wrong = [
        (row["scientific_name"], row["rank"])
        for row in rows_of(name)
        if not SHAPES[row["rank"]].fullmatch(row["scientific_name"])
        or row["scientific_name"].split(" ")[0] != row["genus"]
    ]
    assert wrong == []


def test_every_genus_has_one_row_one_family_and_one_order() -> None:
    places: dict[str, set[tuple[str, str]]] = {}
    for row in fungi():
        places.setdefault(row["genus"], set()).add((row["family"], row["order"]))
    assert {genus: found for genus, found in places.items() if len(found) > 1} == {}
    genera = {row["scientific_name"] for row in fungi() if row["rank"] == "genus"}
    assert set(places) - genera == set()


def test_every_family_lies_in_one_order() -> None:
    orders: dict[str, set[str]] = {}
    for row in fungi():
        if row["family"]:
            orders.setdefault(row["family"], set()).add(row["order"])
    assert {family: found for family, found in orders.items() if len(found) > 1} == {}
    assert [family for family in orders if not family.endswith("aceae")] == []
    # An order in which nothing is settled stays empty; a written one has its proper ending.
    written = {row["order"] for row in fungi() if row["order"]}
    assert [order for order in written if not order.endswith("ales")] == []


def test_a_genus_stands_for_more_than_itself() -> None:
    """A genus row is there because a species, aggregate or variety of it is."""
    used = {row["genus"] for row in fungi() if row["rank"] != "genus"}
    assert {row["genus"] for row in fungi()} - used == set()


def test_every_variety_has_its_species() -> None:
    held = names_held()
    varieties = [row["scientific_name"] for row in fungi() if row["rank"] == "variety"]
    assert varieties
    assert [name for name in varieties if name.split(" var. ")[0] not in held] == []


def test_every_row_says_where_it_comes_from() -> None:
    assert [row["scientific_name"] for row in fungi() if not row["source"]] == []
    for name in ("synonyms.csv", "hosts.csv", "look_alikes.csv"):
        assert [row for row in rows_of(name) if not row["source"]] == []


def test_a_note_on_danger_stands_beside_a_danger() -> None:
    assert [
        row["scientific_name"] for row in fungi() if row["danger_note"] and not row["danger"]
    ] == []


def test_a_note_on_danger_says_when_it_holds_in_words_and_never_how_to_prepare_a_fungus() -> None:
    notes = {row["danger_note"] for row in fungi() if row["danger_note"]}
    assert [note for note in notes if not re.fullmatch(r"[a-z ,]+", note)] == ["some_people"]
    assert [note for note in notes if re.search(r"prepar|cook|boil|dry|blanch", note)] == []
    shown = {note: danger_words("illness", note) for note in notes}
    assert [note for note, words in shown.items() if ": " not in words or "_" in words] == []


@pytest.mark.parametrize("least", list(DANGEROUS))
def test_the_fungi_of_the_poisoning_literature_are_held_as_dangerous(least: str) -> None:
    danger = {row["scientific_name"]: row["danger"] for row in fungi()}
    leads_to = accepted_of()
    missing = [name for name in DANGEROUS[least] if name not in leads_to]
    assert missing == []
    too_mild = [
        (name, danger[leads_to[name]])
        for name in DANGEROUS[least]
        if CLASSES.index(danger[leads_to[name]]) < CLASSES.index(least)
    ]
    assert too_mild == []


def test_an_aggregate_is_no_milder_than_the_species_it_is_named_for() -> None:
    danger = {row["scientific_name"]: row["danger"] for row in fungi()}
    aggregates = [name for name in danger if name.endswith(" agg.")]
    assert aggregates
    milder = [
        name
        for name in aggregates
        if CLASSES.index(danger[name]) < CLASSES.index(danger.get(name.removesuffix(" agg."), ""))
    ]
    assert milder == []


def test_nothing_in_the_checklist_praises_a_fungus_as_food() -> None:
    praise = re.compile(
        r"\b(edib\w*|eatable|delicious|tasty|delicac\w*|esteemed|culinary|cook\w* well"
        r"|good to eat|safe|harmless|wholesome|choice)\b",
        re.IGNORECASE,
    )
    told = ("english", "danger_note", "source", "separated_by", "sentence")
    found = [
        row[column]
        for name in checked_files()
        for row in rows_of(name)
        for column in told
        if column in row and praise.search(row[column])
    ]
    assert found == []


def test_every_synonym_leads_in_one_hop_to_an_accepted_name() -> None:
    held = names_held()
    rows = rows_of("synonyms.csv")
    assert [row["synonym"] for row in rows if row["accepted"] not in held] == []
    assert [row["synonym"] for row in rows if row["synonym"] in held] == []
    kinds = {"synonym", "combination", "misapplied", "english"}
    assert {row["kind"] for row in rows} == kinds


def test_a_misapplied_name_is_marked_as_used_by_authors_and_others_are_not() -> None:
    wrong = [
        row["synonym"]
        for row in rows_of("synonyms.csv")
        if row["authorship"].startswith("auct.") != (row["kind"] == "misapplied")
    ]
    assert wrong == []


def test_a_combination_keeps_the_epithet_and_changes_the_genus_or_the_rank() -> None:
    unmoved = [
        row["synonym"]
        for row in rows_of("synonyms.csv")
        if row["kind"] == "combination"
        and row["synonym"].split(" ")[0] == row["accepted"].split(" ")[0]
        and len(row["synonym"].split(" ")) == len(row["accepted"].split(" "))
    ]
    assert unmoved == []
    # The first letters of an epithet outlive the change of its gender.
    renamed = [
        (row["synonym"], row["accepted"])
        for row in rows_of("synonyms.csv")
        if row["kind"] == "combination"
        and row["synonym"].split(" ")[-1][:3] != row["accepted"].split(" ")[-1][:3]
    ]
    assert renamed == []


def test_a_further_english_name_differs_from_the_one_in_the_row() -> None:
    english = {row["scientific_name"]: row["english"].split("|") for row in fungi()}
    same = [
        row["synonym"]
        for row in rows_of("synonyms.csv")
        if row["kind"] == "english" and row["synonym"] in english[row["accepted"]]
    ]
    assert same == []


def test_no_two_species_share_an_english_name() -> None:
    english = [
        name.casefold()
        for row in fungi()
        if row["rank"] == "species"
        for name in row["english"].split("|")
        if name
    ]
    english += [
        row["synonym"].casefold() for row in rows_of("synonyms.csv") if row["kind"] == "english"
    ]
    assert repeated(english) == []


def test_the_hosts_are_of_known_groups_and_ranks() -> None:
    rows = rows_of("hosts.csv")
    assert {row["group"] for row in rows} <= GROUPS
    assert {row["rank"] for row in rows} <= {"species", "genus"}
    assert {row["doubt"] for row in rows} <= ALLOWED["doubt"]


def test_every_host_genus_of_a_fungus_is_among_the_hosts() -> None:
    hosts = {row["scientific_name"] for row in rows_of("hosts.csv")}
    unknown = {
        (host, row["scientific_name"])
        for row in fungi()
        for host in row["hosts"].split("|")
        if host and host not in hosts
    }
    assert unknown == set()


def test_both_names_of_a_look_alike_are_in_the_checklist() -> None:
    leads_to = accepted_of()
    rows = rows_of("look_alikes.csv")
    unknown = {name for row in rows for name in (row["name"], row["other"])} - set(leads_to)
    assert unknown == set()
    pairs = [f"{leads_to[row['name']]} / {leads_to[row['other']]}" for row in rows]
    assert repeated(pairs) == []
    assert [row for row in rows if leads_to[row["name"]] == leads_to[row["other"]]] == []
    assert [row for row in rows if not row["separated_by"]] == []


def test_a_look_alike_read_in_a_source_names_that_source() -> None:
    rows = rows_of("look_alikes.csv")
    for column in ("verified", "thought_to_be_eaten"):
        assert {row[column] for row in rows} <= {"yes", "no"}
    assert [
        row for row in rows if row["verified"] == "yes" and row["source"] == "from memory"
    ] == []


def test_the_characters_are_complete_and_told_apart() -> None:
    rows = rows_of("characters.csv")
    assert repeated([row["character"] for row in rows]) == []
    assert {row["cost"] for row in rows} <= COSTS
    assert {row["cuts"] for row in rows} <= {"yes", "no"}
    for row in rows:
        forms = set(row["form"].split("|"))
        assert forms == {"all"} or forms <= FORMS, row["character"]
        states = [state.split("=", 1) for state in row["states"].split("|")]
        assert all(len(state) == 2 and all(state) for state in states), row["character"]
        assert repeated([code for code, _english in states]) == [], row["character"]
        assert row["part"], row["character"]
        assert row["english"], row["character"]
        assert row["sentence"].endswith("."), row["character"]
    orders = [int(row["order"]) for row in rows]
    assert orders == sorted(set(orders))


def test_every_form_of_fungus_has_a_row_and_a_character() -> None:
    assert {row["form"] for row in fungi()} == FORMS
    told = {form for row in rows_of("characters.csv") for form in row["form"].split("|")}
    assert FORMS - told == set()


@pytest.mark.parametrize("name", list(LARGER))
def test_each_file_of_larger_fungi_is_as_full_as_promised(name: str) -> None:
    species = [row for row in rows_of(name) if row["rank"] == "species"]
    assert len(species) >= LARGER[name]


def test_the_checklist_is_large_enough() -> None:
    species = {
        file.name: sum(row["rank"] == "species" for row in rows_of(file.name))
        for file in FUNGI_FILES
    }
    assert set(species) == set(LARGER) | OTHER_FILES
    assert sum(species[name] for name in LARGER) >= 600
    assert sum(species[name] for name in OTHER_FILES) >= 150
    assert len(rows_of("hosts.csv")) >= 60
    assert len(rows_of("synonyms.csv")) >= 450
