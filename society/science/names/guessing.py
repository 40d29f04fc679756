"""What a name that is not in the checklist as written may have meant: guesses, each with a cost.

Method. Genus and epithet are compared word by word. The distance of two words is the least of: the
letters to drop, add, change or swap with their neighbour (optimal string alignment); the same on
how they sound, and a little; a small constant where only the Latin ending differs. A genus cut
short ('L.', 'Lact') or an epithet cut short ('det', a column too narrow) costs a constant; an
epithet found unchanged in another genus costs more, less where other names are known to have moved
between the two genera. An English name is compared whole. One guess stands for each accepted name,
the cheapest. Where the first letter is wrong, the rest must agree. Costs are in letters: 1 is a
letter wrong. `confidence` makes them into shares.

Source: the distance is that of rapidfuzz (`OSA`), a general library; the constants were set from
the measurement of `tests/bench/names.py`.

Worked example: for 'Lactarius deterimus' the guess *Lactarius deterrimus* costs 0.4, as both sound
alike; for 'L. det' it costs the constants of a short genus and a short epithet.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final, Literal

from rapidfuzz import process
from rapidfuzz.distance import OSA

from society.science.names.folding import fold
from society.science.names.sounding import sound
from society.science.names.vocabulary import GENUS_PARTS, RANK_WORDS
from society.science.names.written import WrittenName

Way = Literal["whole", "short", "cut", "genus", "spelt", "both", "english", "moved"]

ALIKE: Final = 0.4  # sounds alike
ENDING: Final = 0.6  # another Latin ending
SHORT_GENUS: Final = 0.2
CUT_EPITHET: Final = 0.8
NO_GENUS: Final = 0.6
MOVED_KNOWN: Final = 1.5  # an epithet in a genus from which other names moved to this one
MOVED: Final = 2.5
SAYS_MORE: Final = 2.5  # one of the two has an epithet more
AGGREGATE: Final = 0.3
ENGLISH_CUT: Final = 0.8
WORD_LEFT_OUT: Final = 1.2  # an English name cut between words: 'Sycamore' is no rust of it
GLUED: Final = 0.4
_ENDINGS: Final = (
    *("orum", "arum", "iae", "ense", "ensis", "ius", "ium", "us", "um", "is", "er", "rum", "ra"),
    *("ae", "ii", "ia", "os", "on", "es", "a", "e", "i", "o"),
)
_RANKS: Final = frozenset([*RANK_WORDS, *GENUS_PARTS, "agg", "group"])
_LONGEST_SHORT_GENUS: Final = 5


@dataclass(frozen=True)
class Guess:
    """A row the words may mean: its place in the index, how it was reached, what it costs.

    `letters` are those written for the words that were cut short, else those of the whole name.
    `reads_all`: an English name that was compared with all that was written, remark and all.
    """

    place: int
    way: Way
    cost: float
    letters: int
    reads_all: bool = False


@dataclass(frozen=True)
class Asked:
    """The written name taken apart for comparing; folded. `whole` is without remark, `full` all."""

    genus: str
    epithet: str
    below: str
    is_aggregate: bool
    genus_is_short: bool
    whole: str
    full: str


def asked(written: WrittenName, whole: str, *, is_aggregate: bool = False) -> Asked:
    """Take a written name apart; a capital epithet that passes for an author counts as epithet."""
    epithet = fold(written.epithet or "").replace(" ", "")
    first = written.authorship.split()[0] if written.authorship else ""
    if not epithet and written.rank == "genus" and first.isalpha() and len(first) > 3:
        epithet = fold(first)
    as_written = written.genus or ""
    genus = fold(as_written)
    if written.infrageneric:
        genus = epithet = ""  # a section is compared whole, its genus alone says less
    is_short = as_written.endswith(".") or len(genus) <= _LONGEST_SHORT_GENUS
    below = fold(written.infraspecific or "").replace(" ", "")
    return Asked(genus, epithet, below, is_aggregate, is_short, whole, fold(written.text))


class Words:
    """A set of words, asked for those near a word by letters or by sound."""

    def __init__(self, words: Iterable[str], *, inflected: bool = False) -> None:
        """Enter the words; `inflected` where another Latin ending is the same word."""
        self._inflected = inflected
        self._words = sorted(set(words))
        self._by_length: dict[tuple[str, int], list[str]] = defaultdict(list)
        self._by_sound: dict[tuple[str, int], list[str]] = defaultdict(list)
        self._tails: dict[str, list[str]] = defaultdict(list)
        self._sounding: dict[str, list[str]] = defaultdict(list)
        self._by_stem: dict[str, list[str]] = defaultdict(list)
        for word in self._words:
            self._by_length[word[:1], len(word)].append(word)
            self._tails[word[1:]].append(word)
            self._sounding[sound(word)].append(word)
            self._by_stem[stem(word)].append(word)
        for sounded in self._sounding:
            self._by_sound[sounded[:1], len(sounded)].append(sounded)
        self.near = lru_cache(maxsize=4096)(self._near)

    def beginning(self, start: str) -> Iterator[str]:
        """Every word that begins so, in order."""
        for at in range(bisect_left(self._words, start), len(self._words)):
            if not self._words[at].startswith(start):
                return
            yield self._words[at]

    def _near(self, word: str) -> Mapping[str, float]:
        """Words near this one, with their distance in letters."""
        most = 1 if len(word) <= 4 else 2 if len(word) <= 7 else 3
        found: dict[str, float] = {}
        for other in self._first_letter_wrong(word) if len(word) > 4 else ():
            found[other] = 1.0
        for other, distance in _within(word, self._by_length, most):
            found[other] = float(distance)
        for sounded, distance in _within(sound(word), self._by_sound, most - 1):
            for other in self._sounding[sounded]:
                found[other] = min(found.get(other, 9.0), distance + ALIKE)
        for other in self._by_stem.get(stem(word), ()) if self._inflected else ():
            found[other] = min(found.get(other, 9.0), ENDING)
        if word in found:
            found[word] = 0.0
        return found

    def _first_letter_wrong(self, word: str) -> Iterator[str]:
        """Words that differ at the first letter alone: another, one too few, too many, swapped."""
        yield from self._tails.get(word[1:], ())
        yield from self._tails.get(word, ())
        for other in (word[1:], word[1] + word[0] + word[2:]):
            if other in self._tails.get(other[1:], ()):
                yield other


class Guesser:
    """Guesses over the names of an index: `names` folded, `english` and `single` by place."""

    def __init__(self, names: Sequence[str], english: Sequence[bool], accepted: Sequence[int]):
        """Take the names apart; `accepted` are the keys of the accepted names they lead to."""
        self._names = names
        self._parts: list[tuple[str, str, str]] = []
        self._by_epithet: dict[str, list[int]] = defaultdict(list)
        self._by_genus: dict[str, list[int]] = defaultdict(list)
        self._by_english: dict[str, list[int]] = defaultdict(list)
        self._glued: dict[str, list[int]] = defaultdict(list)
        for place, name in enumerate(names):
            genus, epithet, below = ("", "", "") if english[place] else _taken_apart(name)
            self._parts.append((genus, epithet, below))
            self._glued[name.replace(" ", "")].append(place)
            if english[place]:
                self._by_english[name].append(place)
            elif epithet:
                self._by_epithet[epithet].append(place)
            elif not below:
                self._by_genus[genus].append(place)
        self._genera = Words(genus for genus, _, _ in self._parts if genus)
        self._epithets = Words(self._by_epithet, inflected=True)
        self._english = Words(self._by_english)
        self._moves = self._moves_known(accepted)

    def _moves_known(self, accepted: Sequence[int]) -> frozenset[tuple[str, str]]:
        """Pairs of genera in which the checklist holds one species under both."""
        genera: dict[int, set[str]] = defaultdict(set)
        for (genus, epithet, _), key in zip(self._parts, accepted, strict=True):
            if epithet:
                genera[key].add(genus)
        return frozenset((one, two) for held in genera.values() for one in held for two in held)

    def guesses(self, name: Asked) -> Iterator[Guess]:
        """Every guess, in no sequence; a row may come more than once."""
        if name.genus and name.epithet:
            yield from self._species(name)
        elif name.genus:
            yield from self._single(name)
        for guess in self._english_names(name.full):
            yield replace(guess, reads_all=True)
        if name.full != name.whole:
            yield from self._english_names(name.whole)
        for place in self._glued.get(name.whole.replace(" ", ""), ()):
            cost = 0.0 if self._names[place] == name.whole else GLUED
            yield Guess(place, "spelt" if cost else "whole", cost, len(name.whole))

    def _species(self, name: Asked) -> Iterator[Guess]:
        near = dict(self._epithets.near(name.epithet))
        for epithet, away in near.items():
            for place in self._by_epithet[epithet]:
                yield from self._with_genus(name, place, away, cut=False)
        if len(name.epithet) >= 2:
            for epithet in self._epithets.beginning(name.epithet):
                if epithet != name.epithet:
                    for place in self._by_epithet[epithet]:
                        yield from self._with_genus(name, place, CUT_EPITHET, cut=True)

    def _with_genus(self, name: Asked, place: int, away: float, *, cut: bool) -> Iterator[Guess]:
        genus, _, below = self._parts[place]
        extra = _below(name, below)
        letters = len(name.genus) + len(name.epithet)
        if genus == name.genus:
            way: Way = "cut" if cut else "spelt" if away or extra else "whole"
            yield Guess(place, way, away + extra, len(name.epithet) if cut else letters)
            return
        if name.genus_is_short and genus.startswith(name.genus):
            way = "cut" if cut else "both" if away or extra else "short"
            yield Guess(place, way, SHORT_GENUS + away + extra, len(name.epithet))
        genus_away = self._genera.near(name.genus).get(genus)
        if genus_away is not None:
            yield Guess(place, "spelt", genus_away + away + extra, letters)
        elif not cut and away <= ENDING and not name.genus_is_short:
            known = (name.genus, genus) in self._moves
            cost = (MOVED_KNOWN if known else MOVED) + away + extra
            yield Guess(place, "moved", cost, len(name.epithet))

    def _single(self, name: Asked) -> Iterator[Guess]:
        word = name.genus
        for genus, away in self._genera.near(word).items():
            for place in self._by_genus.get(genus, ()):
                yield Guess(place, "spelt" if away else "whole", away, len(word))
        if len(word) >= 3:
            for genus in self._genera.beginning(word):
                for place in self._by_genus.get(genus, ()):
                    yield Guess(place, "cut", CUT_EPITHET, len(word))
        for epithet, away in self._epithets.near(word).items():
            if len(word) >= 4 and away <= 2:
                for place in self._by_epithet[epithet]:
                    extra = SAYS_MORE if self._parts[place][2] else 0.0
                    yield Guess(place, "genus", NO_GENUS + away + extra, len(word))

    def _english_names(self, whole: str) -> Iterator[Guess]:
        if len(whole) < 4:
            return
        for name, away in self._english.near(whole).items():
            for place in self._by_english[name]:
                yield Guess(place, "english" if away else "whole", away, len(whole))
        for name in self._english.beginning(whole):
            if name != whole:
                at_word = name[len(whole)] == " "
                cost = ENGLISH_CUT + (WORD_LEFT_OUT if at_word else 0.0)
                for place in self._by_english[name]:
                    yield Guess(place, "cut", cost, len(whole) - (8 if at_word else 0))


def stem(epithet: str) -> str:
    """An epithet without its Latin ending, so that badius and badia meet."""
    for ending in _ENDINGS:
        if epithet.endswith(ending) and len(epithet) - len(ending) >= 4:
            return epithet[: -len(ending)]
    return epithet


def _within(
    word: str, by_length: Mapping[tuple[str, int], list[str]], most: int
) -> Iterator[tuple[str, int]]:
    """Words that begin with the same letter and are near, with their distance."""
    for length in range(len(word) - most, len(word) + most + 1):
        words = by_length.get((word[:1], length))
        if words:
            for other, distance, _ in process.extract(
                word, words, scorer=OSA.distance, score_cutoff=most, limit=None
            ):
                yield other, int(distance)


def _taken_apart(name: str) -> tuple[str, str, str]:
    """A folded scientific name as genus, epithet and what is below it ('agg', an epithet)."""
    genus, *rest = name.split() or [""]
    at = next((at for at, word in enumerate(rest) if word in _RANKS), len(rest))
    return genus, "".join(rest[:at]), "".join(word for word in rest[at:] if _is_name(word))


def _is_name(word: str) -> bool:
    return word not in _RANKS or word in ("agg", "group")


def _below(name: Asked, below: str) -> float:
    """What differs after the epithet."""
    mine = name.below or ("agg" if name.is_aggregate else "")
    if mine == below:
        return 0.0
    if "agg" in (mine, below) and not (mine and below):
        return AGGREGATE if mine else SAYS_MORE
    if mine and below:
        return min(float(OSA.distance(mine, below)), SAYS_MORE)
    return SAYS_MORE


def kind_of_synonym(synonym: str, accepted: str) -> Literal["synonym", "combination"]:
    """Say whether a synonym is the accepted species in another genus, told by the epithet.

    'Xerocomus badius' is so a combination of *Imleria badia*; 'Boletus glutinosus' is not.
    """
    one, other = _taken_apart(fold(synonym)), _taken_apart(fold(accepted))
    same = one[1:] == other[1:] or (one[2] == other[2] and stem(one[1]) == stem(other[1]))
    return "combination" if one[1] and one[0] != other[0] and same else "synonym"
