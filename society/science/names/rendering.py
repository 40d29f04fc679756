"""Setting a scientific name: which words are italic and which upright.

Method: scientific names of every rank are set in italics; the words that tell rank (sect., var.,
f.), qualifiers (cf., agg., s.l.), the multiplication sign of a hybrid and authors are upright. In
a name that still carries its author the words with a capital after the first, other than those
led by a rank word, are read as the author's and set upright to the end.

Source: International Code of Nomenclature for algae, fungi, and plants, preface, on the italics of
scientific names (from memory); upright rank words and authors are common practice.

Worked example: 'Lactarius sect. Deliciosi' with author '(Fr.) Redeuilh' gives
[('Lactarius', True), (' sect. ', False), ('Deliciosi', True), (' (Fr.) Redeuilh', False)].
"""

from __future__ import annotations

from society.science.names.authorship import IN_AUTHORSHIP
from society.science.names.folding import fold
from society.science.names.vocabulary import GENUS_PARTS, QUALIFIER_WORDS, RANK_WORDS

_UPRIGHT = frozenset(
    [*RANK_WORDS, *GENUS_PARTS, *QUALIFIER_WORDS, "nothosubsp", "nothovar", "nothof"]
)


def render_parts(scientific_name: str, authorship: str = "") -> list[tuple[str, bool]]:
    """Return (text, italic) runs; joined they read as the name, a space and the authorship.

    Runs of spaces become one. An empty name and authorship give an empty list.
    """
    runs: list[tuple[str, bool]] = []
    words = scientific_name.split()
    led = authors = False
    for number, word in enumerate(words):
        upright = _is_upright(word, words[number + 1 : number + 2]) and number > 0
        # A capital after the first word that no rank word leads belongs to an author.
        authors = not led and (authors or (number > 0 and not upright and _of_author(word)))
        _add(runs, word, italic=not (authors or upright or word in ("×", "?")))
        led = upright and fold(word) not in QUALIFIER_WORDS
    for word in authorship.split():
        _add(runs, word, italic=False)
    return runs


def _is_upright(word: str, following: list[str]) -> bool:
    plain = fold(word)
    if not plain:
        return True  # a sign alone: the multiplication sign, a question mark
    if plain == "f":  # forma before an epithet; else filius after an author
        return bool(following) and following[0].islower() and following[0] not in IN_AUTHORSHIP
    return not word[:1].isupper() and (plain in _UPRIGHT or plain.replace(" ", "") in _UPRIGHT)


def _of_author(word: str) -> bool:
    return word.lstrip("([×\"'")[:1].isupper() or word in ("&", "ex", "et")


def _add(runs: list[tuple[str, bool]], word: str, *, italic: bool) -> None:
    """Append a word; the space before it goes to the upright run, so that italics end cleanly."""
    if not runs:
        runs.append((word, italic))
        return
    text, before = runs[-1]
    if before == italic:
        runs[-1] = (f"{text} {word}", italic)
    elif before:
        runs.append((f" {word}", italic))
    else:
        runs[-1] = (f"{text} ", before)
        runs.append((word, italic))
