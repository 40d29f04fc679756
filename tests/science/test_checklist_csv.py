"""Reading a checklist from a CSV of taxa."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from society.science.checklist_csv import (
    OWN_COLUMNS,
    TERMS,
    ChecklistRead,
    TaxonLine,
    UnreadableFile,
    read_checklist,
    read_entries,
)

HEAD = "taxonID,scientificName,scientificNameAuthorship,taxonRank,taxonomicStatus,"
HEAD += "acceptedNameUsageID,acceptedNameUsage,kingdom,vernacularName"


def read(*lines: str, head: str = HEAD) -> ChecklistRead:
    return read_checklist("\n".join([head, *lines]).encode())


def only(*lines: str, head: str = HEAD) -> TaxonLine:
    (line,) = read(*lines, head=head).lines
    return line


def faults(*lines: str, head: str = HEAD) -> list[tuple[int, str]]:
    return [(fault.line, fault.code) for fault in read(*lines, head=head).faults]


@pytest.mark.parametrize(
    ("written", "author", "name", "authorship"),
    [
        ("Lactarius deterrimus Gröger", "Gröger", "Lactarius deterrimus", "Gröger"),
        ("Lactarius deterrimus Gröger", "", "Lactarius deterrimus", "Gröger"),
        ("Lactarius deterrimus", "Gröger", "Lactarius deterrimus", "Gröger"),
        ("Lactifluus volemus (Fr.) Kuntze", "", "Lactifluus volemus", "(Fr.) Kuntze"),
        ("Armillaria mellea agg.", "", "Armillaria mellea agg.", ""),
        ("Lactarius", "Pers.", "Lactarius", "Pers."),
        (
            "Russula emetica (Schaeff.) Pers. ex Fr.",
            "",
            "Russula emetica",
            "(Schaeff.) Pers. ex Fr.",
        ),
        ("Russula emetica Émile & Žák", "", "Russula emetica", "Émile & Žák"),
        (
            "Amanita muscaria (L.) Lam. var. guessowii Veselý",
            "Veselý",
            "Amanita muscaria var. guessowii",
            "Veselý",
        ),
        (
            "Amanita muscaria (L.) Lam. var. guessowii Veselý",
            "",
            "Amanita muscaria var. guessowii",
            "Veselý",
        ),
    ],
)
def test_name_and_author_are_parted(written: str, author: str, name: str, authorship: str) -> None:
    line = only(f"1,{written},{author},,,,,Fungi,")
    assert (line.name, line.authorship) == (name, authorship)


def test_a_synonym_is_followed_to_the_accepted_name_at_the_end_of_the_chain() -> None:
    found = read(
        "1,Agaricus volemus Fr.,,species,synonym,2,,Fungi,",
        "2,Lactarius volemus (Fr.) Fr.,,species,synonym,3,,Fungi,",
        "3,Lactifluus volemus (Fr.) Kuntze,,species,accepted,3,,Fungi,",
    )
    assert [(line.kind, line.accepted_name) for line in found.lines] == [
        ("synonym", "Lactifluus volemus"),
        ("synonym", "Lactifluus volemus"),
        ("accepted", ""),
    ]


def test_a_synonym_may_lead_by_name_to_one_that_the_file_does_not_hold() -> None:
    line = only("1,Agaricus volemus,,species,synonym,,Lactifluus volemus (Fr.) Kuntze,Fungi,")
    assert (line.kind, line.accepted_name) == ("synonym", "Lactifluus volemus")


@pytest.mark.parametrize(
    "misleading",
    [
        "2,Agaricus virescens,auct.,species,synonym,,Amanita phalloides,Fungi,",
        "2,Agaricus virescens,sensu Fr.,species,synonym,,Amanita phalloides,Fungi,",
        "2,Agaricus virescens,,species,misapplied,,Amanita phalloides,Fungi,",
        "2,Agaricus virescens,L.,species,synonym,,Amanita phalloides,Fungi,",
    ],
    ids=["auct.", "sensu", "misapplied", "homonym"],
)
def test_a_synonym_that_leads_by_name_leads_to_the_accepted_line_of_that_name(
    misleading: str,
) -> None:
    found = read(
        misleading,
        "1,Amanita phalloides,,species,accepted,,,Fungi,",
        "3,Agaricus virescens,(Schaeff.),species,accepted,,,Fungi,",
        "4,Agaricus caseosus,,species,synonym,,Agaricus virescens,Fungi,",
    )
    (synonym,) = [line for line in found.lines if line.name == "Agaricus caseosus"]
    assert (synonym.kind, synonym.accepted_name) == ("synonym", "Agaricus virescens")


def test_a_synonym_never_leads_by_name_over_a_misapplied_line_or_one_of_another_group() -> None:
    found = read(
        "1,Agaricus virescens,auct.,species,synonym,,Amanita phalloides,Fungi,",
        "2,Agaricus caseosus,,species,synonym,,Agaricus virescens,Fungi,",
    )
    assert found.lines[1].accepted_name == "Agaricus virescens"
    head = "scientificName,taxonRank,taxonomicStatus,acceptedNameUsage,group"
    found = read(
        "Aa bb,species,synonym,Bb bb,herb",
        "Cc bb,species,synonym,Aa bb,fungus",
        head=head,
    )
    assert [line.accepted_name for line in found.lines] == ["Bb bb", "Aa bb"]


def test_a_synonym_still_leads_by_name_through_another_synonym() -> None:
    found = read(
        "1,Agaricus volemus,,species,synonym,,Lactarius volemus,Fungi,",
        "2,Lactarius volemus,,species,synonym,,Lactifluus volemus,Fungi,",
    )
    assert [line.accepted_name for line in found.lines] == ["Lactifluus volemus"] * 2


def test_name_author_and_genus_are_measured_after_they_were_parted() -> None:
    long_author = "(" + "X" * 60 + ") " + "Y" * 60
    long_genus = "A" + "a" * 60
    assert faults(f"1,Aa bbbbbbb {long_author},,species,accepted,,,Fungi,") == [(2, "too_long")]
    assert faults(f"1,{long_genus} bbbbbbb,,species,accepted,,,Fungi,") == [(2, "too_long")]


def test_a_misapplied_name_is_told_by_status_or_author() -> None:
    for line in (
        "1,Agaricus virescens,,species,misapplied,,Amanita phalloides,Fungi,",
        "1,Agaricus virescens,auct.,species,synonym,,Amanita phalloides,Fungi,",
    ):
        assert only(line).kind == "misapplied"


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("1,,,species,accepted,,,Fungi,", "no_name"),
        ("1,lactarius volemus,,species,accepted,,,Fungi,", "no_name"),
        ("1,Lactarius cf. volemus,,species,accepted,,,Fungi,", "name_in_doubt"),
        ("1,Lactarius volemus,,tribe,accepted,,,Fungi,", "rank_not_held"),
        ("1,Quercus robur,,species,accepted,,,Plantae,", "kingdom_not_held"),
        ("1,Lactarius volemus,,species,pro parte synonym,,Aa bb,Fungi,", "several_accepted"),
        ("1,Lactarius volemus,,species,under study,,,Fungi,", "status_unknown"),
        ("1,Lactarius volemus,,species,synonym,,,Fungi,", "leads_nowhere"),
        ("1,Lactarius volemus,,species,synonym,77,,Fungi,", "leads_nowhere"),
        (f"1,Lactarius volemus,{'x' * 121},species,accepted,,,Fungi,", "too_long"),
        ("1,Lactarius volemus,,species,accepted,,,Fungi,,more", "cells_too_many"),
        ('1,"Lactarius" volemus,,species,accepted,,,Fungi,', "quotes_broken"),
    ],
)
def test_a_line_that_is_not_understood_says_why_and_hinders_no_other(line: str, code: str) -> None:
    found = read(line, "9,Russula emetica,,species,accepted,,,Fungi,")
    assert [(fault.line, fault.code) for fault in found.faults] == [(2, code)]
    assert [row.name for row in found.lines] == ["Russula emetica"]


def test_lines_in_a_circle_and_names_that_stand_twice_are_faults() -> None:
    assert faults("1,Aa aa,,species,synonym,2,,Fungi,", "2,Bb bb,,species,synonym,1,,Fungi,") == [
        (2, "leads_in_a_circle"),
        (3, "leads_in_a_circle"),
    ]
    found = read("1,Aa aa,L.,species,accepted,,,Fungi,", "2,Aa  aa,,species,,,,Fungi,")
    assert [(fault.line, fault.code, fault.about) for fault in found.faults] == [(3, "twice", "2")]


def test_line_numbers_are_an_editors_where_a_cell_holds_a_line_break() -> None:
    assert faults('1,Aa aa,,species,accepted,,,Fungi,"one\ntwo"', "2,,L.,,,,,,") == [(4, "no_name")]


def test_terms_are_known_with_prefix_or_address_in_any_case_and_tabs_part_cells() -> None:
    head = "dwc:taxonID\thttp://rs.tdwg.org/dwc/terms/SCIENTIFICNAME\tcolour"
    found = read("1\tRussula emetica\tred", head=head)
    assert (found.delimiter, found.left_columns) == ("\t", ("colour",))
    assert found.lines[0].name == "Russula emetica"


@pytest.mark.parametrize(
    ("encoding", "told"),
    [
        ("utf-8", "utf-8"),
        ("utf-8-sig", "utf-8"),
        ("utf-16", "utf-16"),
        ("windows-1252", "windows-1252"),
    ],
)
def test_letters_are_read_in_each_encoding(encoding: str, told: str) -> None:
    text = f"{HEAD}\n1,Lactarius deterrimus,Gröger,,,,,,\n"
    found = read_checklist(text.encode(encoding))
    assert (found.encoding, found.lines[0].authorship) == (told, "Gröger")


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "empty"),
        (b" \n\n", "empty"),
        (b"PK\x03\x04rest", "spreadsheet"),
        (b"scientificName\n\x00\x01", "no_text"),
        (b"name,author\nAa aa,L.\n", "no_column"),
        (b"scientificName,dwc:scientificName\nAa aa,\n", "column_twice"),
        (b"\nscientificName\n", "no_heading"),
        (b"scientificName\n" + b"Aa aa\n" * 11, "too_many_lines"),
    ],
)
def test_a_file_that_is_no_such_csv_is_refused_as_a_whole(content: bytes, code: str) -> None:
    with pytest.raises(UnreadableFile) as refused:
        read_checklist(content, most_lines=10)
    assert refused.value.code == code


def test_the_societys_own_columns_guards_and_last_line_are_read_back() -> None:
    head = "taxonID,scientificName,taxonRank,group,form,danger,dangerNote,doubt,cautions"
    line = only(
        "7,Amanita virosa,species,fungus,agaric,deadly,'=raw,yes,never eat it",
        "notice,,,,,,,,never eat it",
        head=head,
    )
    assert (line.form, line.danger, line.danger_note, line.is_doubtful) == (
        "agaric",
        "deadly",
        "=raw",
        True,
    )


def test_a_last_line_that_holds_a_name_or_a_number_is_never_taken_for_the_notice() -> None:
    assert only("Russula emetica", head="scientificName").name == "Russula emetica"
    assert faults("russula", head="scientificName") == [(2, "no_name")]
    assert faults("12,", head="taxonID,scientificName") == [(2, "no_name")]


def test_kingdoms_and_ranks_are_read_into_those_held_here() -> None:
    mould = only("1,Fuligo septica,,species,accepted,,,Protozoa,")
    assert (mould.group, mould.form) == ("fungus", "slime_mould")
    assert only("1,Amanita rubescens var. annulosulphurea,,varietas,,,,,").rank == "variety"
    guessed = read("1,Lactarius,,,,,,,", "2,Aa bb,,,,,,,", "3,Aa sect. Bb,,,,,,,")
    assert [line.rank for line in guessed.lines] == ["genus", "species", "section"]
    assert only("1,Aa bb,,,,,,,One | Two; Three").english == ("One", "Two", "Three")


def test_a_species_of_three_words_is_left_out_and_a_synonym_below_a_species_is_not() -> None:
    assert faults(
        "1,Lactarius toolong newline,,species,accepted,,,Fungi,",
        '2,"Lactarius broken\nnewline",,species,accepted,,,Fungi,',
    ) == [(2, "rank_differs"), (3, "rank_differs")]
    held = read(
        "1,Lactarius deliciosus,,species,accepted,,,Fungi,",
        "2,Lactarius deliciosus var. piceus,,species,synonym,1,,Fungi,",
        "3,Lactarius × hybridus,,species,accepted,,,Fungi,",
        "4,Lactarius x alter,,species,accepted,,,Fungi,",
    )
    assert held.faults == ()
    assert len(held.lines) == 4


def test_only_line_breaks_part_lines() -> None:
    assert only("1,Aa bb,L.,,,,,,A\u2028B\x0bC").english == ("A B C",)


def test_entries_of_lists_are_read_with_their_faults() -> None:
    text = """name,kind,area,edition,year,says
Hericium coralloides (Scop.) Pers.,red list,Great Britain,"Invented List, 2nd",2021,vulnerable
Hericium coralloides,law,England,An Act,1981,protected
Hericium coralloides,feast,England,An Act,1981,protected
Hericium coralloides,law,England,An Act,81,protected
Hericium coralloides,law,,An Act,1981,protected
"""
    found = read_entries(text.encode())
    assert [(line.name, line.kind, line.year) for line in found.lines] == [
        ("Hericium coralloides", "red_list", 2021),
        ("Hericium coralloides", "law", 1981),
    ]
    assert [(fault.line, fault.code) for fault in found.faults] == [
        (4, "kind_unknown"),
        (5, "no_year"),
        (6, "cell_empty"),
    ]
    with pytest.raises(UnreadableFile):
        read_entries(b"name,kind\nAa bb,law\n")


CELLS = st.text(max_size=30).map(lambda text: text.replace("\x00", ""))


@given(st.lists(st.lists(CELLS, min_size=1, max_size=len(TERMS) + 2), max_size=6))
def test_any_cells_give_lines_or_faults_and_every_line_leads_somewhere(
    rows: list[list[str]],
) -> None:
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow([*TERMS, *OWN_COLUMNS])
    writer.writerows(rows)
    found = read_checklist(out.getvalue().encode("utf-8", "replace"))
    for line in found.lines:
        assert line.name
        assert (line.kind == "accepted") == (not line.accepted_name)
    assert len({line.key for line in found.lines}) == len(found.lines)


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(content: bytes) -> None:
    try:
        found = read_checklist(content)
    except UnreadableFile as refused:
        assert refused.code  # noqa: PT017
    else:
        assert found.encoding in ("utf-8", "utf-16", "windows-1252")
