"""Which states of a character the words somebody wrote come to.

Method. The words are folded to lower case and plain letters. A state whose whole name stands in
them is meant; the longest names are looked for first and what they cover is taken out, so that
'rusty brown' is not read as 'brown' too. Where no whole name stands there, a state is meant whose
code stands there as a word. What is denied ('not white', 'without pink tint') is left out up to
the next stop or comma. What comes to nothing is left unread.

Source: common practice.

Worked example. With cream='cream', clay='clay brown', brown='brown': 'pale cream to clay brown'
gives cream and clay; 'like old ivory' gives nothing.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final

from society.science.names import fold

_DENIED: Final = re.compile(r"\b(?:not|no|never|without|nor)\b[^,;.]*")


def states_written(text: str, states: Mapping[str, str]) -> frozenset[str]:
    """Return the codes of the states, given with their names, that the words come to."""
    left = f" {_plain(_DENIED.sub(' ', text.casefold()))} "
    found = set()
    for code, name in sorted(states.items(), key=lambda item: -len(item[1])):
        words = f" {_plain(name)} "
        if words.strip() and words in left:
            found.add(code)
            left = left.replace(words, " ; ")
    if not found:
        found = {code for code in states if f" {code.replace('_', ' ')} " in left}
    return frozenset(found)


def _plain(text: str) -> str:
    return " ".join(re.sub(r"[^\w]+", " ", fold(text)).split())
