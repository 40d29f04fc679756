"""Folding, reading, setting and finding names: by example and by property."""

from __future__ import annotations

import random
import unicodedata
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from society.science.names import (
    QUALIFIERS,
    EntryKind,
    IndexEntry,
    NameIndex,
    fold,
    parse_written_name,
    render_parts,
)

# --- folding ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("Coprinus ×  Præ-clārus", "coprinus prae clarus"),
        ("St George’s Mushroom", "st georges mushroom"),
        ("St. George's Mushroom", "st georges mushroom"),
        ("L.det", "l det"),
        ("Cœlomycètes", "coelomycetes"),
        ("Rødgul Trompetsvamp", "rodgul trompetsvamp"),
        ("ﬁbula", "fibula"),
        ("Straße", "strasse"),
        ("bella\u2011donna", "bella donna"),
        ("  Two\tspaces\u00a0here ", "two spaces here"),
        ("soft\u00adhyphen", "softhyphen"),
        ("ŁÓDŹ", "lodz"),
        ("キノコ", "キノコ"),
        ("", ""),
        ("?!", ""),
    ],
)
def test_folding_by_example(text: str, plain: str) -> None:
    assert fold(text) == plain


@given(st.text())
def test_folding_twice_changes_nothing(text: str) -> None:
    assert fold(fold(text)) == fold(text)


@given(st.text())
def test_folded_text_holds_words_and_single_spaces_only(text: str) -> None:
    plain = fold(text)
    assert plain == " ".join(plain.split())
    assert all(
        sign == " " or sign.isalnum() or unicodedata.category(sign) == "Mc" for sign in plain
    )


@given(st.text(alphabet="abcdefghijklmnopqrstuvwxyzéèüñçåöæœø -", max_size=30))
def test_folding_is_blind_to_case_and_to_how_accents_are_composed(text: str) -> None:
    assert fold(text.upper()) == fold(text)
    assert fold(unicodedata.normalize("NFD", text)) == fold(unicodedata.normalize("NFC", text))


# --- reading a written name --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "name", "rank", "qualifier", "authorship"),
    [
        ("Russula emetica", "Russula emetica", "species", None, ""),
        ("russula EMETICA", "Russula", "genus", None, "EMETICA"),
        ("RUSSULA EMETICA", "Russula emetica", "species", None, ""),
        ("russula CF emetica", "Russula emetica", "species", "cf.", ""),
        ("cf. Russula emetica", "Russula emetica", "species", "cf.", ""),
        ("Russula emetica cf.", "Russula emetica", "species", "cf.", ""),
        ("Cortinarius aff. rubellus Cooke", "Cortinarius rubellus", "species", "aff.", "Cooke"),
        ("Russula emetica?", "Russula emetica", "species", "?", ""),
        ("? Russula emetica", "Russula emetica", "species", "?", ""),
        (
            "Russula ?emetica (Schaeff.) Pers.",
            "Russula emetica",
            "species",
            "?",
            "(Schaeff.) Pers.",
        ),
        ("Russula emetica (?)", "Russula emetica", "species", "?", ""),
        ("Russula sp.", "Russula", "genus", "sp.", ""),
        ("Russula spp", "Russula", "genus", "sp.", ""),
        ("Armillaria mellea agg.", "Armillaria mellea", "aggregate", "agg.", ""),
        ("Armillaria mellea aggregate", "Armillaria mellea", "aggregate", "agg.", ""),
        ("Armillaria mellea group", "Armillaria mellea", "aggregate", "group", ""),
        ("Armillaria mellea s.l.", "Armillaria mellea", "species", "s.l.", ""),
        ("Armillaria mellea s. lat.", "Armillaria mellea", "species", "s.l.", ""),
        ("Armillaria mellea sensu lato", "Armillaria mellea", "species", "s.l.", ""),
        ("Armillaria mellea s. str.", "Armillaria mellea", "species", "s.str.", ""),
        ("Armillaria mellea s.s.", "Armillaria mellea", "species", "s.str.", ""),
        (
            "Armillaria mellea (Vahl) P. Kumm. s.l.",
            "Armillaria mellea",
            "species",
            "s.l.",
            "(Vahl) P. Kumm.",
        ),
        ("cf. Armillaria mellea agg.", "Armillaria mellea", "species", "cf.", ""),
        ("Mycena galopus v. nigra", "Mycena galopus var. nigra", "variety", None, ""),
        ("Mycena galopus nigra", "Mycena galopus var. nigra", "variety", None, ""),
        ("Populus x canadensis", "Populus canadensis", "species", None, ""),
        ("L.det", "L. det", "species", None, ""),
        ("Lac det", "Lac det", "species", None, ""),
        ("Russula emetica sensu Lange", "Russula emetica", "species", None, "sensu Lange"),
        ("Agaricus placomyces auct.", "Agaricus placomyces", "species", None, "auct."),
        ("Cortinarius (Leprocybe) rubellus", "Cortinarius rubellus", "species", None, ""),
        ("Aus bus Hook. f. ex Xus", "Aus bus", "species", None, "Hook. f. ex Xus"),
        ("  Russula   emetica , ", "Russula emetica", "species", None, ""),
        ("Russula_emetica", "Russula emetica", "species", None, ""),
    ],
)
def test_names_are_read_however_written(
    text: str, name: str, rank: str, qualifier: str | None, authorship: str
) -> None:
    written = parse_written_name(text)
    assert (written.name, written.qualifier, written.authorship) == (name, qualifier, authorship)
    assert written.text == text
    # A doubted aggregate is still one; the rank is told by the qualifier that is kept.
    assert written.rank == rank


@pytest.mark.parametrize(
    "text", ["", "  ", "?", "??", "unknown", "Unidentified", "not named yet", "brown mushroom",
             "small white fungus", "indet.", "sp.", "LBM", "don't know"]
)  # fmt: skip
def test_words_that_name_nothing_are_uninformative(text: str) -> None:
    written = parse_written_name(text)
    assert written.is_uninformative
    assert written.genus is None


@pytest.mark.parametrize("text", ["Russula", "Death Cap", "Fly agaric", "Brown Roll-rim", "Oyster"])
def test_words_that_name_something_are_not_uninformative(text: str) -> None:
    assert not parse_written_name(text).is_uninformative


@given(st.text(max_size=400))
def test_reading_never_raises_and_keeps_the_words_verbatim(text: str) -> None:
    written = parse_written_name(text)
    assert written.text == text
    assert written.qualifier is None or written.qualifier in QUALIFIERS
    assert (written.genus is None) == (written.rank is None)
    assert not (written.is_uninformative and written.genus)


def test_ten_thousand_letters_are_kept_and_not_read() -> None:
    written = parse_written_name("Russula " + "a" * 10_000)
    assert written.genus is None
    assert not written.is_uninformative


_LETTERS = "abcdefghiklmnopqrstuz"
_genera = st.text(_LETTERS, min_size=4, max_size=12).map(str.capitalize)
_epithets = st.text(_LETTERS, min_size=5, max_size=12)


@given(_genera, _epithets, st.sampled_from(QUALIFIERS), st.sampled_from(["mid", "end"]))
def test_a_qualifier_is_found_wherever_it_stands(
    genus: str, epithet: str, qualifier: str, place: str
) -> None:
    plain = parse_written_name(f"{genus} {epithet}")
    if plain.qualifier or plain.epithet != epithet or plain.rank != "species":
        return
    words = f"{genus} {qualifier} {epithet}" if place == "mid" else f"{genus} {epithet} {qualifier}"
    written = parse_written_name(words)
    assert (written.genus, written.epithet, written.qualifier) == (genus, epithet, qualifier)


# --- setting in italics ------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "author", "italic", "upright"),
    [
        ("Russula emetica", "(Schaeff.) Pers.", ["Russula emetica"], [" (Schaeff.) Pers."]),
        ("Lactarius sect. Deliciosi", "", ["Lactarius", "Deliciosi"], [" sect. "]),
        ("Armillaria mellea agg.", "", ["Armillaria mellea"], [" agg."]),
        ("Mycena galopus var. nigra", "Rea", ["Mycena galopus", "nigra"], [" var. ", " Rea"]),
        ("Populus × canadensis", "", ["Populus", "canadensis"], [" × "]),
        ("Russula cf. emetica", "", ["Russula", "emetica"], [" cf. "]),
        ("Puccinia graminis f. sp. tritici", "", ["Puccinia graminis", "tritici"], [" f. sp. "]),
        (
            "Amanita muscaria (L.) Lam. var. muscaria",
            "",
            ["Amanita muscaria", "muscaria"],
            [" (L.) Lam. var. "],
        ),
        ("Aus bus Hook. f. ex Xus", "", ["Aus bus"], [" Hook. f. ex Xus"]),
        ("Russulaceae", "Lotsy", ["Russulaceae"], [" Lotsy"]),
        ("Russula sp.", "", ["Russula"], [" sp."]),
        ("", "", [], []),
    ],
)
def test_names_are_italic_and_rank_words_and_authors_upright(
    name: str, author: str, italic: list[str], upright: list[str]
) -> None:
    parts = render_parts(name, author)
    assert [text for text, slanted in parts if slanted] == italic
    assert [text for text, slanted in parts if not slanted] == upright


@given(st.text(max_size=60), st.text(max_size=40))
def test_the_runs_joined_are_the_name_and_the_author(name: str, author: str) -> None:
    parts = render_parts(name, author)
    assert "".join(text for text, _ in parts) == " ".join(f"{name} {author}".split())
    slants = [slanted for _, slanted in parts]
    assert all(one != other for one, other in pairwise(slants))


@given(st.text(max_size=40))
def test_an_author_is_never_italic(author: str) -> None:
    parts = render_parts("Russula emetica", author)
    assert [text for text, slanted in parts if slanted] == ["Russula emetica"]


# --- finding -----------------------------------------------------------------------------------

_ROWS: list[tuple[int, str, EntryKind, int, str, bool]] = [
    (1, "Lactarius", "accepted", 1, "genus", False),
    (2, "Lactarius deterrimus", "accepted", 2, "species", False),
    (3, "Lactarius deliciosus", "accepted", 3, "species", False),
    (4, "Amanita phalloides", "accepted", 4, "species", True),
    (4, "Death Cap", "english", 4, "species", True),
    (5, "Amanita citrina", "accepted", 5, "species", False),
    (5, "False Death Cap", "english", 5, "species", False),
    (6, "Imleria badia", "accepted", 6, "species", False),
    (7, "Xerocomus badius", "synonym", 6, "species", False),
    (8, "Agaricus moelleri", "accepted", 8, "species", True),
    (9, "Agaricus placomyces", "misapplied", 8, "species", True),
    (10, "Armillaria mellea", "accepted", 10, "species", False),
    (11, "Armillaria mellea agg.", "accepted", 11, "aggregate", False),
    (12, "Lactarius sect. Deliciosi", "accepted", 12, "section", False),
    (13, "Mycena galopus var. nigra", "accepted", 13, "variety", False),
    (14, "Agaricus ambiguus", "synonym", 2, "species", False),
    (15, "Agaricus ambiguus", "synonym", 3, "species", False),
    (16, "Galerina marginata", "accepted", 16, "species", True),
    (16, "Funeral Bell", "english", 16, "species", True),
    (17, "Kuehneromyces mutabilis", "accepted", 17, "species", False),
    (18, "Clitocybe rivulosa", "accepted", 18, "species", True),
    (19, "Clitocybe dealbata", "synonym", 18, "species", True),
    (20, "Clitocybe dealbata", "misapplied", 5, "species", False),
    (21, "Penny Bun", "english", 3, "species", False),
    (22, "Penny Bun", "english", 6, "species", False),
]


def _entries() -> list[IndexEntry]:
    fungi = [
        IndexEntry(key, name, kind, accepted, "fungus", rank, dangerous)
        for key, name, kind, accepted, rank, dangerous in _ROWS
    ]
    hosts = [
        IndexEntry(101, "Betula pendula", "accepted", 101, "host", "species", False),
        IndexEntry(101, "silver birch", "english", 101, "host", "species", False),
        IndexEntry(102, "Populus × canadensis", "accepted", 102, "host", "species", False),
    ]
    return fungi + hosts


INDEX = NameIndex(_entries())


@pytest.mark.parametrize(
    ("text", "key", "via"),
    [
        ("Lactarius deterrimus", 2, "exact"),
        ("LACTARIUS DETERRIMUS Gröger", 2, "exact"),
        ("Lactarius cf. deterrimus", 2, "exact"),
        ("xerocomus badius", 7, "synonym"),
        ("Boletus badius", 6, "combination"),
        ("L. det", 2, "abbreviation"),
        ("L.det", 2, "abbreviation"),
        ("Lac det", 2, "abbreviation"),
        ("death cap", 4, "vernacular"),
        ("funer", 16, "vernacular"),
        ("bell", 16, "vernacular"),
        ("deterr", 2, "abbreviation"),
        ("errim", 2, "abbreviation"),
        ("deterimus", 2, "spelling"),
        ("Lactarius determus", 2, "spelling"),
        ("Amanita faloides", 4, "spelling"),
        ("cap death", 4, "vernacular"),
        ("Mycena galopus v. nigra", 13, "exact"),
        ("Lactarius section deliciosi", 12, "exact"),
        ("Populus x canadensis", 102, "exact"),
        ("Armillaria mellea aggregate", 11, "exact"),
        ("birch", 101, "vernacular"),
    ],
)
def test_a_name_is_found_however_it_is_typed(text: str, key: int, via: str) -> None:
    first = INDEX.search(text)[0]
    assert (first.key, first.via) == (key, via)


def test_a_synonym_leads_to_the_accepted_name_and_says_what_matched() -> None:
    match = INDEX.search("xerocomus badius")[0]
    assert (match.accepted_key, match.matched_name) == (6, "Xerocomus badius")


def test_each_accepted_name_is_given_once_under_its_best_match() -> None:
    keys = [match.accepted_key for match in INDEX.search("badi")]
    assert keys == [6]


def test_words_that_begin_come_before_words_inside() -> None:
    names = [match.matched_name for match in INDEX.search("de")]
    assert names.index("Lactarius deliciosus") < names.index("Clitocybe dealbata")
    inside = [match.confidence for match in INDEX.search("de")]
    assert inside == sorted(inside, reverse=True)


def test_groups_keep_hosts_out() -> None:
    assert {match.key for match in INDEX.search("pe", groups={"host"})} == {101}
    assert 101 not in {match.key for match in INDEX.search("pe", groups={"fungus"})}
    assert INDEX.resolve("Betula pendula", groups={"fungus"}).outcome != "resolved"


def test_a_limit_is_kept() -> None:
    assert len(INDEX.search("a", limit=3)) == 0
    assert len(INDEX.search("am", limit=1)) == 1
    assert INDEX.search("am", limit=0) == []


def test_a_dangerous_name_says_so_when_found() -> None:
    assert INDEX.search("death")[0].dangerous
    assert not INDEX.search("lactarius")[0].dangerous


@given(st.sampled_from([row for row in _ROWS if row[2] != "misapplied"]), st.data())
def test_any_two_letters_of_any_word_find_the_name(
    row: tuple[int, str, EntryKind, int, str, bool], data: st.DataObject
) -> None:
    word = data.draw(st.sampled_from([word for word in fold(row[1]).split() if len(word) > 1]))
    at = data.draw(st.integers(0, len(word) - 2))
    found = INDEX.search(word[at : at + 2], limit=100)
    assert row[3] in {match.accepted_key for match in found}


@given(st.text(max_size=60))
@settings(max_examples=200)
def test_searching_and_resolving_never_raise(text: str) -> None:
    matches = INDEX.search(text, limit=5)
    assert len(matches) <= 5
    assert all(0 < match.confidence <= 1 for match in matches)
    assert INDEX.resolve(text).outcome in ("resolved", "candidates", "unknown")


# --- resolving ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "key", "qualifier"),
    [
        ("Lactarius deterrimus", 2, None),
        ("lactarius deterrimus Gröger", 2, None),
        ("Lactarius Deterrimus (Fr.) Xus", 2, None),
        ("Lactarius cf. deterrimus", 2, "cf."),
        ("Lactarius sp.", 1, "sp."),
        ("Xerocomus badius", 7, None),
        ("Death Cap", 4, None),
        ("death cap?", 4, "?"),
        ("Armillaria mellea agg.", 11, None),
        ("Armillaria mellea s.l.", 11, None),
        ("Armillaria mellea s.str.", 10, "s.str."),
        ("Lactarius deliciosus agg.", 3, "agg."),
    ],
)
def test_what_names_one_row_beyond_doubt_is_resolved(
    text: str, key: int, qualifier: str | None
) -> None:
    resolution = INDEX.resolve(text)
    assert resolution.outcome == "resolved"
    assert resolution.match is not None
    assert (resolution.match.key, resolution.qualifier) == (key, qualifier)


@pytest.mark.parametrize(
    "text",
    [
        "L. det",  # an abbreviation
        "deterrimus",  # a part
        "Lactarius determus",  # a misspelling
        "Agaricus placomyces",  # misapplied
        "Clitocybe dealbata",  # a synonym that is also misapplied to another
        "Agaricus ambiguus",  # a synonym of two
        "Penny Bun",  # an English name of two
        "Boletus badius",  # a combination that is not listed
        "Lactarius deterrimus sensu Lange",  # in another's sense
        "Lactarius deterrimus or deliciosus",
        "Lactarius deterrimus growing under spruce",
        "Amanita faloides",
        "Death Cup",
    ],
)
def test_what_leaves_doubt_gives_candidates(text: str) -> None:
    resolution = INDEX.resolve(text)
    assert resolution.outcome == "candidates"
    assert resolution.match is None
    assert resolution.candidates


@pytest.mark.parametrize("text", ["", "unknown", "?", "brown mushroom", "Qqqqq zzzzz", "x" * 9000])
def test_what_names_nothing_is_unknown(text: str) -> None:
    resolution = INDEX.resolve(text)
    assert (resolution.outcome, resolution.match) == ("unknown", None)


def test_misapplied_names_offer_what_they_were_used_for() -> None:
    assert {m.accepted_key for m in INDEX.resolve("Agaricus placomyces").candidates} >= {8}


@given(
    st.sampled_from(_ROWS), st.integers(0, 40), st.sampled_from("abcdefghilmnopqrstu"), st.data()
)
@settings(max_examples=300)
def test_a_name_with_a_letter_wrong_never_resolves(
    row: tuple[int, str, EntryKind, int, str, bool], at: int, letter: str, data: st.DataObject
) -> None:
    """Neither to a dangerous species nor from one: no name is ever resolved by spelling."""
    name = row[1]
    at %= len(name)
    change = data.draw(st.sampled_from(["swap", "drop", "add"]))
    middle = {"swap": letter, "drop": "", "add": name[at] + letter}[change]
    wrong = name[:at] + middle + name[at + 1 :]
    listed = {fold(other[1]) for other in _ROWS}
    harmless = {fold(other[1]) for other in _ROWS if other[2] == "english" and not other[5]}
    if fold(wrong).replace(" ", "") in {english.replace(" ", "") for english in harmless}:
        return  # a blank less is no letter wrong in an English name
    written = parse_written_name(wrong)
    if fold(wrong) in listed or fold(written.name) in listed or written.qualifier:
        return
    assert INDEX.resolve(wrong).outcome != "resolved"


@given(st.randoms(use_true_random=False))
@settings(max_examples=20)
def test_the_sequence_of_rows_handed_in_is_nothing(chance: random.Random) -> None:
    rows = _entries()
    chance.shuffle(rows)
    other = NameIndex(rows)
    for text in ("la", "cap", "L. det", "deterimus", "Penny Bun", "Clitocybe dealbata"):
        assert other.search(text) == INDEX.search(text)
        assert other.resolve(text) == INDEX.resolve(text)
