"""How a Latin name sounds: one spelling for what is said alike, so that dictated names meet.

Method: on the folded word, letter groups that readers of botanical Latin say alike are written one
way: ae and oe as e, ph as f, th as t, rh as r, y and j as i, k, q, ch and c as c, w as v; an h that
is left is silent and goes; double letters, and so a final -ii, are written once. Sounding twice
changes nothing.

Source: our own small fold; the equivalences are those along which spellings of epithets vary or
are corrected under the International Code of Nomenclature for algae, fungi, and plants, article
60 (from memory), and common practice in dictation.

Worked example: 'rhacodes' and 'racodes' both sound 'racodes'; 'phylloides' and 'filoides' both
'filoides'; 'coerulea' and 'cerulea' both 'cerulea'; 'bresadolae' and 'bresadole' both 'bresadole';
'kuehneri' and 'chuehnerii' both 'cueneri'.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

_GROUPS: Final = (
    ("ae", "e"),
    ("oe", "e"),
    ("ph", "f"),
    ("ch", "c"),
    ("h", ""),
)
_LETTERS: Final = str.maketrans({"y": "i", "j": "i", "k": "c", "q": "c", "w": "v"})
_DOUBLE: Final = re.compile(r"(.)\1+")


@lru_cache(maxsize=65536)
def sound(words: str) -> str:
    """Return folded words as they sound; spaces stay."""
    plain = words
    for group, letter in _GROUPS:
        plain = plain.replace(group, letter)
    plain = _DOUBLE.sub(r"\1", plain.translate(_LETTERS))
    # Letters that went may bring a group together ('ahe'); what stands then is sounded again.
    return plain if plain == words else sound(plain)
