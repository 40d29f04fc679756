"""What red lists, laws and regional lists say of names, from a CSV.

Method. Columns name, kind, area, edition, year and says, all of them filled; kind is a red list, a
law or a regional list, in a code or in words; the year has four digits.

Source: our own columns; what an entry must state (area, edition, year) is common practice in
citing such lists.

Worked example: 'Hericium coralloides,red list,Great Britain,"Invented List, 2nd",2021,vulnerable'
gives the kind 'red_list' and the year 2021.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from society.science.checklist_csv.tables import LineFault, read_table
from society.science.checklist_csv.taxa import name_and_author
from society.science.names import fold

ENTRY_COLUMNS: Final = ("name", "kind", "area", "edition", "year", "says")
_KINDS: Final = {
    "red list": "red_list",
    "law": "law",
    "legal protection": "law",
    "regional": "regional",
    "regional list": "regional",
}
_LONGEST_ENTRY: Final = {"name": 240, "area": 80, "edition": 120, "says": 120}
_YEARS: Final = range(1800, 2201)


@dataclass(frozen=True, slots=True)
class EntryLine:
    """What a list says of a name. ``kind``: red_list, law or regional."""

    line: int
    name: str
    kind: str
    area: str
    edition: str
    year: int
    says: str


@dataclass(frozen=True, slots=True)
class EntriesRead:
    """A file of entries as read, as ``ChecklistRead``."""

    lines: tuple[EntryLine, ...]
    faults: tuple[LineFault, ...]
    encoding: str
    delimiter: str
    left_columns: tuple[str, ...]


def read_entries(content: bytes, *, most_lines: int = 20_000) -> EntriesRead:
    """Read a CSV of what lists say. Raises ``UnreadableFile`` where no line of it can be read."""
    table = read_table(content, ENTRY_COLUMNS, ENTRY_COLUMNS, most_lines)
    faults = list(table.faults)
    lines = []
    for number, cells in table.rows:
        read = _entry_read(number, cells)
        if isinstance(read, LineFault):
            faults.append(read)
        else:
            lines.append(read)
    faults.sort(key=lambda fault: fault.line)
    return EntriesRead(
        tuple(lines), tuple(faults), table.encoding, table.delimiter, table.left_columns
    )


def _entry_read(number: int, cells: dict[str, str]) -> EntryLine | LineFault:
    empty = [column for column in ENTRY_COLUMNS if not cells.get(column)]
    if empty:
        return LineFault(number, "cell_empty", ", ".join(empty))
    long = [column for column, most in _LONGEST_ENTRY.items() if len(cells[column]) > most]
    if long:
        return LineFault(number, "too_long", long[0])
    kind = _KINDS.get(fold(cells["kind"].replace("_", " ")))
    if kind is None:
        return LineFault(number, "kind_unknown", cells["kind"])
    year = cells["year"]
    if not (year.isascii() and year.isdecimal() and len(year) == 4 and int(year) in _YEARS):
        return LineFault(number, "no_year", year)
    return EntryLine(
        line=number,
        name=name_and_author(cells["name"], "")[0],
        kind=kind,
        area=cells["area"],
        edition=cells["edition"],
        year=int(year),
        says=cells["says"],
    )
