"""Guessing what a name that is not listed meant: sound, spelling, confidence, what stays open."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from society.science.names import (
    EntryKind,
    IndexEntry,
    NameIndex,
    fold,
    kind_of_synonym,
    parse_written_name,
)
from society.science.names.authorship import is_clear, is_only_figures, split_rest
from society.science.names.confidence import CURVES, LINE, chance_listed, shares
from society.science.names.guessing import Guess
from society.science.names.sounding import sound

# --- sound -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("phylloides", "filoides"),
        ("rhacodes", "racodes"),
        ("coerulea", "cerulea"),
        ("caesia", "cesia"),
        ("bresadolae", "bresadole"),
        ("kuehneri", "chuehnerii"),
        ("deterrimus", "deterimus"),
        ("psathyrella", "psatirela"),
        ("hydnum", "idnum"),
        ("kavinia", "cavinia"),
        ("queletii", "queleti"),
        ("bohemica", "boemica"),
    ],
)
def test_words_that_sound_alike_sound_the_same(one: str, other: str) -> None:
    assert sound(one) == sound(other)


@pytest.mark.parametrize(
    ("one", "other"), [("emetica", "mairei"), ("vesca", "fusca"), ("bus", "sub")]
)
def test_words_that_sound_otherwise_stay_apart(one: str, other: str) -> None:
    assert sound(one) != sound(other)


@given(st.text(alphabet="abcdefghiklmnopqrstuvwxyz ", max_size=30))
def test_sounding_twice_changes_nothing(words: str) -> None:
    assert sound(sound(words)) == sound(words)


# --- what follows a name -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rest", "authorship", "remark"),
    [
        ("(Schaeff.) Pers. 1796 on bank, 3 caps", "(Schaeff.) Pers. 1796", "on bank, 3 caps"),
        ("Fr. & Nordholm emend. A.H. Sm.", "Fr. & Nordholm emend. A.H. Sm.", ""),
        ("(Ten.) Harley", "(Ten.) Harley", ""),
        ("Peck ss. auct. eur.", "Peck ss. auct. eur.", ""),
        ("det. J. Smith", "", "det. J. Smith"),
        ("12.10.2019", "", "12.10.2019"),
        ("Oct 2019", "", "Oct 2019"),
        ("(on spruce)", "", "(on spruce)"),
        ("x3", "", "x3"),
        ("- common", "", "- common"),
        ("d'Astis & Font Quer", "d'Astis & Font Quer", ""),
        ("(Fr.) Kühner nom. cons.", "(Fr.) Kühner nom. cons.", ""),
    ],
)
def test_authors_are_told_from_remarks(rest: str, authorship: str, remark: str) -> None:
    assert split_rest(rest.split()) == (authorship, remark)


@pytest.mark.parametrize(
    "remark", ["", "x3", "(3)", "12/10/2019", "under oak", "- old", "Oct 2019"]
)
def test_remarks_about_the_find_leave_the_name_as_it_stands(remark: str) -> None:
    assert is_clear(remark)


@pytest.mark.parametrize(
    "remark",
    ["or mairei", "/ mairei", "not this", "under oak or birch", "Leg Fibrecap", "mairei", "'X"],
)
def test_remarks_that_may_say_another_name_do_not(remark: str) -> None:
    assert not is_clear(remark)


def test_figures_are_told_from_words() -> None:
    assert is_only_figures("12 Oct 2019")
    assert is_only_figures("x3")
    assert not is_only_figures("12 under oak")


@pytest.mark.parametrize(
    ("text", "name", "qualifier", "remark"),
    [
        ("lactarius deterimus", "Lactarius deterimus", None, ""),
        ("cf Russula emetica", "Russula emetica", "cf.", ""),
        ("R. emetica?", "R. emetica", "?", ""),
        ("RUSSULA EMETICA (Schaeff.) Pers.", "Russula emetica", None, ""),
        ("Inocybe sp. 3", "Inocybe", "sp.", "3"),
        ("Inocybe sp3", "Inocybe", "sp.", "3"),
        ("Cortinarius sp. A", "Cortinarius", "sp.", "A"),
        ("3 x Russula emetica", "Russula emetica", None, "3 x"),
        ("2019-10-12 Russula emetica", "Russula emetica", None, "2019-10-12"),
        ("1. Russula emetica", "Russula emetica", None, "1."),
        ("<i>Russula emetica</i> x 3", "Russula emetica", None, "x 3"),
        ("Russula emetica, on bank", "Russula emetica", None, "on bank"),
        ("Armillaria mellea (Vahl) P. Kumm. s.l. on oak", "Armillaria mellea", "s.l.", "on oak"),
        ("probably Russula emetica", "Russula emetica", "?", ""),
        ("Hygrocybe conica complex", "Hygrocybe conica", "group", ""),
        ("Coprinus præclārus", "Coprinus præclārus", None, ""),
    ],
)
def test_dictated_and_doubtful_forms_are_read(
    text: str, name: str, qualifier: str | None, remark: str
) -> None:
    written = parse_written_name(text)
    assert (written.name, written.qualifier, written.remark) == (name, qualifier, remark)
    assert written.text == text


@pytest.mark.parametrize(
    ("text", "name", "hybrid"),
    [
        ("×Agropogon littoralis", "Agropogon littoralis", "genus"),
        ("x Agropogon littoralis", "Agropogon littoralis", "genus"),
        ("Mentha × piperita L.", "Mentha piperita", "species"),
        ("Mentha ×piperita", "Mentha piperita", "species"),
        ("Populus x canadensis", "Populus canadensis", "species"),
        ("Quercus robur x petraea", "Quercus robur", "formula"),
        ("Salix aurita L. × S. caprea L.", "Salix aurita", "formula"),
        ("Agrostis × Polypogon", "Agrostis", "formula"),
        ("Russula emetica x 3", "Russula emetica", None),
        ("Russula emetica", "Russula emetica", None),
    ],
)
def test_hybrids_are_told_by_where_the_sign_stands(
    text: str, name: str, hybrid: str | None
) -> None:
    written = parse_written_name(text)
    assert (written.name, written.hybrid) == (name, hybrid)


@pytest.mark.parametrize(
    "text",
    [
        "Agaricus placomyces auct.",
        "Agaricus placomyces Peck sensu auct. eur.",
        "Russula emetica ss. Lange",
        "Russula emetica s. Lange",
        "Boletus erythropus Fr. non Pers.",
        "Boletus erythropus p.p.",
        "Boletus erythropus auctt. mult.",
    ],
)
def test_names_in_anothers_sense_are_known(text: str) -> None:
    assert parse_written_name(text).in_another_sense


@pytest.mark.parametrize(
    "text", ["Armillaria mellea sensu lato", "Armillaria mellea s. str.", "Aus bus Senn. ex Auc."]
)
def test_a_wide_or_narrow_sense_is_no_other_sense(text: str) -> None:
    assert not parse_written_name(text).in_another_sense


@pytest.mark.parametrize(
    "text", ["Entoloma vernum S. Lundell", "Tricholoma matsutake (S. Ito & S. Imai) Singer"]
)
def test_the_initial_of_an_author_is_no_other_sense(text: str) -> None:
    assert not parse_written_name(text).in_another_sense


_LETTERS = "abcdefghilmnoprstu"
_genera = st.text(_LETTERS, min_size=4, max_size=12).map(str.capitalize)
_epithets = st.text(_LETTERS, min_size=5, max_size=12)
_authors = st.sampled_from(["", " Fr.", " (L.) Pers.", " Berk. & Broome", " Bull. : Fr."])


@given(_genera, _epithets, _authors)
def test_a_name_put_together_reads_as_itself(genus: str, epithet: str, author: str) -> None:
    written = parse_written_name(f"{genus} {epithet}{author}")
    assume(not written.is_uninformative and "toadstool" not in (genus.lower(), epithet))
    again = parse_written_name(written.name)
    assume(not again.is_uninformative)  # 'Mushroom mushroom'
    assert (again.name, again.rank, again.hybrid) == (written.name, written.rank, written.hybrid)


@given(_genera, _epithets, _authors, st.sampled_from([" x3", " 12/10/2019", " - on bank", " (3)"]))
def test_a_remark_keeps_name_and_author(genus: str, epithet: str, author: str, remark: str) -> None:
    plain = parse_written_name(f"{genus} {epithet}{author}")
    assume(plain.epithet == epithet and not plain.remark and plain.rank == "species")
    written = parse_written_name(f"{genus} {epithet}{author}{remark}")
    assert (written.name, written.authorship) == (plain.name, plain.authorship)
    assert written.remark == remark.strip()


# --- resolving by a guess ------------------------------------------------------------------------

_ROWS: list[tuple[int, str, EntryKind, int, str, bool]] = [
    (1, "Lactarius", "accepted", 1, "genus", False),
    (2, "Lactarius deterrimus", "accepted", 2, "species", False),
    (3, "Lactarius deliciosus", "accepted", 3, "species", False),
    (4, "Amanita phalloides", "accepted", 4, "species", True),
    (4, "Death Cap", "english", 4, "species", True),
    (5, "Amanita citrina", "accepted", 5, "species", False),
    (5, "False Death Cap", "english", 5, "species", False),
    (6, "Imleria badia", "accepted", 6, "species", False),
    (7, "Xerocomus badius", "combination", 6, "species", False),
    (8, "Agaricus moelleri", "accepted", 8, "species", False),
    (9, "Agaricus placomyces", "misapplied", 8, "species", False),
    (10, "Galerina marginata", "accepted", 10, "species", True),
    (11, "Galerina", "accepted", 11, "genus", False),
    (12, "Kuehneromyces mutabilis", "accepted", 12, "species", False),
    (13, "Russula vesca", "accepted", 13, "species", False),
    (14, "Russula vescans", "accepted", 14, "species", False),
    (15, "Laccaria amethystina", "accepted", 15, "species", False),
    (15, "Amethyst Deceiver", "english", 15, "species", False),
    (16, "Inocybe", "accepted", 16, "genus", False),
    (17, "Lilac Leg Fibrecap", "english", 18, "species", True),
    (18, "Inocybe griseolilacina", "accepted", 18, "species", True),
]
INDEX = NameIndex(
    [
        IndexEntry(key, name, kind, accepted, "fungus", rank, dangerous)
        for key, name, kind, accepted, rank, dangerous in _ROWS
    ]
    + [
        IndexEntry(101, "Syringa vulgaris", "accepted", 101, "host", "species", False),
        IndexEntry(101, "lilac", "english", 101, "host", "species", False),
        IndexEntry(102, "Quercus robur", "accepted", 102, "host", "species", False),
        IndexEntry(103, "Quercus petraea", "accepted", 103, "host", "species", False),
    ]
)


@pytest.mark.parametrize(
    ("text", "key", "via"),
    [
        ("Lactarius deterimus", 2, "spelling"),
        ("lactarius deterimus", 2, "spelling"),
        ("Lactarius deterimus Gröger", 2, "spelling"),
        ("Kuhneromyces mutabilis", 12, "spelling"),
        ("Kuehneromyces mutablis x3", 12, "spelling"),
        ("Xerocomus badeus", 7, "spelling"),
        ("Laccaria amethistina", 15, "spelling"),
        ("Amethist Deciever", 15, "spelling"),
        ("Bactarius deterrimus", 2, "spelling"),
        ("Lactarus", 1, "spelling"),
        ("L. deterrimus", 2, "abbreviation"),
        ("Lac. deterr", 2, "abbreviation"),
        ("Kuehneromyces mutabi", 12, "abbreviation"),
        ("Amethyst Deceiver 12/10/2019", 15, "vernacular"),
        ("Lactarius deterrimus growing under spruce", 2, "exact"),
        ("Lactarius deterrimus, under spruce, 12.10.2019", 2, "exact"),
        ("Xerocomus badius", 7, "combination"),
        ("Inocybe sp. 3", 16, "exact"),
        ("Lactarius nr deterrimus", 2, "exact"),
        ("Death Cap (Amanita phalloides)", 4, "vernacular"),
        ("Amanita phalloides - Death Cap", 4, "exact"),
        ("A. phalloides", 4, "abbreviation"),
        ("L. det.", 2, "abbreviation"),
        ("L.det.", 2, "abbreviation"),
        ("L. cf. det.", 2, "abbreviation"),
        ("L. deterr.", 2, "abbreviation"),
        ("Lact. det.", 2, "abbreviation"),
        ("Lact. det", 2, "abbreviation"),
        ("amethyst deciever", 15, "spelling"),
        ("ame thyst deceiver", 15, "vernacular"),
        ("Amethyst-Deceiver", 15, "vernacular"),
        ("amethystdeceiver under oak", 15, "vernacular"),
        ("false deathcap", 5, "vernacular"),
        ("Lactarius deterrimus, under spruce, birch", 2, "exact"),
    ],
)
def test_a_guess_is_chosen_where_one_name_fits_and_nothing_dangerous_is_near(
    text: str, key: int, via: str
) -> None:
    resolution = INDEX.resolve(text, by_spelling=True)
    assert resolution.outcome == "resolved"
    assert resolution.match is not None
    assert (resolution.match.key, resolution.match.via) == (key, via)
    assert resolution.match.confidence >= LINE
    assert resolution.candidates[0] == resolution.match
    assert resolution.reason is None
    assert resolution.written.text == text


@pytest.mark.parametrize(
    ("text", "reason", "first"),
    [
        ("Amanita faloides", "near_dangerous", 4),
        ("Amanita phaloides", "near_dangerous", 4),
        ("A. phal", "near_dangerous", 4),
        ("Deth Cap", "near_dangerous", 4),
        ("Galerna", "near_dangerous", 11),
        ("Galerina margniata", "near_dangerous", 10),
        ("Kuehneromyces marginatus", "near_dangerous", 10),
        ("Agaricus placomyces", "another_sense", 8),
        ("Agaricus placomices", "another_sense", 8),
        ("Lactarius deterrimus ss. Lange", "another_sense", 2),
        ("Lactarius deterimus auct.", "another_sense", 2),
        ("L. de", "fits_several", None),
        ("Lactarius deterrimus or deliciosus", "several_names", 2),
        ("Lactarius deterrimus / L. deliciosus", "several_names", 2),
        ("Lactarius deterrimus with Russula vesca", "several_names", 2),
        ("Lactarius deterrimus, deliciosus", "several_names", 2),
        ("Lactarius near deterrimus", "several_names", 1),
        ("Lactarius deterrimus (not deliciosus)", "several_names", 2),
        ("Death Cap (Amanita citrina)", "several_names", 4),
        ("Quercus robur x petraea", "several_names", 102),
        ("lilac leg fibrecab", "near_dangerous", 18),
        ("Russula vescas", "fits_several", None),
        ("deterrimus", "unsure", 2),
        ("A. phall.", "near_dangerous", 4),
        ("de athcap", "near_dangerous", 4),
        ("death cap x", "near_dangerous", 4),
        ("death x cap", "near_dangerous", 4),
        ("death cap Impostor", "unsure", 4),
        ("amethyst deceiver x", "unsure", 15),
    ],
)
def test_what_must_stay_open_gives_candidates_and_says_why(
    text: str, reason: str, first: int | None
) -> None:
    resolution = INDEX.resolve(text, by_spelling=True)
    assert (resolution.outcome, resolution.match) == ("candidates", None)
    assert resolution.reason == reason
    if first is not None:
        assert resolution.candidates[0].accepted_key == first


@pytest.mark.parametrize(
    ("text", "keys"),
    [
        ("Russula vesca / Galerina marginata", {13, 10}),
        ("Russula vesca/Galerina marginata", {13, 10}),
        ("Lactarius deterrimus or Amanita phalloides", {2, 4}),
        ("Lactarius deterrimus, Galerina marginata", {2, 10}),
        ("Lactarius deterrimus; Imleria badia", {2, 6}),
        ("Amanita citrina × Amanita phalloides", {5, 4}),
        ("Amanita citrina x phalloides", {5, 4}),
        ("Amanita citrina / A. phalloides", {5, 4}),
        ("Amanita citrina/phalloides", {5, 4}),
        ("Xerocomus badius or death cap", {6, 4}),
        ("death cap or amethyst deceiver", {4, 15}),
        ("Imleria badia or Amanita faloides", {6, 4}),
        ("Imleria badia on log, death-cap", {6, 4}),
        ("Imleria badia 3 caps; A. phalloides", {6, 4}),
        ("Imleria badia (A. phalloides)", {6, 4}),
        ("Imleria badia? Galerina marginata?", {6, 10}),
        ("Quercus robur / petraea", {102, 103}),
        ("Imleria badia or Russula vesca, under lilac", {6, 13}),
        ("Imleria badia, Death Cap", {6, 4}),
        ("Imleria badia; Deth Cap", {6, 4}),
        ("Imleria badia & Amethyst Deceiver", {6, 15}),
    ],
)
def test_every_name_of_a_line_is_a_candidate(text: str, keys: set[int]) -> None:
    for by_spelling in (True, False):
        came = INDEX.resolve(text, by_spelling=by_spelling)
        assert (came.outcome, came.match, came.reason) == ("candidates", None, "several_names")
        assert {match.accepted_key for match in came.candidates} == keys
        shown = [match.confidence for match in came.candidates]
        assert shown == sorted(shown, reverse=True)
        assert sum(shown) <= 1.01


def test_of_more_than_five_names_no_dangerous_one_is_dropped() -> None:
    harmless = (
        "Lactarius deterrimus, Lactarius deliciosus, Imleria badia, Russula vesca, "
        "Kuehneromyces mutabilis, Laccaria amethystina"
    )
    came = INDEX.resolve(f"{harmless}, Galerina marginata, Amanita phalloides", by_spelling=True)
    assert len(came.candidates) == 5
    assert {match.accepted_key for match in came.candidates if match.dangerous} == {10, 4}


@pytest.mark.parametrize(
    "text",
    [
        "Fly Agaric",
        "Lactarius deterrimus Gröger & Nordholm",
        "Imleria badia, Black Wood",
        "Imleria badia, with oak, lilac",
        "Amanita phalloides (Vaill. ex Fr.) Link",
        "Amanita phalloides - Death Cap",
        "Lactarius x deterimus",
        "Lactarius × deterimus",
    ],
)
def test_author_place_host_and_a_second_word_for_it_make_no_second_name(text: str) -> None:
    assert INDEX.resolve(text, by_spelling=True).reason != "several_names"


@pytest.mark.parametrize("text", ["saffron-milk cap", "saffron milk cap", "Saffron Milk-Cap"])
def test_an_english_name_written_apart_is_the_name_without_asking_for_guesses(text: str) -> None:
    rows = [
        IndexEntry(1, "Lactarius deliciosus", "accepted", 1, "fungus", "species", False),
        IndexEntry(1, "Saffron Milkcap", "english", 1, "fungus", "species", False),
    ]
    match = NameIndex(rows).resolve(text).match
    assert match is not None
    assert (match.key, match.via) == (1, "vernacular")
    two = [*rows, IndexEntry(2, "Saffronmilk Cap", "english", 2, "fungus", "species", False)]
    assert NameIndex(two).resolve("saffron milk cap").match is None
    dangerous = [replace(row, dangerous=True) for row in rows]
    came = NameIndex(dangerous).resolve(text, by_spelling=True)
    assert (came.outcome, came.candidates[0].key) == ("candidates", 1)


@pytest.mark.parametrize(
    ("text", "genus", "epithet"),
    [
        ("L. det.", "L.", "det"),
        ("Lact. deterr.", "Lact.", "deterr"),
        ("L. det. J. Smith", "L.", None),
        ("Lactarius det.", "Lactarius", None),
        ("L. sp.", "L.", None),
        ("L. auct.", "L.", None),
        ("L. var.", "L.", None),
    ],
)
def test_only_the_last_word_after_a_short_genus_is_an_epithet_cut_short(
    text: str, genus: str, epithet: str | None
) -> None:
    written = parse_written_name(text)
    assert (written.genus, written.epithet) == (genus, epithet)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "says_nothing"),
        ("unknown", "says_nothing"),
        ("x" * 400, "too_long"),
        ("Qq zz", "not_listed"),
    ],
)
def test_what_names_nothing_says_why(text: str, reason: str) -> None:
    resolution = INDEX.resolve(text, by_spelling=True)
    assert (resolution.outcome, resolution.reason) == ("unknown", reason)
    assert resolution.candidates == ()


def test_without_asking_for_it_nothing_is_resolved_by_a_guess() -> None:
    for text in ("Lactarius deterimus", "L. deterrimus", "Lactarus", "Amethist Deceiver"):
        assert INDEX.resolve(text).outcome == "candidates"
        assert INDEX.resolve(text, by_spelling=True).outcome == "resolved"


def test_candidates_stand_best_first_and_share_one_whole() -> None:
    for text in ("L. de", "Amanita faloides", "Russula vescas", "Lactarius deterimus"):
        shown = [match.confidence for match in INDEX.resolve(text, by_spelling=True).candidates]
        assert shown == sorted(shown, reverse=True)
        assert sum(shown) <= 1.01


def test_the_accepted_name_of_a_match_is_given() -> None:
    match = INDEX.resolve("Xerocomus badius").match
    assert match is not None
    assert (match.matched_name, INDEX.accepted_name(match)) == ("Xerocomus badius", "Imleria badia")


@st.composite
def _spoilt(draw: st.DrawFn) -> tuple[str, int]:
    """A name with up to three letters wrong, and the key of the accepted name it was."""
    _, name, _, accepted, _, _ = draw(st.sampled_from(_ROWS))
    for _ in range(draw(st.integers(1, 3))):
        at = draw(st.integers(0, len(name) - 1))
        change = draw(st.sampled_from(["swap", "drop", "add", "turn"]))
        letter = draw(st.sampled_from(_LETTERS))
        middle = {"swap": letter, "drop": "", "add": name[at] + letter}.get(change)
        if middle is None:
            name = name[:at] + name[at + 1 : at + 2] + name[at] + name[at + 2 :]
        else:
            name = name[:at] + middle + name[at + 1 :]
        assume(len(name) > 3)
    return name, accepted


@given(_spoilt())
def test_spelling_never_moves_a_name_to_or_from_a_dangerous_species(
    spoilt: tuple[str, int],
) -> None:
    text, meant = spoilt
    dangerous = {accepted for _, _, _, accepted, _, danger in _ROWS if danger}
    match = INDEX.resolve(text, by_spelling=True).match
    if match is None or match.accepted_key == meant:
        return
    assert match.accepted_key not in dangerous
    assert meant not in dangerous


@given(_spoilt())
def test_spelling_never_resolves_to_a_dangerous_species(spoilt: tuple[str, int]) -> None:
    match = INDEX.resolve(spoilt[0], by_spelling=True).match
    assert match is None or not (match.dangerous and match.via == "spelling")


@given(st.text(max_size=80))
def test_guessing_never_raises_and_keeps_the_words(text: str) -> None:
    resolution = INDEX.resolve(text, by_spelling=True)
    assert resolution.written.text == text
    assert (resolution.match is None) == (resolution.outcome != "resolved")
    assert (resolution.reason is None) == (resolution.outcome == "resolved")
    assert all(0 <= match.confidence <= 1 for match in resolution.candidates)


@pytest.mark.parametrize("qualifier", ["cf.", "aff.", "?"])
@pytest.mark.parametrize("text", ["Lactarius deterrimus", "Lactarius deterimus", "L. deterrimus"])
def test_a_qualifier_changes_no_name(text: str, qualifier: str) -> None:
    plain = INDEX.resolve(text, by_spelling=True)
    doubted = INDEX.resolve(f"{text} {qualifier}", by_spelling=True)
    assert plain.match is not None
    assert doubted.match is not None
    assert doubted.match.key == plain.match.key
    assert doubted.qualifier == qualifier


# --- confidence ----------------------------------------------------------------------------------


def test_shares_are_the_chance_of_being_listed_parted_by_weight() -> None:
    alone = shares([Guess(0, "spelt", 1.0, 20)])
    base, letter, unit = CURVES["spelt"]
    assert alone == [pytest.approx(1 / (1 + math.exp(-(base + letter * 20 - unit))))]
    even = shares([Guess(0, "spelt", 1.0, 20), Guess(1, "spelt", 1.0, 20)])
    assert even == [pytest.approx(alone[0] / 2)] * 2
    assert shares([]) == []


@given(st.sampled_from(sorted(CURVES)), st.floats(0, 6), st.floats(0, 6), st.integers(3, 24))
def test_a_guess_that_costs_more_is_never_surer(
    way: str, one: float, more: float, letters: int
) -> None:
    cheap = chance_listed(Guess(0, way, one, letters))  # type: ignore[arg-type]
    dear = chance_listed(Guess(0, way, one + more, letters))  # type: ignore[arg-type]
    assert dear <= cheap


@pytest.mark.parametrize(
    ("synonym", "accepted", "kind"),
    [
        ("Xerocomus badius", "Imleria badia", "combination"),
        ("Boletus badius", "Imleria badia", "combination"),
        ("Boletus glutinosus", "Imleria badia", "synonym"),
        ("Russula silvestris", "Russula emetica", "synonym"),
        ("Amanita", "Agaricus", "synonym"),
    ],
)
def test_an_old_combination_is_told_by_its_epithet(synonym: str, accepted: str, kind: str) -> None:
    assert kind_of_synonym(synonym, accepted) == kind


def test_folded_names_are_what_is_compared() -> None:
    match = INDEX.resolve("LACTARIUS  DÉTÉRIMUS", by_spelling=True).match
    assert match is not None
    assert fold(match.matched_name) == "lactarius deterrimus"
