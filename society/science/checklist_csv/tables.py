"""Reading a CSV into cells by known headings, with what is wrong told by line.

Method. The bytes are UTF-8 (with or without its mark), UTF-16 with its mark, else Windows' western
letters, which is said. Comma, semicolon or tab part the cells, whichever makes most known headings
of the first line. Headings are known in any case, with or without a prefix. Each further line is
read by itself: one that cannot be read hinders no other. Formula guards of spreadsheets are taken
off.

Source: RFC 4180, as far as files in use keep to it.

Worked example: 'dwc:taxonID;name' with 'taxonID' known gives the delimiter ';', the columns
('taxonID', '') and 'name' as a column that is left.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from society.science.spreadsheet_cells import as_written

_DELIMITERS: Final = (",", ";", "\t")


class UnreadableFile(ValueError):
    """The file as a whole is no such CSV. ``code`` says why, ``about`` what it concerns."""

    def __init__(self, code: str, about: str = "") -> None:
        super().__init__(code)
        self.code = code
        self.about = about


@dataclass(frozen=True, slots=True)
class LineFault:
    """Why a line is not understood. ``line`` counts from 1, as an editor does."""

    line: int
    code: str
    about: str = ""


@dataclass(frozen=True, slots=True)
class TableRead:
    """A table as read: line numbers with cells by known heading, and faults by line.

    ``encoding``: utf-8, utf-16 or windows-1252; ``left_columns``: headings that say nothing here.
    """

    rows: tuple[tuple[int, dict[str, str]], ...]
    faults: tuple[LineFault, ...]
    encoding: str
    delimiter: str
    left_columns: tuple[str, ...]


_LINES: Final = re.compile(r"[^\r\n]*(?:\r\n|\r|\n)|[^\r\n]+")


def read_table(
    content: bytes, known: tuple[str, ...], needed: tuple[str, ...], most_lines: int
) -> TableRead:
    """Read a CSV. Raises ``UnreadableFile`` where no line of it can be read.

    ``known`` are the headings that mean something, ``needed`` those without which nothing does.
    """
    text, encoding = _decoded(content)
    # Only line breaks part lines here, not every sign that Unicode knows for one.
    lines = _LINES.findall(text)
    if not lines or not lines[0].strip():
        raise UnreadableFile("no_heading")
    delimiter, columns, left = _headings(lines[0], known)
    missing = [term for term in needed if term not in columns]
    if missing:
        raise UnreadableFile("no_column", ", ".join(missing))
    twice = [term for term in columns if term and columns.count(term) > 1]
    if twice:
        raise UnreadableFile("column_twice", twice[0])
    rows: list[tuple[int, dict[str, str]]] = []
    faults: list[LineFault] = []
    for line, cells in _cells(lines, delimiter):
        if isinstance(cells, str):
            faults.append(LineFault(line, cells))
            continue
        if len(rows) >= most_lines:
            raise UnreadableFile("too_many_lines", str(most_lines))
        if any(cell.strip() for cell in cells[len(columns) :]):
            faults.append(LineFault(line, "cells_too_many", str(len(cells))))
            continue
        held = {
            term: " ".join(as_written(cell).split())
            for term, cell in zip(columns, cells, strict=False)
            if term
        }
        if any(held.values()):
            rows.append((line, held))
    return TableRead(tuple(rows), tuple(faults), encoding, delimiter, left)


def _decoded(content: bytes) -> tuple[str, str]:
    if not content.strip():
        raise UnreadableFile("empty")
    if content.startswith((b"PK\x03\x04", b"\xd0\xcf\x11\xe0")):
        raise UnreadableFile("spreadsheet")
    encodings = ["utf-16"] if content.startswith((b"\xff\xfe", b"\xfe\xff")) else ["utf-8-sig"]
    for encoding in (*encodings, "windows-1252"):
        try:
            text = content.decode(encoding)
        except UnicodeError:
            continue
        if "\x00" in text:
            break
        return text, encoding.removesuffix("-sig")
    raise UnreadableFile("no_text")


def _headings(line: str, known: tuple[str, ...]) -> tuple[str, list[str], tuple[str, ...]]:
    """Return the delimiter, the term of each column ('' for one unknown) and the unknown ones."""
    terms = {term.casefold(): term for term in known}
    best: tuple[str, list[str], tuple[str, ...]] = (",", [], ())
    for delimiter in _DELIMITERS:
        cells = next(csv.reader([line], delimiter=delimiter), [])
        words = [cell.strip() for cell in cells]
        plain = [re.split(r"[:/#]", word)[-1].strip().casefold() for word in words]
        columns = [terms.get(word, "") for word in plain]
        left = tuple(word for word, term in zip(words, columns, strict=True) if word and not term)
        if sum(map(bool, columns)) > sum(map(bool, best[1])):
            best = (delimiter, columns, left)
    return best if best[1] else (",", [""], (line.strip()[:80],))


def _cells(lines: list[str], delimiter: str) -> Iterator[tuple[int, list[str] | str]]:
    """Yield the number of each line after the first with its cells, or with a fault's code."""
    reader = csv.reader(iter(lines), delimiter=delimiter, strict=True)
    next(reader)
    while True:
        line = reader.line_num + 1
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error:
            yield line, "quotes_broken"
            continue
        yield line, cells
