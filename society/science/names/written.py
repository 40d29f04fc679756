"""Reading a name as somebody wrote it: genus, epithet, rank words, qualifier, author.

Method: the words are read from left to right by their shape alone; whether such a name exists is
for the index. A qualifier may stand before the name, between genus and epithet, before an
infraspecific epithet or at the end ('cf. Russula emetica', 'Russula cf. emetica', 'Armillaria
mellea s.l.', 'Russula emetica?'). A rank word in lower case leads the epithet that follows it
(subsp., var., f., f. sp.; sect., subgen. with a capital after it); of several the last counts.
What is left at the end is the authorship and after it a remark (see `authorship`), both kept as
written; a number or day in front of the name joins the remark. A subgenus in brackets before the
epithet is stepped over. After a genus cut short a last word in small letters with a full stop is an
epithet cut short ('L. det.'). A multiplication sign, or an x on its own, marks a hybrid: before the
genus, before the epithet, or between two names (a formula, of which the first is read). Where
several qualifiers stand the one that says least is kept: aff. before cf. before '?' before sp.
before group, agg., s.l., s.str.

Source: forms of names as in the International Code of Nomenclature for algae, fungi, and plants,
articles 5, 20-24, 46-50 and H.1-H.12 (from memory); open nomenclature (cf., aff., agg.) is common
practice.

Worked example: 'Amanita muscaria var. guessowii Veselý' gives genus 'Amanita', epithet 'muscaria',
infraspecific 'guessowii', rank 'variety', authorship 'Veselý'. 'russula CF emetica' gives genus
'Russula', epithet 'emetica', rank 'species', qualifier 'cf.'. '3 x Mentha × piperita L., in ditch
12.8.2019' gives name 'Mentha piperita', hybrid 'species', authorship 'L.', remark '3 x in ditch
12.8.2019'.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass, field, replace
from typing import Final, Literal

from society.science.names.authorship import (
    IN_AUTHORSHIP,
    REMARK_WORDS,
    is_another_sense,
    split_rest,
)
from society.science.names.folding import fold
from society.science.names.vocabulary import (
    GENUS_PARTS,
    QUALIFIER_WORDS,
    QUALIFIERS,
    RANK_WORDS,
    SHORT_RANKS,
    Qualifier,
)

Hybrid = Literal["genus", "species", "formula"]
LONGEST: Final = 300  # longer text is no name; it is kept as written and not read


@dataclass(frozen=True)
class WrittenName:
    """What the words of a name say, by shape alone. Parts not written are None.

    `infrageneric` is the name after sect., subgen. and the like. `rank` is one of kingdom ... form
    (see RANK_WORDS), or None where no name could be read. `is_uninformative`: the text says only
    that the fungus is not named ('?', 'unknown', 'sp.'). `hybrid`: what the sign stands before, or
    'formula' for two names of which the first was read; `name` leaves the sign out.
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
    hybrid: Hybrid | None = None
    remark: str = ""

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
        return is_another_sense(self.authorship, self.remark)


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
_MARKUP: Final = re.compile(r"</?(?:i|em|b|strong)>|\*+", re.IGNORECASE)
_NUMBERED: Final = re.compile(r"\b([Ss]pp?)\.?(\d+)\b")
_UNNAMED: Final = re.compile(r"[A-Z]\Z|nov\b|['‘]")  # 'sp. A', 'sp. nov.', "sp. 'white'"
_CROSS: Final = ("×", "x", "X")


@dataclass
class _Reader:
    """Where the reading stands: the words still to be read and what was found so far."""

    words: list[str]
    at: int = 0
    has_ended: bool = False  # a comma closed the name
    after_short_genus: bool = False  # 'L.' is read and what follows is its epithet
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
        word = self.peek().rstrip(",;:")
        if self._is_cut_short(word):
            self.at += 1
            return word[:-1]
        if not _EPITHET.match(word):
            return None
        if fold(word) in IN_AUTHORSHIP | REMARK_WORDS and (self.at > 1 or len(self.words) > 2):
            return None  # 'L. det' is an epithet's beginning, 'Lactarius det. Smith' is not
        if not (word.islower() or (shouted and word.isupper())):
            return None
        self.has_ended = word != self.peek()
        self.at += 1
        return word.lower()

    def _is_cut_short(self, word: str) -> bool:
        """Whether the last word is an epithet cut short after a genus cut short ('L. det.')."""
        if self.at != len(self.words) - 1 or not self.after_short_genus:
            return False
        plain = fold(word)
        if not (word.endswith(".") and word.islower() and _EPITHET.match(word[:-1])):
            return False
        return plain not in IN_AUTHORSHIP | _SAYS_NOTHING and plain not in RANK_WORDS


def parse_written_name(text: str) -> WrittenName:
    """Read a name as written. Never raises; what cannot be read leaves the parts None."""
    plain = " ".join(unicodedata.normalize("NFC", text).replace("_", " ").split())
    if not plain or len(plain) > LONGEST:
        return WrittenName(text, is_uninformative=not plain)
    plain, asked = _MARKED.subn(" ", _MARKUP.sub("", plain))
    before, words = _split_front(_words(plain))
    hybrid, words, other = _crossed(words)
    reader = _Reader(words)
    if asked:
        reader.qualifiers.add("?")
    if all(word in _SAYS_NOTHING for word in fold(" ".join(words)).split()) and not other:
        reader.take_qualifiers()
        return WrittenName(text, qualifier=_kept(reader.qualifiers), is_uninformative=True)
    read = _read(text, reader, shouted=_is_shouted(words))
    if read.genus is None:
        return read
    remark = " ".join(part for part in (before, read.remark, other) if part)
    return replace(read, hybrid=hybrid, remark=remark)


def _words(plain: str) -> list[str]:
    plain = _SPACED.sub(r"s.\1.", re.sub('["“”]', "", plain).strip(" ,;:"))
    plain = _NUMBERED.sub(r"\1. \2", plain)
    return _GLUED.sub(r"\1. ", plain).split()


def _split_front(words: list[str]) -> tuple[str, list[str]]:
    """What stands before the name (a number, a day, a bullet), and the words from the name on."""
    at = 0
    while at < len(words) and words[at] not in _CROSS and not words[at].lstrip("×([").isalpha():
        if not (re.search(r"\d", words[at]) or not fold(words[at])):
            break
        at += 1
    if at and at < len(words) - 1 and words[at] in _CROSS:
        at += 1  # '3 x Russula emetica'
    if at == len(words):
        return "", words
    return " ".join(words[:at]), words[at:]


def _crossed(words: list[str]) -> tuple[Hybrid | None, list[str], str]:
    """What kind of hybrid the signs make, the words without them, and a formula's second name."""
    hybrid: Hybrid | None = None
    kept: list[str] = []
    for at, word in enumerate(words):
        alone = word in _CROSS
        if alone and at + 1 == len(words):
            continue
        after = words[at + 1] if alone and at + 1 < len(words) else word.lstrip("×")
        if not alone and not word.startswith("×"):
            kept.append(word)
        elif not after[:1].isalpha():
            kept.append(word)  # 'x 3' counts specimens and stays in the remark
        elif len(kept) > 1 or (kept and after[:1].isupper() and not after.isupper()):
            return "formula", kept, " ".join(words[at:])
        else:
            hybrid = "species" if kept else "genus"
            if not alone:
                kept.append(after)
    return hybrid, kept, ""


def _is_shouted(words: list[str]) -> bool:
    """Whether genus and epithet stand in capitals ('RUSSULA EMETICA (Schaeff.) Pers.')."""
    first = [word for word in words if _qualifier(word) is None and len(word) > 1][:2]
    return bool(first) and all(word.isupper() for word in first) and first[0][-1:] != "."


def _qualifier(word: str) -> Qualifier | None:
    plain = fold(word)
    return QUALIFIER_WORDS.get(plain) or QUALIFIER_WORDS.get(plain.replace(" ", ""))


def _kept(found: set[Qualifier]) -> Qualifier | None:
    return next((qualifier for qualifier in QUALIFIERS if qualifier in found), None)


def _read(text: str, reader: _Reader, *, shouted: bool) -> WrittenName:
    reader.take_qualifiers()
    first = reader.peek().strip("\"'“”‘’").rstrip(",;:")
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
        reader.after_short_genus = first.endswith(".")
        epithet = reader.take_epithet(shouted)
        reader.after_short_genus = False
    if epithet:
        rank = "species"
        infraspecific, lower = _below_species(reader, shouted)
        rank = lower or rank
    reader.take_qualifiers()
    authorship, remark = _rest(reader)
    qualifier = _kept(reader.qualifiers)
    if rank == "species" and qualifier in ("agg.", "group"):
        rank = "aggregate"
    return WrittenName(
        text,
        genus,
        epithet,
        infraspecific,
        rank,
        qualifier,
        authorship,
        infrageneric=infrageneric,
        remark=remark,
    )


def _below_species(reader: _Reader, shouted: bool) -> tuple[str | None, str | None]:
    """The epithet within the species and its rank, stepping over the species' author."""
    start = reader.at
    if reader.has_ended:
        return None, None
    reader.take_qualifiers()
    third = reader.take_epithet(shouted)
    last = reader.at == len(reader.words) or re.match(r"\(?[A-Z]", reader.peek())
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


def _rest(reader: _Reader) -> tuple[str, str]:
    """The authorship and the remark: what is left, without the qualifiers among the authors."""
    rest = reader.words[reader.at :]
    while rest:
        pair = QUALIFIER_WORDS.get(fold(" ".join(rest[-2:]))) if len(rest) > 1 else None
        single = _qualifier(rest[-1])
        if pair is None and single is None:
            break
        reader.qualifiers.add(pair or single or "?")
        rest = rest[: -2 if pair else -1]
    kept: list[str] = []
    at = 0
    while at < len(rest):
        found = _qualifier(rest[at])
        if found in ("s.l.", "s.str.", "agg.", "group", "?") and rest[at][:1].islower():
            reader.qualifiers.add(found)
        else:
            kept.append(rest[at])
        at += 1
    if "sp." in reader.qualifiers and kept and _UNNAMED.match(kept[0]):
        return "", " ".join(kept)
    return split_rest(kept)
