"""Finding names in the checklist while somebody types.

Method. Every word of every scientific and English name is entered under its first two
and three letters, and every name under each pair of letters in it. A query is folded and looked
for in this sequence, until enough is found:

1. the whole name, without qualifier and author: accepted, then English, then synonym;
2. words that begin the words of a name in their sequence ('L. det', 'lact deter');
3. the same epithet, whatever its Latin ending, in another genus: a combination not listed;
4. a word that begins with the query, the first words of names before later ones; then inside;
5. the same words in another sequence; then likely misspellings, by letters and sound (`guessing`).

One match is given for each accepted name, the best. Its confidence only sorts.

Source: common practice.

Worked example. With 'Lactarius deterrimus' accepted (key 7), 'lac det' gives key 7 by abbreviation
and 'deterimus' gives it by spelling.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Sequence
from typing import Final

from society.science.names.authorship import IN_AUTHORSHIP
from society.science.names.entries import IndexEntry, Match, Via
from society.science.names.folding import fold
from society.science.names.guessing import Guesser, asked, stem
from society.science.names.written import WrittenName, parse_written_name

_KIND_ORDER: Final = {"accepted": 0, "english": 1, "synonym": 2, "combination": 2, "misapplied": 3}
EXACT_VIA: Final[dict[str, Via]] = {
    "accepted": "exact",
    "english": "vernacular",
    "synonym": "synonym",
    "combination": "combination",
    "misapplied": "synonym",
}
# How far a match of each sort may be trusted to be what was meant; for sorting and display only.
_EXACT_WEIGHT: Final = {
    "accepted": 1.0,
    "english": 0.98,
    "synonym": 0.97,
    "combination": 0.97,
    "misapplied": 0.5,
}
_ABBREVIATED, _COMBINED, _BEGINS, _BEGINS_LATER, _INSIDE = 0.85, 0.75, 0.7, 0.6, 0.4
_SPELT_AT_BEST: Final = 0.7
_SHORTEST_SPELLING: Final = 5  # letters
LONGEST_QUERY: Final = 120
AGGREGATE_MARKS: Final = ("agg.", "group", "s.l.")


_PLAIN: Final = re.compile(r"[A-Z][a-z]+(?: [a-z-]{3,})?\Z")  # needs no reading: most rows


class NameSearch:
    """The names of a checklist, ready to be searched. Building 30,000 takes about a second."""

    def __init__(self, entries: Iterable[IndexEntry]) -> None:
        """Enter every row; its place in the index is its place in every list of results."""
        keyed = [(_key_of_entry(entry), entry) for entry in entries]
        keyed.sort(key=lambda pair: (_KIND_ORDER[pair[1].kind], pair[0], pair[1].key))
        self._entries = [entry for _, entry in keyed]
        self._names = [name for name, _ in keyed]
        self._words = [tuple(name.split()) for name in self._names]
        self._by_name: dict[str, list[int]] = defaultdict(list)
        self._first: dict[str, list[int]] = defaultdict(list)
        self._later: dict[str, list[int]] = defaultdict(list)
        self._pairs: dict[str, list[int]] = defaultdict(list)
        self._by_stem: dict[str, list[int]] = defaultdict(list)
        for place in range(len(self._entries)):
            self._enter(place)
        self._sorted: dict[str, list[int]] = defaultdict(list)
        for place, words in enumerate(self._words):
            self._sorted[" ".join(sorted(words))].append(place)
        english = [entry.kind == "english" for entry in self._entries]
        self._english_glued: dict[str, list[int]] = defaultdict(list)
        for place, name in enumerate(self._names):
            if english[place]:
                self._english_glued[name.replace(" ", "")].append(place)
        self._guesser = Guesser(self._names, english, [e.accepted_key for e in self._entries])

    def _enter(self, place: int) -> None:
        name, words = self._names[place], self._words[place]
        self._by_name[name].append(place)
        for size in (2, 3):
            begins = {word[:size] for word in words[:1]}
            later = {word[:size] for word in words[1:]} - begins
            for start in begins:
                self._first[start].append(place)
            for start in later:
                self._later[start].append(place)
        for pair in {name[at : at + 2] for at in range(len(name) - 1)}:
            self._pairs[pair].append(place)
        if self._entries[place].kind != "english" and len(words) == 2:
            self._by_stem[stem(words[1])].append(place)

    def search(
        self, text: str, limit: int = 20, groups: Collection[str] | None = None
    ) -> list[Match]:
        """Return the names that fit what was typed, best first; fewer than two letters give none.

        `groups` limits to entries of those groups (None: all).
        """
        query = fold(text[:LONGEST_QUERY])
        if len(query.replace(" ", "")) < 2:
            return []
        found = _Found(limit, groups, self._entries)
        written = parse_written_name(text)
        self._whole(text, written, found)
        self._begun(query.split(), found)
        if written.epithet:
            self._other_genus(written, found)
        if " " not in query:
            self._part(query, found)
        else:
            self._inside(query, found)
        if len(query) >= _SHORTEST_SPELLING and not found.full:
            self._misspelt(query, written, found)
        return found.sorted()

    # --- the ways of finding, each adding to what was found -------------------------------------

    def _whole(self, text: str, written: WrittenName, found: _Found) -> None:
        """The whole name; where only its beginning reads as a name, that as a part."""
        meant = names_meant(text, written)
        for number, name in enumerate(meant):
            for place in self._by_name.get(name, ()):
                kind = self._entries[place].kind
                found.add(place, EXACT_VIA[kind], _EXACT_WEIGHT[kind] - number / 100)
        for name in keys_of_written(written) if written.genus else ():
            if name not in meant:
                for place in self._by_name.get(name, ()):
                    self._add_part(place, found, _COMBINED)

    def _begun(self, query: list[str], found: _Found) -> None:
        """Two or more words that begin words of a name, in their sequence."""
        if len(query) < 2:
            return
        fewest: Sequence[int] | None = None
        for number, word in enumerate(query):
            if len(word) >= 2:
                places = self._beginning(word[:3], first_too=number == 0)
                if fewest is None or len(places) < len(fewest):
                    fewest = places
        for place in fewest or ():
            if _begins_in_sequence(query, self._words[place]):
                english = self._entries[place].kind == "english"
                found.add(place, "vernacular" if english else "abbreviation", _ABBREVIATED)
                if found.full:
                    return

    def _beginning(self, start: str, *, first_too: bool) -> list[int]:
        later = self._later.get(start, [])
        return sorted({*self._first.get(start, ()), *later}) if first_too else later

    def _other_genus(self, written: WrittenName, found: _Found) -> None:
        epithet = fold(written.epithet or "").replace(" ", "")
        for place in self._by_stem.get(stem(epithet), ()):
            whole = self._words[place][0]
            if not whole.startswith(fold(written.genus or "")):
                found.add(place, "combination", _COMBINED)

    def _part(self, query: str, found: _Found) -> None:
        """One word: first what begins with it, then what has it inside."""
        for table, confidence in ((self._first, _BEGINS), (self._later, _BEGINS_LATER)):
            places = table.get(query[:3], ()) if len(query) > 2 else table.get(query, ())
            for place in places:
                words = self._words[place]
                words = words[:1] if confidence == _BEGINS else words[1:]
                if len(query) < 4 or any(word.startswith(query) for word in words):
                    self._add_part(place, found, confidence)
                    if found.full_at(confidence):
                        break
        self._inside(query, found)

    def _inside(self, query: str, found: _Found) -> None:
        if found.full:
            return
        pairs = [query[at : at + 2] for at in range(len(query) - 1)]
        rarest = min((self._pairs.get(pair, ()) for pair in pairs), key=len, default=())
        for place in rarest:
            if query in self._names[place]:
                self._add_part(place, found, _INSIDE)
                if found.full_at(_INSIDE):
                    return

    def _add_part(self, place: int, found: _Found, confidence: float) -> None:
        english = self._entries[place].kind == "english"
        found.add(place, "vernacular" if english else "abbreviation", confidence)

    def _misspelt(self, query: str, written: WrittenName, found: _Found) -> None:
        for place in self._sorted.get(" ".join(sorted(query.split())), ()):
            self._add_part(place, found, _ABBREVIATED)  # the same words in another sequence
        likely: dict[int, float] = {}
        for guess in self._guesser.guesses(asked(written, query)):
            if guess.cost and guess.way in ("spelt", "both", "english", "genus"):
                likely[guess.place] = min(guess.cost, likely.get(guess.place, guess.cost))
        for place, cost in sorted(likely.items(), key=lambda pair: (pair[1], pair[0])):
            nearness = max(0.1, 1 - cost / len(query))
            found.add(place, "spelling", round(_SPELT_AT_BEST * nearness, 4))

    # --- names as they stand ----------------------------------------------------------------------

    def _is_english(self, name: str) -> bool:
        return any(self._entries[place].kind == "english" for place in self._by_name.get(name, ()))

    def _written_apart(self, words: str, groups: Collection[str] | None) -> int | None:
        """The row of a harmless English name that is the same with its blanks left out."""
        places = self._english_glued.get(words.replace(" ", ""), [])
        if words in self._by_name or any(self._entries[place].dangerous for place in places):
            return None
        leads_to = {self._entries[place].accepted_key for place in places}
        return self._place_of([self._names[places[0]]], groups) if len(leads_to) == 1 else None

    def _place_of(self, names: Sequence[str], groups: Collection[str] | None) -> int | None:
        for name in names:
            places = [
                place
                for place in self._by_name.get(name, ())
                if groups is None or self._entries[place].group in groups
            ]
            for kinds in (("accepted",), ("english",), ("synonym", "combination")):
                held = [place for place in places if self._entries[place].kind in kinds]
                leads_to = {self._entries[place].accepted_key for place in held}
                if len(leads_to) == 1:
                    if "accepted" not in kinds and self._misapplied_elsewhere(places, leads_to):
                        return None
                    return held[0]
                if leads_to:
                    return None
        return None

    def _misapplied_elsewhere(self, places: Sequence[int], leads_to: set[int]) -> bool:
        """Whether the same words are also in use for another accepted name."""
        return any(self._entries[place].accepted_key not in leads_to for place in places)


class _Found:
    """Matches gathered so far: the best one for each accepted name."""

    def __init__(
        self, limit: int, groups: Collection[str] | None, entries: Sequence[IndexEntry]
    ) -> None:
        self.limit = max(limit, 0)
        self._groups = None if groups is None else frozenset(groups)
        self._entries = entries
        self._best: dict[int, tuple[float, int, Match]] = {}

    @property
    def full(self) -> bool:
        return len(self._best) >= self.limit

    def full_at(self, confidence: float) -> bool:
        """Whether nothing of this confidence or less can still enter the list."""
        better = sum(1 for held, _, _ in self._best.values() if held >= confidence)
        return better >= self.limit

    def add(self, place: int, via: Via, confidence: float) -> None:
        entry = self._entries[place]
        if self._groups is not None and entry.group not in self._groups:
            return
        held = self._best.get(entry.accepted_key)
        if held is not None and (held[0], -held[1]) >= (confidence, -place):
            return
        match = Match(entry.key, entry.accepted_key, entry.name, via, confidence, entry.dangerous)
        self._best[entry.accepted_key] = (confidence, place, match)

    def sorted(self) -> list[Match]:
        ranked = sorted(self._best.values(), key=lambda held: (-held[0], held[1]))
        return [match for _, _, match in ranked[: self.limit]]


def _key_of_entry(entry: IndexEntry) -> str:
    """The form under which a row is entered: rank words and signs in one way of writing."""
    if entry.kind == "english" or _PLAIN.match(entry.name):
        return fold(entry.name)
    written = parse_written_name(entry.name)
    keys = keys_of_written(written) if written.genus and credible_author(written) else []
    return keys[0] if keys else _without_signs(fold(entry.name))


def keys_of_written(written: WrittenName) -> list[str]:
    """The name in the index's form: with its aggregate mark first, then without."""
    plain = fold(written.name)
    if written.qualifier in AGGREGATE_MARKS:
        return [f"{plain} agg", plain]
    return [plain]


def names_meant(text: str, written: WrittenName) -> list[str]:
    """The forms under which the whole of what was written may stand in the index, best first."""
    names = [_without_signs(fold(text[:LONGEST_QUERY]))]
    if written.genus and credible_author(written):
        names = [*keys_of_written(written), *names]
    if written.rank == "genus" and written.authorship:
        # 'Amanita Muscaria (L.) Lam.': an epithet with a capital passes for an author.
        first, _, author = written.authorship.partition(" ")
        if not author or any(sign in author for sign in ".(&"):
            names.insert(0, fold(f"{written.genus} {first}"))
    return list(dict.fromkeys(names))


def _without_signs(name: str) -> str:
    """The folded name without a lone x, as a hybrid's sign is often typed."""
    return " ".join(word for word in name.split() if word != "x") if " x " in name else name


def credible_author(written: WrittenName) -> bool:
    """Whether what follows the name can be an author; else the words say more than the name."""
    text = written.authorship
    if not text:
        return True
    if written.rank == "genus" and written.infrageneric is None:
        return any(sign in text for sign in ".(&")  # 'Amanita Muscaria' is no genus by Muscaria
    first = text.split()[0]
    if first.endswith(".") or fold(first) in IN_AUTHORSHIP:
        return fold(first) not in ("and", "et", "non", "nec")
    return not first[:1].islower() and first[:1] not in "/+,;-&"


def _begins_in_sequence(query: Sequence[str], words: Sequence[str]) -> bool:
    remaining: Iterator[str] = iter(words)
    return all(any(word.startswith(part) for word in remaining) for part in query)
