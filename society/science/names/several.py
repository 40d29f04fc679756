"""Where one line holds several names: what stands between them, and which are kept.

Method: the words are parted at the signs and small words that stand between names (/ ; , + & = and
brackets, a dash, × or x on its own, 'or', 'and', 'with', 'versus', 'not'). A part of one word in
small letters may be an epithet of the genus before it ('Amanita phalloides / virosa'), and a genus
cut short that before it ('Amanita citrina or A. virosa'). Whether a part names anything is for the
index. Of the names found at most five are kept; a dangerous one goes before every harmless one.

Source: common practice; the rule on dangerous species is our own.

Worked example: 'Amanita citrina / A. virosa' gives the parts ('Amanita citrina',) and
('Amanita virosa', 'A. virosa').
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from typing import Final

from society.science.names.entries import Match

MOST_NAMES: Final = 5
_BETWEEN: Final = re.compile(
    r"[/;,+|&=()\[\]]|\s[-–—×xX](?=\s)|\s×(?=[^\W\d_])|\?\s+(?=[A-Z])"
    r"|\b(?:or|and|with|versus|vs|not)\b\.?",
    re.IGNORECASE,
)
# The sign of a hybrid species stands between no two names.
_HYBRID: Final = re.compile(r"((?:\A|[/;,+|&(])\s*[A-Z][a-z]*\.?)\s+(?:×\s*|[xX]\s+)(?=[a-z])")
_GENUS: Final = re.compile(r"([A-Z][a-z]{2,})\b(?!\.)")
_SHORT: Final = re.compile(r"([A-Z][a-z]{0,3})\.\s*(?=[a-z])")
_SMALL: Final = re.compile(r"[a-z][a-z-]{2,}\Z")


def parts_of(text: str) -> list[tuple[str, ...]]:
    """The parts of a line that may each be a name, each with its readings, the fuller first."""
    parts: list[tuple[str, ...]] = []
    genus = ""
    plain = _HYBRID.sub(r"\1 ", text)
    for part in (" ".join(words.split()).strip("?. ") for words in _BETWEEN.split(plain)):
        if sum(sign.isalpha() for sign in part) < 3:
            continue
        readings = [part]
        short = _SHORT.match(part)
        if genus and _SMALL.match(part):
            readings.insert(0, f"{genus} {part}")
        elif short and genus.startswith(short[1]):
            readings.insert(0, f"{genus} {part[short.end() :]}")
        found = _GENUS.match(part)
        genus = found[1] if found else genus
        parts.append(tuple(readings))
    return parts


def kept_of_several(named: Iterable[Match], near: Iterable[Match]) -> tuple[Match, ...]:
    """The names a line holds (`named`, one a part) and dangerous ones that a part may also mean.

    Their confidence is at most an equal share; best first, at most five, the dangerous kept first.
    """
    best = {match.accepted_key: match for match in reversed(list(named))}
    share = round(1 / max(len(best), 1), 3)
    found = [
        replace(match, confidence=min(match.confidence, share))
        for match in reversed(list(best.values()))
    ]
    for match in near:
        if match.accepted_key not in {held.accepted_key for held in found}:
            found.append(replace(match, confidence=round(match.confidence * share, 3)))
    first = sorted(found, key=lambda match: not match.dangerous)[:MOST_NAMES]
    return tuple(
        sorted((match for match in found if match in first), key=lambda match: -match.confidence)
    )
