"""What the poisoning sheet reads: the society's numbers. One query, none when it is handed over."""

import datetime as dt
import re
from dataclasses import dataclass

from society.members.queries import society_settings

_DIALLED = re.compile(r"\+?[0-9][0-9 ().\-/]*")


@dataclass(frozen=True, slots=True)
class Number:
    """A number as the society wrote it, and the digits to dial where it is nothing but a number."""

    written: str
    dialled: str


@dataclass(frozen=True, slots=True)
class SheetNumbers:
    """The society's numbers; any may be None, and no number is ever made up."""

    society: str
    emergency: Number | None
    poison_centre: Number | None
    vet: Number | None
    checked_on: dt.date | None


def sheet_numbers() -> SheetNumbers:
    """Return the society's numbers for the sheet."""
    society = society_settings()
    return SheetNumbers(
        society=society.name,
        emergency=_number(society.emergency_number),
        poison_centre=_number(society.poison_centre_number),
        vet=_number(society.vet_number),
        checked_on=society.numbers_checked_on,
    )


def _number(written: str) -> Number | None:
    written = written.strip()
    if not written:
        return None
    # '111, choose 2' is shown and not linked: dialling its digits would reach somebody else.
    plain = _DIALLED.fullmatch(written)
    return Number(written, re.sub(r"[^0-9+]", "", written) if plain else "")
