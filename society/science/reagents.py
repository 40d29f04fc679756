"""Reading a written reagent into the code that accounts tell readings by.

Method. The words are folded to small plain letters; where the drop was put ('on cap', 'to the
stem', 'at the base') and how strong it was ('10 %') are left out. What is left is looked up among
the names in use of each reagent. What is not found there keeps its own words, joined, so that the
same words come to the same code.

Source: common practice; the names are those in use for the reagents of the vocabulary.

Worked example. 'KOH on cap' and 'potassium hydroxide, 5%' are both 'koh'; 'Iron salts' is
'iron_salts'; 'beet juice' is 'beet_juice'.
"""

from __future__ import annotations

import re
from typing import Final

from society.science.names import fold

_NAMES: Final[dict[str, tuple[str, ...]]] = {
    "ammonia": ("ammonia", "nh3", "nh4oh", "ammonium hydroxide"),
    "bleach": ("bleach", "bleach c", "c", "calcium hypochlorite", "sodium hypochlorite"),
    "formalin": ("formalin", "formol", "formaldehyde"),
    "guaiac": ("guaiac", "guaiac tincture", "gum guaiac", "guaiacum"),
    "iodine": ("iodine", "iodine solution", "lugol", "lugols", "lugol s", "iki"),
    "iron_salts": (
        "iron salts",
        "iron salt",
        "iron sulphate",
        "iron sulfate",
        "ferrous sulphate",
        "ferrous sulfate",
        "feso4",
        "iron salts iron sulphate",
    ),
    "koh": ("koh", "k", "potash", "potassium hydroxide", "potassium hydroxide koh"),
    "melzer": ("melzer", "melzers", "melzer s", "melzer s reagent", "melzers reagent"),
    "naoh": ("naoh", "sodium hydroxide", "sodium hydroxide naoh", "caustic soda"),
    "paraphenylenediamine": ("paraphenylenediamine", "p", "pd", "paraphenylenediamine p"),
    "phenol": ("phenol",),
    "sulphovanillin": ("sulphovanillin", "sulfovanillin", "sv"),
}
_CODES: Final = {name: code for code, names in _NAMES.items() for name in names}
_WHERE: Final = re.compile(r"\b(?:on|to|at|in|with)\b.*")
_STRENGTH: Final = re.compile(r"\b\d+(?:\s*(?:%|per cent|percent|pc))|\b\d+\b(?!\w)")


def read_reagent(text: str) -> str:
    """Return the code of a reagent as somebody wrote it; empty for nothing written."""
    words = text.casefold().replace("%", " % ")
    words = _WHERE.sub("", words) or words
    words = _STRENGTH.sub(" ", words)
    plain = " ".join(re.sub(r"[^\w]+", " ", fold(words)).replace("_", " ").split())
    return _CODES.get(plain, plain.replace(" ", "_"))
