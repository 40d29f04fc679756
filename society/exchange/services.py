"""Writing a table into a file: CSV line by line, XLSX row by row. Neither holds it in memory.

Every text goes through ``harmless``, so that no spreadsheet runs what somebody wrote as a formula;
numbers and days stay numbers and days. Every row carries the notice in one line, every file the
full notice once: as the last row of a CSV (a file that lacks it was cut off), as a first sheet of
an XLSX.
"""

import csv
import datetime as dt
import tempfile
from collections.abc import Iterator
from decimal import Decimal
from typing import IO, Any

import xlsxwriter
from django.utils.translation import gettext as _

from society.exchange.queries import Cell, Table
from society.exchange.queries.tables import file_notice
from society.science.spreadsheet_cells import harmless

# Programs that open a CSV by a double click take it for UTF-8 only with this mark.
BYTE_ORDER_MARK = "\ufeff"
LINES_IN_ONE_PIECE = 50
# A cell of XLSX holds no more.
LONGEST_CELL = 32_767
_XLSX_OPTIONS = {
    "constant_memory": True,
    "strings_to_formulas": False,
    "strings_to_urls": False,
    "strings_to_numbers": False,
}


class _Line:
    """A file whose ``write`` hands the line back to the writer's caller."""

    def write(self, text: str) -> str:
        return text


def csv_pieces(table: Table) -> Iterator[bytes]:
    """Yield a CSV (RFC 4180, UTF-8 with a byte order mark) in pieces of some lines."""
    writer = csv.writer(_Line(), lineterminator="\r\n")

    def lines() -> Iterator[str]:
        yield BYTE_ORDER_MARK + writer.writerow([str(column.heading) for column in table.columns])
        for row in table.rows:
            yield writer.writerow([_csv_cell(cell) for cell in row])
        yield writer.writerow(notice_row(table))

    held: list[str] = []
    for line in lines():
        held.append(line)
        if len(held) == LINES_IN_ONE_PIECE:
            yield "".join(held).encode()
            held.clear()
    yield "".join(held).encode()


def notice_row(table: Table) -> list[str]:
    """Return the last row of a CSV: the word 'notice', and the full notice in its own column."""
    return [_("notice"), *[""] * (len(table.columns) - 2), harmless(" ".join(file_notice()))]


def _csv_cell(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, dt.date):
        return cell.isoformat()
    if isinstance(cell, Decimal):
        return f"{cell:f}"
    return harmless(cell) if isinstance(cell, str) else str(cell)


def xlsx_file(table: Table) -> IO[bytes]:
    """Return an XLSX in a temporary file, open at its start; closing it removes it."""
    file = tempfile.TemporaryFile(suffix=".xlsx")  # noqa: SIM115  the answer closes it
    try:
        with xlsxwriter.Workbook(file, dict(_XLSX_OPTIONS)) as book:
            book.set_properties({"title": f"{table.society}: {table.title}"})
            _notice_sheet(book, table)
            _rows_sheet(book, table)
    except BaseException:
        file.close()
        raise
    file.seek(0)
    return file


def _notice_sheet(book: Any, table: Table) -> None:
    """The first sheet: what the file is, and the full notice."""
    sheet = book.add_worksheet(_("Notice"))
    strong, wrapped = book.add_format({"bold": True}), book.add_format({"text_wrap": True})
    days = book.add_format({"num_format": "yyyy-mm-dd", "align": "left"})
    plain = book.add_format({"align": "left"})
    sheet.set_column(0, 0, 36)
    sheet.set_column(1, 1, 90)
    sheet.write_string(0, 0, harmless(table.society), strong)
    sheet.write_string(0, 1, harmless(table.title), strong)
    at = 1
    for words, value in table.about:
        sheet.write_string(at, 0, words)
        _cell_write(sheet, at, 1, value, plain, days)
        at += 1
    for number, sentence in enumerate(file_notice()):
        sheet.write_string(at + 1 + number, 0, "" if number else _("notice"), strong)
        sheet.write_string(at + 1 + number, 1, harmless(sentence), wrapped)


def _rows_sheet(book: Any, table: Table) -> None:
    sheet = book.add_worksheet(table.sheet)
    head = book.add_format({"bold": True, "text_wrap": True, "valign": "top", "bottom": 1})
    names = book.add_format({"italic": True})
    days = book.add_format({"num_format": "yyyy-mm-dd", "align": "left"})
    sheet.freeze_panes(1, 1)
    for at, column in enumerate(table.columns):
        sheet.set_column(at, at, column.width)
    for at, column in enumerate(table.columns):
        sheet.write_string(0, at, str(column.heading), head)
    formats = [names if column.is_name else None for column in table.columns]
    for number, row in enumerate(table.rows, start=1):
        for at, cell in enumerate(row):
            _cell_write(sheet, number, at, cell, formats[at], days)
    # The list is what is looked for; the notice stands in each of its rows, too.
    sheet.activate()


def _cell_write(sheet: Any, row: int, at: int, cell: Cell, words: Any, days: Any) -> None:
    if cell is None or cell == "":
        return
    if isinstance(cell, dt.date):
        _day_write(sheet, row, at, cell, days)
    elif isinstance(cell, str):
        sheet.write_string(row, at, harmless(cell)[:LONGEST_CELL], words)
    else:
        sheet.write_number(row, at, cell, words)


def _day_write(sheet: Any, row: int, at: int, day: dt.date, days: Any) -> None:
    """Write a day as one; a spreadsheet's days begin in 1900, so an earlier one is a text."""
    if day.year < 1900:
        sheet.write_string(row, at, day.isoformat())
    else:
        sheet.write_datetime(row, at, day, days)
