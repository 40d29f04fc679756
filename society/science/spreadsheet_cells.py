"""Making text harmless in a spreadsheet's cell.

Method. A spreadsheet program reads a cell that begins with = + - or @ as a formula, some also
after a tab, a line break, spaces, a quote, an invisible sign, or with the wide forms of these
signs. Such a text gets an apostrophe before it, which makes every common program show it as
written. What is a plain number (a sign, digits, a point, an exponent) is left alone, so that
columns of numbers still add up. `as_written` takes the apostrophe off again when a file comes
back.

Source: common practice against formula injection in exported files.

Worked example: '=1+1' becomes "'=1+1", '-5' and '+3.2e-4' stay, '-5 m' becomes "'-5 m",
'Russula - young' stays.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Final

_STARTS_A_FORMULA: Final = frozenset("=+-@\u2212")
_PLAIN_NUMBER: Final = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?\Z")
_QUOTES: Final = frozenset("'\"`´‘’‚‛“”„‟«»‹›＇＂")
_APOSTROPHE: Final = "'"


def harmless(text: str) -> str:
    """Return the text for a cell, with an apostrophe before it where it could be run."""
    return _APOSTROPHE + text if _could_be_run(text) else text


def as_written(cell: str) -> str:
    """Return the text that `harmless` was given, from the cell that it gave."""
    if cell.startswith(_APOSTROPHE) and _could_be_run(cell[1:]):
        return cell[1:]
    return cell


def _could_be_run(text: str) -> bool:
    if _PLAIN_NUMBER.match(text):
        return False
    if text[:1] in ("\t", "\r", "\n"):
        return True
    for sign in text:
        if sign in _QUOTES or sign.isspace() or unicodedata.category(sign) in ("Cc", "Cf"):
            continue
        plain = unicodedata.normalize("NFKC", sign)
        return plain[:1] in _STARTS_A_FORMULA
    return False
