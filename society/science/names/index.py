"""Saying which accepted name words come to, or that nobody can say.

Method. A name is resolved in one of two ways:

- beyond doubt: the whole of what was written, less qualifier, author and figures, is a name of the
  checklist that leads to one accepted name;
- by a guess, only where the caller asks for it (`by_spelling`): of all guesses (`guessing`) the
  best one is chosen when its `confidence` reaches the line, and when no letter of a dangerous
  species is guessed: neither the match, nor any other guess within reach, nor any dangerous name
  near what was written, may be dangerous. A genus that holds a dangerous species counts as one.
  Only a short genus before an epithet written in full ('A. citrina') is no guess at letters.
  Remarks in words after the name are then set aside too.

A misapplied name, a name 'in the sense of' another author, a formula of two names and words that
hold several names are never resolved; of several names each is a candidate (`several`). An English
name is the same with its blanks left out ('saffron milk cap'), unless it is a dangerous species';
a word left over beside an English name leaves it open. What is not resolved gives candidates, best
first.

Source: common practice; the rule on dangerous species is our own.

Worked example. With 'Lactarius deterrimus' accepted (key 7), 'Lactarius cf. deterrimus Gröger'
resolves to key 7, and `qualifier` is 'cf.'; 'lactarius deterimus' gives candidates, and by spelling
resolves to key 7; 'Amanita faloides' gives candidates either way.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from itertools import pairwise
from typing import Final

from rapidfuzz import process
from rapidfuzz.distance import OSA

from society.science.names.authorship import is_clear, is_only_figures, says_where
from society.science.names.confidence import (
    ANOTHER_SENSE,
    AS_WRITTEN,
    FLOOR,
    INSIDE,
    LINE,
    UNREAD,
    shares,
)
from society.science.names.entries import IndexEntry, Match, Reason, Resolution, Via
from society.science.names.folding import fold
from society.science.names.guessing import Guess, asked
from society.science.names.searching import (
    AGGREGATE_MARKS,
    EXACT_VIA,
    NameSearch,
    credible_author,
    names_meant,
)
from society.science.names.several import kept_of_several, parts_of
from society.science.names.sounding import sound
from society.science.names.vocabulary import QUALIFIER_WORDS
from society.science.names.written import LONGEST, WrittenName, parse_written_name

MOST_CANDIDATES: Final = 10
DANGER_MARGIN: Final = 3  # letters more than the match, within which a dangerous name is a rival
DANGER_EPITHET: Final = 2  # letters between epithets
IN_A_LIST: Final = 0.3  # the least confidence with which a guess is a name of a line of several
PLAIN: Final = 0.98  # as written, see `confidence.AS_WRITTEN`
_VIA: Final[dict[str, Via]] = {
    "short": "abbreviation",
    "cut": "abbreviation",
    "genus": "abbreviation",
    "moved": "combination",
    "spelt": "spelling",
    "english": "spelling",
    "both": "spelling",
}
_QUALIFYING: Final = frozenset(word for words in QUALIFIER_WORDS for word in words.split())
_TWICE: Final = re.compile(r"[(\[\])=;,]|\s[-–—]\s")


class NameIndex(NameSearch):
    """The names of a checklist, to be searched and resolved."""

    def __init__(self, entries: Iterable[IndexEntry]) -> None:
        """Enter every row. Building 30,000 takes about two seconds."""
        super().__init__(entries)
        english = [entry.kind == "english" for entry in self._entries]
        self._accepted_names = {
            entry.key: entry.name
            for entry in self._entries
            if entry.kind == "accepted" and entry.key == entry.accepted_key
        }
        self._groups_by_key = {entry.accepted_key: entry.group for entry in self._entries}
        dangerous = [at for at, entry in enumerate(self._entries) if entry.dangerous]
        self._dangerous_genera = {self._words[at][0] for at in dangerous if not english[at]}
        self._dangerous_names = sorted({self._names[at] for at in dangerous})
        self._dangerous_sounds = sorted({sound(name) for name in self._dangerous_names})
        two = [self._words[at] for at in dangerous if not english[at] and len(self._words[at]) > 1]
        self._dangerous_epithets = sorted({sound(words[1]) for words in two})

    def accepted_name(self, match: Match) -> str:
        """The accepted name a match leads to, without authorship."""
        return self._accepted_names.get(match.accepted_key, match.matched_name)

    def resolve(
        self, text: str, groups: Collection[str] | None = None, *, by_spelling: bool = False
    ) -> Resolution:
        """Say which accepted name words come to.

        Without `by_spelling` only what is beyond doubt is resolved; with it also what a guess
        reaches with confidence, as for cleaning a spreadsheet.
        """
        written = parse_written_name(text)
        if len(text) > LONGEST:
            return Resolution("unknown", None, (), written, written.qualifier, "too_long")
        place = self._beyond_doubt(text, written, groups, loosely=by_spelling)
        # What was read to its last word holds no second name; an English name may pass for author.
        is_open = place is None or bool(written.remark)
        several = self._several(text, groups, is_open) if is_open or written.authorship else ()
        if several:
            why: Reason = "another_sense" if written.in_another_sense else "several_names"
            return Resolution("candidates", None, several, written, written.qualifier, why)
        if place is not None:
            return self._resolved(self._exact(place), (), written, place)
        if written.is_uninformative:
            return Resolution("unknown", None, (), written, written.qualifier, "says_nothing")
        guesses = self._guesses(text, written, groups)
        candidates = self._candidates(text, written, groups, guesses)
        if not candidates:
            return Resolution("unknown", None, (), written, written.qualifier, "not_listed")
        reason = self._why_not(text, written, groups, guesses, candidates)
        if by_spelling and reason is None:
            return self._resolved(candidates[0], candidates[1:], written, guesses[0].place)
        reason = reason or "unsure"
        return Resolution("candidates", None, candidates, written, written.qualifier, reason)

    def _resolved(
        self, match: Match, others: tuple[Match, ...], written: WrittenName, place: int
    ) -> Resolution:
        taken_up = self._entries[place].rank == "aggregate" and written.qualifier in AGGREGATE_MARKS
        qualifier = None if taken_up else written.qualifier
        return Resolution("resolved", match, (match, *others), written, qualifier)

    # --- several names on a line ------------------------------------------------------------------

    def _several(
        self, text: str, groups: Collection[str] | None, may_guess: bool
    ) -> tuple[Match, ...]:
        """Every name that words hold side by side; none where they hold fewer than two.

        Without `may_guess` only a dangerous species is guessed at.
        """
        parts = parts_of(text)
        if len(parts) < 2:
            return ()
        named: list[Match] = []
        near: list[Match] = []
        for readings in parts:
            came = self._part_named(readings, groups, may_guess)
            if came is not None:
                named.append(came.candidates[0])
                near += [match for match in came.candidates[1:] if match.dangerous]
        # A host or a plant beside a fungus says where it stood.
        fungi = [match for match in named if self._group_of(match) == "fungus"]
        named = fungi or named
        if len({match.accepted_key for match in named}) < 2:
            return ()
        return kept_of_several(named, near)

    def _part_named(
        self, readings: Sequence[str], groups: Collection[str] | None, may_guess: bool
    ) -> Resolution | None:
        """What a part of a line names, by the first of its readings that names anything."""
        for reading in readings:
            # A single word is too little to guess at, unless the guess is a dangerous species.
            is_single = " " not in reading
            if is_single and not may_guess and fold(reading) not in self._by_name:
                continue  # an author
            came = self.resolve(reading, groups, by_spelling=True)
            if not came.candidates or came.reason == "several_names":
                continue
            best = came.candidates[0]
            guessed = best.dangerous or (may_guess and not is_single)
            least = IN_A_LIST if came.match is None else 0.0
            if (guessed and best.confidence >= least) or (came.match and best.confidence >= PLAIN):
                return came
        return None

    def _group_of(self, match: Match) -> str:
        return self._groups_by_key.get(match.accepted_key, "")

    # --- beyond doubt ---------------------------------------------------------------------------

    def _beyond_doubt(
        self, text: str, written: WrittenName, groups: Collection[str] | None, *, loosely: bool
    ) -> int | None:
        """The place of the row that the words name, else None."""
        if written.in_another_sense or written.hybrid == "formula":
            return None
        place = self._place_of([fold(text)], groups) if written.remark else None
        place = self._written_apart(fold(text), groups) if place is None else place
        if place is not None:
            return place
        if loosely:
            place = self._place_of(self._named_twice(text, groups), groups)
            if place is not None:
                return place
        names = self._names_standing(text, written, loosely=loosely)
        return self._place_of(names, groups)

    def _names_standing(self, text: str, written: WrittenName, *, loosely: bool) -> list[str]:
        """The names that the words may stand for, once what is beside them is set aside."""
        if not self._may_stand_aside(written, loosely=loosely):
            return self._before_remark(text) if loosely else []
        names = [
            name
            for name in names_meant(text, written)
            if not self._leaves_over(name, text, written)
        ]
        if loosely and written.remark:
            # What is set aside as a remark may be half of a dangerous species' English name.
            if _any_within(fold(text), self._dangerous_names, DANGER_MARGIN):
                return []
            if not written.epithet:
                names = [name for name in names if not self._is_english(name)]
        if loosely:
            names += self._before_remark(text)
        return names

    def _leaves_over(self, name: str, text: str, written: WrittenName) -> bool:
        """Whether a name is English alone and the words hold more than it explains."""
        places = self._by_name.get(name, ())
        if not places or any(self._entries[place].kind != "english" for place in places):
            return False
        return bool(self._left_over(name, text, written))

    def _left_over(self, name: str, text: str, written: WrittenName) -> set[str]:
        """The words that are neither the name, a qualifier nor in the remark."""
        explained = {*name.split(), *fold(written.remark).split()}
        return set(fold(text).split()) - explained - _QUALIFYING

    def _may_stand_aside(self, written: WrittenName, *, loosely: bool) -> bool:
        """Whether a remark leaves the name as it stands."""
        remark = written.remark
        if not is_clear(remark) or self._holds_a_name(written):
            return False
        return loosely or is_only_figures(remark) or remark.startswith("(")

    def _holds_a_name(self, written: WrittenName) -> bool:
        """Whether a remark holds the name of another fungus, or an epithet of the same genus."""
        words = fold(written.remark).split()
        pairs = [f"{first} {second}" for first, second in pairwise(words)]
        pairs += [f"{fold(written.genus or '')} {word}" for word in words]
        pairs += [word for word in words if self._is_english(word)]
        return any(
            self._entries[place].group == "fungus"
            for pair in pairs
            for place in self._by_name.get(pair, ())
        )

    def _named_twice(self, text: str, groups: Collection[str] | None) -> list[str]:
        """The first of two names for one species: 'Fly Agaric (Amanita muscaria)'."""
        halves = [fold(half) for half in _TWICE.split(text) if fold(half)]
        places = [self._place_of([half], groups) for half in halves]
        leads_to = {self._entries[place].accepted_key for place in places if place is not None}
        return halves[:1] if len(halves) == 2 and len(leads_to) == 1 and None not in places else []

    def _before_remark(self, text: str) -> list[str]:
        """The English name at the beginning, where the rest is a remark."""
        if _any_within(fold(text), self._dangerous_names, DANGER_MARGIN):
            return []
        words = text.split()
        for length in range(len(words) - 1, 0, -1):
            name = fold(" ".join(words[:length]))
            apart = self._written_apart(name, None)
            name = name if apart is None else self._names[apart]
            rest = " ".join(words[length:])
            if self._is_english(name):
                said = WrittenName(text, remark=rest)
                aside = says_where(rest) and self._may_stand_aside(said, loosely=True)
                return [name] if aside else []
        return []

    def _exact(self, place: int) -> Match:
        kind = self._entries[place].kind
        return self._match(place, EXACT_VIA[kind], AS_WRITTEN[kind])

    def _match(self, place: int, via: Via, confidence: float) -> Match:
        entry = self._entries[place]
        return Match(
            entry.key, entry.accepted_key, entry.name, via, round(confidence, 3), entry.dangerous
        )

    # --- by a guess -----------------------------------------------------------------------------

    def _guesses(
        self, text: str, written: WrittenName, groups: Collection[str] | None
    ) -> list[Guess]:
        """The cheapest guess for each accepted name, best first."""
        best: dict[int, Guess] = {}
        is_aggregate = written.qualifier in AGGREGATE_MARKS
        name = asked(written, self._without_remark(text, written), is_aggregate=is_aggregate)
        for guess in self._guesser.guesses(name):
            entry = self._entries[guess.place]
            if groups is not None and entry.group not in groups:
                continue
            held = best.get(entry.accepted_key)
            if held is None or (guess.cost, guess.place) < (held.cost, held.place):
                best[entry.accepted_key] = guess
        return sorted(best.values(), key=lambda guess: (guess.cost, guess.place))

    def _without_remark(self, text: str, written: WrittenName) -> str:
        """The folded words without qualifier and remark."""
        words = " ".join(text.split())
        aside = is_only_figures(written.remark) or says_where(written.remark)
        if written.remark and aside and words.endswith(written.remark):
            words = words[: -len(written.remark)]
        plain = fold(words)
        if written.qualifier and not written.authorship and written.genus:
            plain = fold(written.name) or plain
        return plain

    def _candidates(
        self,
        text: str,
        written: WrittenName,
        groups: Collection[str] | None,
        guesses: Sequence[Guess],
    ) -> tuple[Match, ...]:
        found: list[Match] = []
        for guess, share in zip(guesses, shares(guesses), strict=True):
            kind = self._entries[guess.place].kind
            if len(found) < MOST_CANDIDATES and share >= FLOOR:
                via = _VIA.get(guess.way, EXACT_VIA[kind])
                if kind == "english" and guess.way == "cut":
                    via = "vernacular"
                limit = min(self._ceiling(written, guess), AS_WRITTEN[kind])
                found.append(self._match(guess.place, via, min(share, limit)))
        if not found:
            plain = self._without_remark(text, written)
            others = self.search(plain, limit=MOST_CANDIDATES, groups=groups)
            for half in () if others else _TWICE.split(text):
                others += self.search(half, limit=1, groups=groups)
            words = fold(text).split()
            for length in range(len(words) - 1, 0, -1):
                if others:
                    break
                place = self._place_of([" ".join(words[:length])], groups)
                others += [] if place is None else [self._exact(place)]
            found = list({match.accepted_key: _inside(match) for match in others}.values())
        return tuple(sorted(found, key=lambda match: -match.confidence))

    def _ceiling(self, written: WrittenName, guess: Guess) -> float:
        """The most confidence that these words allow in a guess."""
        if written.in_another_sense:
            return ANOTHER_SENSE
        if guess.reads_all:
            return 1.0
        kind, name = self._entries[guess.place].kind, asked(written, "")
        if kind != "english" and not credible_author(written) and not name.epithet:
            return UNREAD
        if written.hybrid == "formula" or not self._may_stand_aside(written, loosely=True):
            return UNREAD
        return 1.0

    def _why_not(
        self,
        text: str,
        written: WrittenName,
        groups: Collection[str] | None,
        guesses: Sequence[Guess],
        candidates: Sequence[Match],
    ) -> Reason | None:
        """Why the best candidate is not chosen; None where it may be."""
        best = guesses[0] if guesses else None
        if written.in_another_sense or (
            best is not None and self._entries[best.place].kind == "misapplied"
        ):
            return "another_sense"
        if best is None:
            return "unsure"
        if self._ceiling(written, best) < 1.0:
            return "several_names"
        remark = "" if best.reads_all else written.remark
        if remark and not (is_only_figures(remark) or says_where(remark)):
            return "several_names"
        even = [guess for guess in guesses if guess.cost <= best.cost]
        if len(even) > 1:
            return "fits_several"
        if best.way != "short" and self._danger_near(text, written, guesses):
            return "near_dangerous"
        unsure = best.way == "genus" or candidates[0].confidence < LINE
        return "unsure" if unsure or self._stands_beside(best, text, written) else None

    def _stands_beside(self, guess: Guess, text: str, written: WrittenName) -> bool:
        """Whether a guess is an English name that stands whole in the words, beside others."""
        name = self._names[guess.place]
        inside = self._is_english(name) and set(name.split()) < set(fold(text).split())
        return inside and bool(self._left_over(name, text, written))

    def _danger_near(self, text: str, written: WrittenName, guesses: Sequence[Guess]) -> bool:
        """Whether the match, another guess or any dangerous name near the words is dangerous."""
        best = guesses[0]
        if any(
            self._entries[guess.place].dangerous
            for guess in guesses
            if guess.cost <= best.cost + DANGER_MARGIN
        ):
            return True
        words = self._words[best.place]
        if len(words) == 1 and words[0] in self._dangerous_genera:
            return True
        plain = self._without_remark(text, written)
        plain = fold(written.name) if written.epithet else plain
        reach = min(int(best.cost) + DANGER_MARGIN, len(plain) // 3)
        near = _any_within(plain, self._dangerous_names, reach)
        near = near or _any_within(sound(plain), self._dangerous_sounds, reach)
        near = near or _any_within(sound(fold(text)), self._dangerous_sounds, reach)
        epithet = sound(fold(written.epithet or ""))
        # In a genus that is as good as written, a like epithet of another genus is no rival.
        most = 1 if best.way == "spelt" or len(epithet) <= 6 else DANGER_EPITHET
        return near or (bool(epithet) and _any_within(epithet, self._dangerous_epithets, most))


def _any_within(text: str, names: Sequence[str], most: int) -> bool:
    return process.extractOne(text, names, scorer=OSA.distance, score_cutoff=most) is not None


def _inside(match: Match) -> Match:
    return Match(
        match.key,
        match.accepted_key,
        match.matched_name,
        match.via,
        INSIDE,
        match.dangerous,
    )
