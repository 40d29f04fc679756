"""A table as every kind of file takes it: columns, rows, what stands round them, the notice."""

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.utils.functional import Promise
from django.utils.text import slugify
from django.utils.translation import gettext as _

from society.names.models import Danger
from society.safety.gate import NoticeContext, notice_full

Cell = str | int | Decimal | dt.date | None
"""A text, a number, a day, or nothing."""

LONGEST_FILE_NAME = 120


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its heading, how wide a spreadsheet shows it (in characters), names in italics."""

    heading: str | Promise
    width: int = 14
    is_name: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """A table. ``rows`` may be walked once, and reads the database as it goes.

    ``about`` are lines of heading and value; ``sheet`` the name of its sheet; the last column is
    always the notice in one line.
    """

    society: str
    title: str
    sheet: str
    columns: Sequence[Column]
    rows: Iterator[Sequence[Cell]]
    about: Sequence[tuple[str, Cell]]

    def file_name(self, ending: str) -> str:
        """Return a name that says society, place, time and kind, in plain letters."""
        words = slugify(f"{self.society} {self.title} {self.sheet}")[:LONGEST_FILE_NAME]
        return f"{words.strip('-') or 'logbook'}.{ending}"


def file_notice() -> list[str]:
    """Return the full notice for a file of many names: each sentence that holds for all."""
    for_deadly = {str(line) for line in notice_full(NoticeContext(danger=Danger.DEADLY))}
    held = [str(line) for line in notice_full() if str(line) in for_deadly]
    dangers = _(
        "What is held on harm stands in the column of dangers. Where nothing is held, that says "
        "nothing about harm, and something that is not listed may be there too."
    )
    return [held[0], dangers, *held[1:]]


def yes(value: bool) -> str:
    return _("yes") if value else ""
