"""A checklist in the terms of Darwin Core.

Method. Author words at the end of scientificName are parted from the name. A line is a synonym when
taxonomicStatus says so, or when it leads to another accepted name; through acceptedNameUsageID or
acceptedNameUsage it is followed to the accepted name at the end of the chain. Words lead to the
accepted line of that name and group, else to a synonym, never to a misapplied name. Of two lines
with one name the first holds. What is not understood is a fault of its line, with a code.

Beside the standard's terms a file may carry the columns that the society's own export adds:
group, form, danger, dangerNote, doubt.

Source: Darwin Core, TDWG standard 450, class Taxon (terms as listed 2026-05-26).

Worked example: the lines
    taxonID,scientificName,taxonRank,taxonomicStatus,acceptedNameUsageID
    1,Lactifluus volemus (Fr.) Kuntze,species,accepted,
    2,Lactarius volemus (Fr.) Fr.,species,synonym,1
give 'Lactifluus volemus' with author '(Fr.) Kuntze' as accepted, and 'Lactarius volemus' as a
synonym that leads to it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from society.science.checklist_csv.tables import LineFault, read_table
from society.science.names import fold, parse_written_name

TERMS: Final = (
    "taxonID",
    "scientificName",
    "scientificNameAuthorship",
    "taxonRank",
    "kingdom",
    "order",
    "family",
    "genus",
    "acceptedNameUsageID",
    "acceptedNameUsage",
    "taxonomicStatus",
    "vernacularName",
)
OWN_COLUMNS: Final = ("group", "form", "danger", "dangerNote", "doubt")
RANKS: Final = {
    "species": "species",
    "sp": "species",
    "variety": "variety",
    "varietas": "variety",
    "var": "variety",
    "subspecies": "variety",
    "subsp": "variety",
    "form": "variety",
    "forma": "variety",
    "f": "variety",
    "aggregate": "aggregate",
    "species aggregate": "aggregate",
    "speciesaggregate": "aggregate",
    "agg": "aggregate",
    "section": "section",
    "sectio": "section",
    "sect": "section",
    "genus": "genus",
    "gen": "genus",
}
_ACCEPTED: Final = frozenset({"accepted", "valid", "provisionally accepted", "doubtful", ""})
_SYNONYM: Final = frozenset(
    {
        "synonym",
        "homotypic synonym",
        "heterotypic synonym",
        "homotypicsynonym",
        "heterotypicsynonym",
        "objective synonym",
        "subjective synonym",
        "unaccepted",
        "invalid",
        "orthographic variant",
    }
)
_MISAPPLIED: Final = frozenset({"misapplied", "misapplied name", "misidentification"})
# An author that begins so names those who used the name in a wrong sense.
_OF_OTHERS: Final = ("auct", "sensu")
_SEVERAL: Final = frozenset(
    {"pro parte synonym", "proparte synonym", "proparte", "pro parte", "ambiguous synonym"}
)
# Groups of organisms by kingdom, where the kingdom says enough; slime moulds have their form.
_KINGDOMS: Final = {
    "": ("fungus", ""),
    "fungi": ("fungus", ""),
    "chromista": ("fungus", ""),
    "protozoa": ("fungus", "slime_mould"),
}
_IN_DOUBT: Final = frozenset({"cf.", "aff.", "?", "sp.", "group", "s.l.", "s.str."})
_LONGEST: Final = {
    "scientificName": 120,
    "scientificNameAuthorship": 120,
    "family": 60,
    "order": 60,
    "genus": 60,
    "vernacularName": 400,
    "dangerNote": 120,
}
# A genus with an epithet too long to be a word of doubt, alone or with words that can only be an
# author's: most lines, and quickly read. All others are read word by word.
_PLAIN: Final = re.compile(
    r"([A-Z][a-z-]+ [a-z-]{6,})"
    r"(?: ((?:\(?[A-ZÀ-ÞŠŽ][^ ?]*)(?: (?:ex|et|in|&|\(?[A-ZÀ-ÞŠŽ][^ ?]*))*))?\Z"
)
# A species' author between it and what is below it is no part of the lower name.
_AUTHOR_WITHIN: Final = re.compile(
    r"([A-Z][a-z-]+ [a-z-]+) [(A-ZÀ-ÞŠŽ].* ((?:subsp|ssp|var|f)\. [a-z-]+)\Z"
)
_PARTS_OF_A_LIST: Final = re.compile(r"\s*[|;]\s*")
_YES: Final = frozenset({"yes", "true", "1"})


@dataclass(frozen=True, slots=True)
class TaxonLine:
    """A name as a line gives it. ``kind``: accepted, synonym or misapplied; ``accepted_name`` is
    the accepted name at the end of the chain, without author, empty for an accepted one."""

    line: int
    name: str
    authorship: str
    rank: str
    group: str
    form: str
    kind: str
    accepted_name: str
    family: str
    order: str
    genus: str
    english: tuple[str, ...]
    danger: str
    danger_note: str
    is_doubtful: bool
    # Folded name, group, and whether it is a misapplied name: what a row is known by.
    key: tuple[str, str, bool]


@dataclass(frozen=True, slots=True)
class ChecklistRead:
    """A file as read. ``encoding``: utf-8, utf-16 or windows-1252; ``left_columns`` are columns
    whose headings say nothing here."""

    lines: tuple[TaxonLine, ...]
    faults: tuple[LineFault, ...]
    encoding: str
    delimiter: str
    left_columns: tuple[str, ...]


@dataclass(slots=True)
class _Given:
    """A line before it is known where it leads."""

    line: int
    cells: dict[str, str]
    name: str = ""
    authorship: str = ""


# Folded name and group: what a line is found by where another leads to it in words.
_NameKey = tuple[str, str]


def read_checklist(content: bytes, *, most_lines: int = 50_000) -> ChecklistRead:
    """Read a CSV of taxa. Raises ``UnreadableFile`` where no line of it can be read."""
    table = read_table(content, (*TERMS, *OWN_COLUMNS), ("scientificName",), most_lines)
    faults = list(table.faults)
    all_given: list[_Given] = []
    for line, cells in table.rows:
        if (line, cells) == table.rows[-1] and _is_notice(cells):
            continue
        given = _Given(line, cells)
        fault = _named(given)
        if fault:
            faults.append(fault)
        else:
            all_given.append(given)
    lines: dict[tuple[str, str, bool], TaxonLine] = {}
    by_id = {
        given.cells["taxonID"]: given for given in reversed(all_given) if given.cells.get("taxonID")
    }
    by_name = _lines_by_name(all_given)
    for given in all_given:
        read = _line_read(given, by_id, by_name)
        if isinstance(read, LineFault):
            faults.append(read)
        elif read.key in lines:
            faults.append(LineFault(given.line, "twice", str(lines[read.key].line)))
        else:
            lines[read.key] = read
    return ChecklistRead(
        tuple(lines.values()),
        tuple(sorted(faults, key=lambda fault: fault.line)),
        table.encoding,
        table.delimiter,
        table.left_columns,
    )


def _lines_by_name(all_given: list[_Given]) -> dict[_NameKey, _Given]:
    """Return the lines that others may lead to in words: of one name the accepted line, else the
    first synonym. A misapplied name is never meant by its words alone."""
    found: dict[_NameKey, tuple[int, _Given]] = {}
    for given in all_given:
        group, standing = _group(given.cells), _standing(given)
        if group is None or standing is None:
            continue
        key = (fold(given.name), group[0])
        if key not in found or standing < found[key][0]:
            found[key] = (standing, given)
    return {key: given for key, (_standing, given) in found.items()}


def _standing(given: _Given) -> int | None:
    """0 for an accepted line, 1 for a synonym, 2 for what is unsure, None for a misapplied one."""
    status = _status(given)
    if status in _MISAPPLIED or given.authorship.startswith(_OF_OTHERS):
        return None
    if status in _ACCEPTED and _next(given, {}, {}) is given:
        return 0
    return 1 if status in _ACCEPTED | _SYNONYM else 2


def _status(given: _Given) -> str:
    return given.cells.get("taxonomicStatus", "").casefold().replace("_", " ")


def _is_notice(cells: dict[str, str]) -> bool:
    """Whether a last line is the notice of the society's own export: a word and no name."""
    told = [term for term, cell in cells.items() if cell]
    return told == ["taxonID"] and not cells["taxonID"].isdecimal()


def _named(given: _Given) -> LineFault | None:
    """Part name and author of a line; return a fault where it names no fungus or plant."""
    written = given.cells.get("scientificName", "")
    if not written:
        return LineFault(given.line, "no_name")
    for term, longest in _LONGEST.items():
        if len(given.cells.get(term, "")) > longest * (2 if term == "scientificName" else 1):
            return LineFault(given.line, "too_long", term)
    given.name, given.authorship, in_doubt = _read_name(
        written, given.cells.get("scientificNameAuthorship", "")
    )
    capital = given.name[:1].isupper() or given.name.startswith("×")
    # The trade's names for dung begin with a small letter.
    if not capital and given.cells.get("group", "fungus").casefold() in ("fungus", ""):
        return LineFault(given.line, "no_name", written)
    if in_doubt:
        return LineFault(given.line, "name_in_doubt", written)
    # Name and author may stand in one cell: each is measured once they are parted.
    for term, read in (
        ("scientificName", given.name),
        ("scientificNameAuthorship", given.authorship),
        ("genus", _genus(given.name)),
    ):
        if len(read) > _LONGEST[term]:
            return LineFault(given.line, "too_long", term)
    return None


def name_and_author(written: str, authorship: str) -> tuple[str, str]:
    """Part the words of an author from the end of a name; ``authorship`` is what is known of it."""
    return _read_name(written, authorship)[:2]


def _read_name(written: str, authorship: str) -> tuple[str, str, bool]:
    """Return name, author, and whether the words say that the name is in doubt."""
    if authorship and written.casefold().endswith(" " + authorship.casefold()):
        written = written[: -len(authorship)].rstrip(" ,")
    plain = _PLAIN.match(written)
    if plain:
        return plain[1], authorship or plain[2] or "", False
    parsed = parse_written_name(written)
    in_doubt = parsed.qualifier in _IN_DOUBT
    tail = parsed.authorship
    if tail and written.endswith(" " + tail):
        written, authorship = written[: -len(tail)].rstrip(" ,"), authorship or tail
    return _AUTHOR_WITHIN.sub(r"\1 \2", written), authorship, in_doubt


def _line_read(
    given: _Given, by_id: dict[str, _Given], by_name: dict[_NameKey, _Given]
) -> TaxonLine | LineFault:
    cells = given.cells
    rank = _rank(given.name, cells.get("taxonRank", ""))
    if rank is None:
        return LineFault(given.line, "rank_not_held", cells.get("taxonRank", ""))
    group = _group(cells)
    if group is None:
        return LineFault(given.line, "kingdom_not_held", cells.get("kingdom", ""))
    if group[0] == "fungus" and not _rank_fits(given.name, rank):
        return LineFault(given.line, "rank_differs", given.name)
    status = _status(given)
    if status in _SEVERAL:
        return LineFault(given.line, "several_accepted", given.name)
    if status not in _ACCEPTED | _SYNONYM | _MISAPPLIED:
        return LineFault(given.line, "status_unknown", cells.get("taxonomicStatus", ""))
    target = _led_to(given, by_id, by_name)
    if isinstance(target, LineFault):
        return target
    if not target and status in _SYNONYM | _MISAPPLIED:
        return LineFault(given.line, "leads_nowhere", given.name)
    kind = "accepted"
    if target:
        misapplied = status in _MISAPPLIED or given.authorship.startswith(_OF_OTHERS)
        kind = "misapplied" if misapplied else "synonym"
    return TaxonLine(
        line=given.line,
        name=given.name,
        authorship=given.authorship,
        rank=rank,
        group=group[0],
        form=cells.get("form", "") or group[1],
        kind=kind,
        accepted_name=target,
        family=cells.get("family", ""),
        order=cells.get("order", ""),
        genus=_genus(given.name),
        english=tuple(_listed(cells.get("vernacularName", ""))),
        danger=cells.get("danger", ""),
        danger_note=cells.get("dangerNote", ""),
        is_doubtful=status == "doubtful" or cells.get("doubt", "").casefold() in _YES,
        key=(fold(given.name), group[0], kind == "misapplied"),
    )


def _rank(name: str, written: str) -> str | None:
    """Return the rank that is held here, None for one that is not; guessed where none is given."""
    plain = fold(written).strip(". ")
    if plain:
        return RANKS.get(plain)
    words = name.replace("×", " ").split()
    if len(words) == 1:
        return "genus"
    if "sect." in words:
        return "section"
    if words[-1] == "agg.":
        return "aggregate"
    return "species" if len(words) == 2 else "variety"


def _rank_fits(name: str, rank: str) -> bool:
    """Whether a genus is one word and all else more. A species is two words; a name below it, which
    may bear the rank of the species it leads to, says so by a term such as 'var.'."""
    words = [word for word in name.replace("×", " ").split() if word.casefold() != "x"]
    if (rank == "genus") != (len(words) == 1):
        return False
    return rank != "species" or len(words) == 2 or any(word.endswith(".") for word in words[1:])


def _group(cells: dict[str, str]) -> tuple[str, str] | None:
    if cells.get("group"):
        return cells["group"].casefold(), ""
    return _KINGDOMS.get(cells.get("kingdom", "").casefold())


def _led_to(
    given: _Given, by_id: dict[str, _Given], by_name: dict[_NameKey, _Given]
) -> str | LineFault:
    """Return the accepted name at the end of the chain, '' when the line itself is accepted."""
    seen, at = {given.line}, given
    while True:
        further = _next(at, by_id, by_name)
        if further is None or isinstance(further, str):
            break
        if further is at:
            further = ""
            break
        if further.line in seen:
            return LineFault(given.line, "leads_in_a_circle", given.name)
        seen.add(further.line)
        at = further
    if further is None:
        about = at.cells.get("acceptedNameUsageID") or at.cells.get("acceptedNameUsage", "")
        return LineFault(given.line, "leads_nowhere", about)
    return further or ("" if at is given else at.name)


def _next(
    given: _Given, by_id: dict[str, _Given], by_name: dict[_NameKey, _Given]
) -> _Given | str | None:
    """Return the line that this one leads to, itself where it is accepted; a name that the file
    does not hold, as words; None where an id leads nowhere."""
    number, name = (
        given.cells.get("acceptedNameUsageID", ""),
        given.cells.get("acceptedNameUsage", ""),
    )
    if not number and not name:
        return given
    if number and number == given.cells.get("taxonID"):
        return given
    if number in by_id:
        return by_id[number]
    if not name:
        return None
    plain = name_and_author(name, "")[0]
    if fold(plain) == fold(given.name):
        # A misapplied name may lead to the same words of another author.
        return given
    group = _group(given.cells)
    return by_name.get((fold(plain), group[0]), plain) if group else plain


def _genus(name: str) -> str:
    words = [word for word in name.replace("×", " ").split() if word.casefold() != "x"]
    return words[0] if words else ""


def _listed(text: str) -> Iterator[str]:
    return (part for part in _PARTS_OF_A_LIST.split(text) if part)
