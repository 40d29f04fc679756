"""Fold a text to plain lower-case letters while keeping the way back to the writer's characters.

Accents, ligatures, full-width letters, soft hyphens and letters of the Cyrillic alphabet that look
like Latin ones are folded away, so that 'délicieux', 'DELICIEUX' and 'deli\u00adcieux' read alike.
Sentence marks stay, because negation and questions end at them; all else becomes one space.
"""

import re
import unicodedata

SIGNS = "😋🤤🍽🍴🍳🥘🍲🤮🤢☠💀"
_APOSTROPHES = frozenset("'’‘ʼ`´＇")
_MARKS = frozenset(".,;:!?")
_BRACKETS = frozenset("()[]{}")
_SHORTENED = re.compile(r"(?:t|s|re|ve|ll|d|m)(?![^\W\d_])", re.IGNORECASE)
_LETTERS = {
    **dict(zip("łøđıðþŋ", "lodidpn", strict=True)),
    **dict(zip("аеорсухіјѕкмтнв", "aeopcyxijskmthb", strict=True)),
    "æ": "ae",
    "œ": "oe",
}


def fold(text: str) -> tuple[str, tuple[int, ...]]:
    """Return the folded text and, for each of its characters, the index in ``text`` it came from.

    >>> fold("Pâté – n'est-ce pas?")[0]
    'pate n est ce pas?'
    >>> fold("It's DELI\\u00adCIOUS!")[0]
    'its delicious!'
    """
    signs: list[str] = []
    came_from: list[int] = []
    line_ends = 0
    for index, character in enumerate(text):
        line_ends = line_ends + 1 if character == "\n" else line_ends
        folded = _folded(text, index, character)
        if folded == " ":
            if line_ends == 2:
                folded = "."
            elif signs and signs[-1] == " ":
                continue
        elif folded:
            line_ends = 0
        for sign in folded:
            signs.append(sign)
            came_from.append(index)
    return "".join(signs), tuple(came_from)


def _folded(text: str, index: int, character: str) -> str:
    if "a" <= character <= "z" or "0" <= character <= "9" or character in _MARKS:
        return character
    if "A" <= character <= "Z":
        return character.lower()
    if character in _APOSTROPHES:
        # "isn't" and "it's" become one word, "l'excellent" two.
        inside = index > 0 and text[index - 1].isalpha()
        return "" if inside and _SHORTENED.match(text, index + 1) else " "
    if character in _BRACKETS:
        return ","
    if character in SIGNS:
        return character
    return _folded_rare(character)


def _folded_rare(character: str) -> str:
    folded = ""
    for sign in unicodedata.normalize("NFKD", character.casefold()):
        if unicodedata.category(sign) in ("Mn", "Me", "Cf"):
            continue
        plain = _LETTERS.get(sign, sign)
        if plain.isalnum() or plain in _MARKS:
            folded += plain
        elif not folded.endswith(" "):
            folded += " "
    return folded
