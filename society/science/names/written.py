"""Reading a name as somebody wrote it: genus, epithet, rank words, qualifier, author.

Method: the words are read from left to right by their shape alone; whether such a name exists is
for the index. A qualifier may stand before the name, between genus and epithet, before an
infraspecific epithet or at the end ('cf. Russula emetica', 'Russula cf. emetica', 'Armillaria
mellea s.l.', 'Russula emetica?'). A rank word in lower case leads the epithet that follows it
(subsp., var., f., f. sp.; sect., subgen. with a capital after it); of several the last counts.
What is left at the end is the authorship, kept as written; 'auct.' and 'sensu' with what follows
are part of it. A subgenus in brackets before the epithet is stepped over. Where several qualifiers
stand the one that says least is kept: aff. before cf. before '?' before sp. before
group, agg., s.l., s.str.

Source: forms of names as in the International Code of Nomenclature for algae, fungi, and plants,
articles 5, 20-24 and 46-50 (from memory); open nomenclature (cf., aff., agg.) is common practice.

Worked example: 'Amanita muscaria var. guessowii Veselý' gives genus 'Amanita', epithet 'muscaria',
infraspecific 'guessowii', rank 'variety', authorship 'Veselý'. 'russula CF emetica' gives genus
'Russula', epithet 'emetica', rank 'species', qualifier 'cf.'.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, field
from typing import Final, Literal

from society.science.names.folding import fold

Qualifier = Literal["aff.", "cf.", "?", "sp.", "group", "agg.", "s.l.", "s.str."]
# The first of these is kept where several stand.
QUALIFIERS: Final[tuple[Qualifier, ...]] = (
    "aff.",
    "cf.",
    "?",
    "sp.",
    "group",
    "agg.",
    "s.l.",
    "s.str.",
)
LONGEST: Final = 300  # longer text is no name; it is kept as written and not read


@dataclass(frozen=True)
class WrittenName:
    """What the words of a name say, by shape alone. Parts not written are None.

    `infrageneric` is the name after sect., subgen. and the like. `rank` is one of kingdom ... form
    (see RANK_WORDS), or None where no name could be read. `is_uninformative`: the text says only
    that the fungus is not named ('?', 'unknown', 'sp.').
    """

    text: str
    genus: str | None = None
    epithet: str | None = None
    infraspecific: str | None = None
    rank: str | None = None
    qualifier: Qualifier | None = None
    authorship: str = ""
    is_uninformative: bool = False
    infrageneric: str | None = None

    @property
    def name(self) -> str:
        """The name put together in its usual form, without qualifier and authorship."""
        if self.genus is None:
            return ""
        parts = [self.genus]
        if self.infrageneric:
            parts += [SHORT_RANKS.get(self.rank or "", ""), self.infrageneric]
        if self.epithet:
            parts.append(self.epithet)
        if self.infraspecific:
            parts += [SHORT_RANKS.get(self.rank or "", ""), self.infraspecific]
        return " ".join(part for part in parts if part)

    @property
    def in_another_sense(self) -> bool:
        """Whether the author is given as 'auct.' or 'sensu': the name as somebody misapplied it."""
        return bool(re.match(r"(auctt?|sensu|ss|non|nec)\b", self.authorship, re.IGNORECASE))


# Folded rank word: rank. Those within a species lead a small letter, those in a genus a capital.
RANK_WORDS: Final[dict[str, str]] = {
    "subsp": "subspecies",
    "ssp": "subspecies",
    "subspecies": "subspecies",
    "var": "variety",
    "v": "variety",
    "variety": "variety",
    "varietas": "variety",
    "subvar": "subvariety",
    "subf": "subform",
    "f": "form",
    "fo": "form",
    "forma": "form",
    "form": "form",
    "f sp": "special form",
}
GENUS_PARTS: Final[dict[str, str]] = {
    "sect": "section",
    "section": "section",
    "sectio": "section",
    "subsect": "subsection",
    "subsection": "subsection",
    "subgen": "subgenus",
    "subg": "subgenus",
    "subgenus": "subgenus",
    "ser": "series",
    "series": "series",
    "stirps": "stirps",
}
SHORT_RANKS: Final[dict[str, str]] = {
    "subspecies": "subsp.",
    "variety": "var.",
    "subvariety": "subvar.",
    "form": "f.",
    "subform": "subf.",
    "special form": "f. sp.",
    "section": "sect.",
    "subsection": "subsect.",
    "subgenus": "subgen.",
    "series": "ser.",
    "stirps": "stirps",
}
QUALIFIER_WORDS: Final[dict[str, Qualifier]] = {
    "cf": "cf.",
    "cfr": "cf.",
    "conf": "cf.",
    "aff": "aff.",
    "affin": "aff.",
    "affinis": "aff.",
    "agg": "agg.",
    "aggr": "agg.",
    "aggregate": "agg.",
    "sp": "sp.",
    "spp": "sp.",
    "species": "sp.",
    "indet": "sp.",
    "group": "group",
    "grp": "group",
    "gr": "group",
    "complex": "group",
    "sl": "s.l.",
    "slat": "s.l.",
    "sstr": "s.str.",
    "sens lat": "s.l.",
    "sensu lato": "s.l.",
    "sens str": "s.str.",
    "sensu stricto": "s.str.",
    "s l": "s.l.",
    "s lat": "s.l.",
    "s s": "s.str.",
    "s str": "s.str.",
    "ss str": "s.str.",
    "ss lat": "s.l.",
}
# Small words that belong to an authorship, so that no epithet is read out of one.
_CONNECTING: Final = (
    "and apud auct auctt bis comb da de den der des dos du emend et ex fil in ined la le nec "
    "nom non sensu ss ten ter van von y zu"
)
IN_AUTHORSHIP: Final = frozenset(_CONNECTING.split())
_EMPTY_WORDS: Final = (
    "a agaric an any be big black bolete bracket brown crust cup dont fungi fungus gray grey "
    "ignota ignotus incertae indet indeterminate job know large lbj lbm little mushroom "
    "mushrooms na name named nil no none not of polypore red sedis see small some sp species "
    "spp the to toadstool toadstools undetermined unidentified unknown unnamed white yet"
)
_SAYS_NOTHING: Final = frozenset(_EMPTY_WORDS.split())
# An ending that tells the rank of a single capitalised word above the genus.
_HIGHER: Final = (
    ("aceae", "family"),
    ("ales", "order"),
    ("mycetes", "class"),
    ("mycetidae", "subclass"),
    ("mycota", "phylum"),
    ("mycotina", "subphylum"),
)
_EPITHET: Final = re.compile(r"[^\W\d_]{2,}(?:-[^\W\d_]+)*\Z")
_WORD: Final = re.compile(r"[^\W\d_]+(?:-[^\W\d_]+)*\.?\Z")
_BRACKETED: Final = re.compile(r"\([^\W\d_]+\)\Z")
_GLUED: Final = re.compile(r"\A([^\W\d_]{1,4})\.(?=[^\W\d_]{2,})")
_SPACED: Final = re.compile(r"\bs(?:ens?)?\.\s*(l|lat|str|s)\.(?=\s|\Z)")
_MARKED: Final = re.compile(r"\(\s*\?+\s*\)|\?+")


@dataclass
class _Reader:
    """Where the reading stands: the words still to be read and what was found so far."""

    words: list[str]
    at: int = 0
    qualifiers: set[Qualifier] = field(default_factory=set)

    def peek(self, ahead: int = 0) -> str:
        return self.words[self.at + ahead] if self.at + ahead < len(self.words) else ""

    def take_qualifiers(self) -> None:
        """Step over every qualifier that stands here."""
        while True:
            pair = fold(f"{self.peek()} {self.peek(1)}")
            if self.peek(1) and pair in QUALIFIER_WORDS:
                self.qualifiers.add(QUALIFIER_WORDS[pair])
                self.at += 2
                continue
            found = _qualifier(self.peek())
            if found is None:
                return
            self.qualifiers.add(found)
            self.at += 1

    def take_epithet(self, shouted: bool) -> str | None:
        """Take an epithet in small letters if one stands here."""
        word = self.peek()
        if not _EPITHET.match(word) or fold(word) in IN_AUTHORSHIP:
            return None
        if not word.islower() and not shouted:
            return None
        self.at += 1
        return word.lower()


def parse_written_name(text: str) -> WrittenName:
    """Read a name as written. Never raises; what cannot be read leaves the parts None."""
    plain = " ".join(unicodedata.normalize("NFC", text).replace("_", " ").split())
    if not plain or len(plain) > LONGEST:
        return WrittenName(text, is_uninformative=not plain)
    plain, asked = _MARKED.subn(" ", plain)
    reader = _Reader(_words(plain))
    if asked:
        reader.qualifiers.add("?")
    if all(word in _SAYS_NOTHING for word in fold(plain).split()):
        reader.take_qualifiers()
        return WrittenName(text, qualifier=_kept(reader.qualifiers), is_uninformative=True)
    return _read(text, reader, shouted=plain.isupper())


def _words(plain: str) -> list[str]:
    plain = _SPACED.sub(r"s.\1.", plain.strip(' ,;:"“”'))
    plain = _GLUED.sub(r"\1. ", plain)
    words = (word.lstrip("×") for word in plain.split())
    return [word for word in words if word not in ("", "x", "X")]


def _qualifier(word: str) -> Qualifier | None:
    plain = fold(word)
    return QUALIFIER_WORDS.get(plain) or QUALIFIER_WORDS.get(plain.replace(" ", ""))


def _kept(found: set[Qualifier]) -> Qualifier | None:
    return next((qualifier for qualifier in QUALIFIERS if qualifier in found), None)


def _read(text: str, reader: _Reader, *, shouted: bool) -> WrittenName:
    reader.take_qualifiers()
    first = reader.peek()
    if not _WORD.match(first):
        return WrittenName(text, qualifier=_kept(reader.qualifiers))
    genus = first[:1].upper() + first[1:].lower()
    reader.at += 1
    reader.take_qualifiers()
    epithet = infraspecific = infrageneric = None
    rank = next((rank for ending, rank in _HIGHER if genus.endswith(ending)), "genus")
    lead = GENUS_PARTS.get(fold(reader.peek()))
    if lead and _WORD.match(reader.peek(1)):
        rank, infrageneric = lead, reader.peek(1).capitalize()
        reader.at += 2
    elif rank == "genus":
        if _BRACKETED.match(reader.peek()) and _EPITHET.match(reader.peek(1)):
            reader.at += 1  # a subgenus in brackets is no part of the species' name
        epithet = reader.take_epithet(shouted)
    if epithet:
        rank = "species"
        infraspecific, lower = _below_species(reader, shouted)
        rank = lower or rank
    reader.take_qualifiers()
    authorship = _authorship(reader)
    qualifier = _kept(reader.qualifiers)
    if rank == "species" and qualifier in ("agg.", "group"):
        rank = "aggregate"
    return WrittenName(
        text, genus, epithet, infraspecific, rank, qualifier, authorship, False, infrageneric
    )


def _below_species(reader: _Reader, shouted: bool) -> tuple[str | None, str | None]:
    """The epithet within the species and its rank, stepping over the species' author."""
    start = reader.at
    reader.take_qualifiers()
    third = reader.take_epithet(shouted)
    last = reader.at == len(reader.words)
    if third and last and fold(third) not in RANK_WORDS:
        return third, "variety"  # three names and no rank word: read as a variety
    # The last rank word counts: the ranks between it and the species are no part of the name.
    for at in reversed(range(start, len(reader.words))):
        reader.at = at
        steps = 2 if fold(f"{reader.peek()} {reader.peek(1)}") == "f sp" else 1
        word = fold(" ".join(reader.words[at : at + steps]))
        if word not in RANK_WORDS or not (reader.words[at].islower() or shouted):
            continue
        reader.at = at + steps
        reader.take_qualifiers()
        epithet = reader.take_epithet(shouted)
        if epithet:
            return epithet, RANK_WORDS[word]
    reader.at = start
    return None, None


def _authorship(reader: _Reader) -> str:
    """What is left, without the qualifiers at its end."""
    rest = reader.words[reader.at :]
    while rest:
        pair = QUALIFIER_WORDS.get(fold(" ".join(rest[-2:]))) if len(rest) > 1 else None
        single = _qualifier(rest[-1])
        if pair is None and single is None:
            break
        reader.qualifiers.add(pair or single or "?")
        rest = rest[: -2 if pair else -1]
    return " ".join(rest).strip(" ,;")
