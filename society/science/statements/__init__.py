"""Find, in free text, whether it speaks of eating a fungus, and what it says.

Rule. A text is *on eating* when, after names, smells, likenesses, eating animals and the walkers'
own lunch are set aside (``setting_aside``), a word or turn of phrase of the lists is left
(``english``, ``languages``). When in doubt the answer is yes: a notice too many costs a glance, one
too few may cost more. Only the wording is read; nothing here knows whether a fungus harms.

What a hit says:

- ``praise``: calls it edible, good, choice; ``not_poisonous``: harmless, safe, free of poison;
- ``use``: eating, cooking, recipes, markets; ``medicine``: healing, remedies, doses;
- ``question``: any hit in a sentence that asks; ``eaten``: somebody ate it;
- ``warning``: poison, illness, death, 'inedible', or praise and use under a close negation.

Grammar. A hit in a question is a question. Praise or use behind a negation with only filler between
('not at all edible', 'never to be eaten') is a warning; behind 'mistaken for', 'confused with' too.
A warning behind a negation in the same clause, nothing else between ('not known to be poisonous'),
is ``not_poisonous``; so is one in a text that says 'nonsense' or 'a myth'. 'If eaten', 'raw',
'edibility' go with a warning of their sentence, else they are use. The text takes the kind that
calls for most care in showing it: praise, not_poisonous, use, medicine, question, warning, eaten.
So a text that praises and warns is shown as praise, folded.

Limits. Irony, hints ('we know what to do with these!') and languages not listed pass unseen. Lists
are common practice without a printed source.

Worked example. 'Never eat this raw; fried in butter it is delicious.' has the hits 'eat' (negated:
warning), 'raw' (with it), 'fried' (use) and 'delicious' (praise): praise.
"""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from society.science.statements import english
from society.science.statements.folding import fold
from society.science.statements.languages import LANGUAGES
from society.science.statements.phrases import compiled, compiled_before
from society.science.statements.setting_aside import sentence_at, set_aside

DETECTOR_VERSION = 1

Kind = Literal["praise", "use", "warning", "question", "medicine", "eaten", "not_poisonous"]
_CARE: tuple[Kind, ...] = (
    "praise",
    "not_poisonous",
    "use",
    "medicine",
    "question",
    "warning",
    "eaten",
)


@dataclass(frozen=True, slots=True)
class Detection:
    """What a text says on eating.

    ``spans`` are code points of the text, end exclusive, in order and apart; ``language`` is that
    of the first hit (ISO 639-1). Without a statement: kind and language None, no spans.
    """

    on_eating: bool
    kind: Kind | None
    spans: tuple[tuple[int, int], ...]
    language: str | None


@dataclass(frozen=True, slots=True)
class _Hit:
    start: int
    end: int
    kind: str  # a Kind, 'neutral' or 'caution'
    language: str


NOTHING = Detection(False, None, (), None)


def detect(text: str) -> Detection:
    """Return what ``text`` says on eating. Total: never raises, whatever the text.

    >>> detect("Edible and delicious fried in butter.").kind
    'praise'
    >>> detect("Gills smell of raw potato; cap eaten by slugs.").on_eating
    False
    >>> detect("Nicht giftig, aber ungenießbar.").language
    'de'
    """
    folded, came_from = fold(text)
    folded = set_aside(folded)
    hits = _one_language_each(folded, list(_hits(folded)))
    if not hits:
        return NOTHING
    kinds = [_settled(folded, hit, hits) for hit in hits]
    kinds = [
        _beside(folded, hit, hits, kinds) if kind == "neutral" else kind
        for hit, kind in zip(hits, kinds, strict=True)
    ]
    kind = next(each for each in _CARE if each in kinds)
    spans = _apart([(came_from[hit.start], came_from[hit.end - 1] + 1) for hit in hits])
    return Detection(True, kind, spans, hits[0].language)


_ENGLISH = tuple(
    (kind, "en", compiled(block, english.LISTS))
    for kind, block in (
        ("praise", english.PRAISE),
        ("use", english.USE),
        ("eaten", english.EATEN),
        ("neutral", english.NEUTRAL),
        ("warning", english.WARNING),
        ("caution", english.CAUTION),
        ("not_poisonous", english.NOT_POISONOUS),
        ("question", english.QUESTION),
        ("medicine", english.MEDICINE),
    )
)
_OTHERS = tuple(
    (kind, words.language, compiled(getattr(words, kind), {}))
    for words in LANGUAGES
    for kind in ("praise", "use", "warning", "medicine")
)
_NEGATED_ELSEWHERE = {
    words.language: compiled_before(f"(?:{words.negation}) ~2", {}) for words in LANGUAGES
}
_COMMON = {
    "en": compiled(english.COMMON, {}),
    **{words.language: compiled(words.common, {}) for words in LANGUAGES},
}
_CLOSE_NEGATION = compiled_before(english.CLOSE_NEGATION, english.LISTS)
_LOOSE_NEGATION = compiled_before(english.DENIES, english.LISTS)
_SEEMING_NEGATION = compiled(english.NOT_REALLY_NEGATIVE, english.LISTS)
_DOUBTED = compiled(english.DOUBTED, english.LISTS)
_MISLEADS = compiled_before(english.MISLEADS, english.LISTS)
_LEADS_TO_NEUTRAL = compiled_before(english.LEADS_TO_NEUTRAL, english.LISTS)
_SOMEBODY = compiled_before(english.SOMEBODY, english.LISTS)
_ASKS = compiled(english.ASKS, english.LISTS)
# Characters before a hit that can still turn it; bounds the work on a text without full stops.
_REACH = 160
_ATE = re.compile(r"(?:ate|eaten|eating|swallowed|consumed|had it)$")


def _hits(folded: str) -> Iterator[_Hit]:
    for kind, language, pattern in (*_ENGLISH, *_OTHERS):
        for match in pattern.finditer(folded):
            yield _Hit(match.start(), match.end(), kind, language)


def _one_language_each(folded: str, found: list[_Hit]) -> list[_Hit]:
    """Keep of hits in several languages at one place that of the text's likeliest language."""
    votes = Counter(hit.language for hit in found)
    if len(votes) > 1:
        for language in votes:
            votes[language] += len(_COMMON[language].findall(folded))
    kept: dict[tuple[int, int, str], _Hit] = {}
    for hit in sorted(found, key=lambda hit: -votes[hit.language]):
        kept.setdefault((hit.start, hit.end, hit.kind), hit)
    return sorted(kept.values(), key=lambda hit: (hit.start, -hit.end))


def _settled(folded: str, hit: _Hit, hits: list[_Hit]) -> str:
    """Return the kind of a hit in the light of its sentence."""
    start, end = sentence_at(folded, hit.start, hit.end)
    start = max(start, hit.start - _REACH)
    before = folded[start : hit.start]
    if folded[end - 1 : end] == "?" or _ASKS.search(before):
        return "question"
    if hit.kind == "caution":
        return "warning"
    if hit.language != "en":
        return _settled_elsewhere(before, hit)
    if hit.kind == "warning":
        if _DOUBTED.search(folded):
            return "not_poisonous"
        denied = _LOOSE_NEGATION.search(before)
        if denied and not _any_between(hits, start + denied.start(), hit.start):
            return "not_poisonous"
    if hit.kind in ("praise", "use", "neutral", "not_poisonous"):
        return _settled_for_or_against(folded, before, hit)
    return hit.kind


def _settled_for_or_against(folded: str, before: str, hit: _Hit) -> str:
    denied = _CLOSE_NEGATION.search(before)
    if denied and not _SEEMING_NEGATION.search(before):
        return "warning"
    if _MISLEADS.search(before):
        return "warning"
    if hit.kind == "use" and _ATE.search(folded[hit.start : hit.end]):
        if _SOMEBODY.search(before):
            return "eaten"
        if _LEADS_TO_NEUTRAL.search(before):
            return "neutral"
    return hit.kind


def _settled_elsewhere(before: str, hit: _Hit) -> str:
    if not _NEGATED_ELSEWHERE[hit.language].search(before):
        return hit.kind
    return "not_poisonous" if hit.kind == "warning" else "warning"


def _any_between(hits: list[_Hit], start: int, end: int) -> bool:
    return any(start <= hit.start and hit.end <= end for hit in hits)


def _beside(folded: str, hit: _Hit, hits: list[_Hit], kinds: list[str]) -> str:
    """Return what a neutral hit says: a warning beside one in its sentence, else use."""
    start, end = sentence_at(folded, hit.start, hit.end)
    beside = (
        kind
        for other, kind in zip(hits, kinds, strict=True)
        if start <= other.start and other.end <= end
    )
    return "warning" if "warning" in beside else "use"


def _apart(spans: list[tuple[int, int]]) -> tuple[tuple[int, int], ...]:
    joined: list[tuple[int, int]] = []
    for start, end in sorted(spans):
        if joined and start < joined[-1][1]:
            joined[-1] = (joined[-1][0], max(end, joined[-1][1]))
        else:
            joined.append((start, end))
    return tuple(joined)


__all__ = ["DETECTOR_VERSION", "NOTHING", "Detection", "Kind", "detect"]
