"""The account of a species as its page shows it, and what it is taken for."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from society.names.models import Danger, LookAlike, Taxon
from society.names.queries import (
    AccountBook,
    AccountShown,
    SporesShown,
    account_book,
    accounts_of,
    facts_of,
    look_alikes_of,
    other_of,
    part_words,
)
from society.safety.gate import NoticeContext, notice_context
from society.science import contrast as science
from society.science.names import render_parts

EVERY_FORM = "all"
# How many of the characters that tell two accounts apart are named; side by side shows them all.
MOST_DIFFERENCES = 5
_DANGERS = (Danger.DEADLY, Danger.SERIOUS, Danger.ILLNESS, Danger.NONE_HELD)


@dataclass(frozen=True, slots=True)
class CharacterHeld:
    """A character of an account: (state, code of how usual), the most usual first.

    ``source`` is empty where it is that of most characters. ``is_taste``: kept, never asked for.
    """

    code: str
    name: str
    states: tuple[tuple[str, str], ...]
    source: str
    is_taste: bool


@dataclass(frozen=True, slots=True)
class PartHeld:
    """What an account holds of one part of the fungus."""

    words: str
    rows: tuple[CharacterHeld, ...]


@dataclass(frozen=True, slots=True)
class AccountHeld:
    """The account of a species. ``not_known`` are (code, name) of the characters of its form that
    it does not hold; ``usual_source`` is where most of what it holds comes from."""

    version: int
    sources: str
    is_doubtful: bool
    parts: tuple[PartHeld, ...]
    usual_source: str
    not_known: tuple[tuple[str, str], ...]
    spores: SporesShown | None
    holds_taste: bool


@dataclass(frozen=True, slots=True)
class LookAlikeShown:
    """What a name is taken for. ``row`` is what somebody wrote of the two; None where their
    accounts alone are alike, and then ``differs`` names what tells those apart."""

    row: LookAlike | None
    other: Taxon
    parts: list[tuple[str, bool]]
    context: NoticeContext
    differs: tuple[science.SideRow, ...] = ()


@dataclass(frozen=True)
class Studied:
    """What is held of a name: its account (None where there is none), the facts of the checklist
    and the account together, as read, and the book of all accounts."""

    taxon: Taxon
    shown: AccountShown | None
    account: AccountHeld | None
    facts: science.AccountFacts
    book: AccountBook


def studied(taxon: Taxon) -> Studied:
    """Return what is held of a name. Four queries, two without an account; eight more when the
    book of accounts has to be read anew."""
    book = account_book()
    shown = accounts_of([taxon.pk]).get(taxon.pk)
    return Studied(
        taxon=taxon,
        shown=shown,
        account=_held(taxon, shown, book) if shown is not None else None,
        facts=facts_of(taxon, shown),
        book=book,
    )


def _held(taxon: Taxon, shown: AccountShown, book: AccountBook) -> AccountHeld:
    said = Counter(source for source in shown.state_sources.values() if source)
    usual_source = said.most_common(1)[0][0] if said else ""
    parts: dict[str, list[CharacterHeld]] = {}
    for code, held in shown.states.items():
        words = book.words.get(code)
        if words is None:
            continue  # the book is read at another moment than the account
        source = shown.state_sources.get(code, "")
        parts.setdefault(words.part, []).append(
            CharacterHeld(
                code=code,
                name=words.name,
                states=_most_usual_first(held, words.states),
                source="" if source == usual_source else source,
                is_taste=book.characters[code].never_asked,
            )
        )
    return AccountHeld(
        version=shown.version,
        sources=shown.sources,
        is_doubtful=shown.is_doubtful,
        parts=tuple(PartHeld(part_words(part), tuple(rows)) for part, rows in parts.items()),
        usual_source=usual_source,
        not_known=_not_known(taxon, shown, book),
        spores=shown.spores,
        holds_taste=any(row.is_taste for rows in parts.values() for row in rows),
    )


def _most_usual_first(
    held: Mapping[str, str], names: Mapping[str, str]
) -> tuple[tuple[str, str], ...]:
    ranked = sorted(held.items(), key=lambda item: -science.USUAL[item[1]])
    return tuple((names.get(state, state), usual) for state, usual in ranked)


def _not_known(taxon: Taxon, shown: AccountShown, book: AccountBook) -> tuple[tuple[str, str], ...]:
    """Return the characters of the form that the account leaves open; nobody is asked to taste."""
    return tuple(
        (code, book.words[code].name)
        for code, character in book.characters.items()
        if code not in shown.states
        and not character.never_asked
        and (EVERY_FORM in character.forms or taxon.form in character.forms)
    )


def look_alikes(held: Studied) -> list[LookAlikeShown]:
    """Return what a name is taken for, by hand and by its account, the most dangerous first.
    One query."""
    taxon, book = held.taxon, held.book
    written = [_written(row, taxon) for row in look_alikes_of(taxon)]
    known = {item.other.pk for item in written}
    alike = [pk for pk in _alike(taxon.pk, book) if pk not in known]
    found = [*written, *(_computed(held, pk) for pk in alike)]
    return sorted(found, key=lambda item: _DANGERS.index(item.other.danger))


def _alike(pk: int, book: AccountBook) -> tuple[int, ...]:
    return book.alike(pk) if pk in book.facts else ()


def _written(row: LookAlike, taxon: Taxon) -> LookAlikeShown:
    other = other_of(row, taxon)
    parts = render_parts(other.scientific_name, other.authorship)
    return LookAlikeShown(row, other, parts, notice_context(other))


def _computed(held: Studied, pk: int) -> LookAlikeShown:
    other = held.book.taxa[pk]
    rows = science.side_by_side([held.facts, held.book.facts[pk]], held.book.characters.values())
    return LookAlikeShown(
        row=None,
        other=other,
        parts=render_parts(other.scientific_name, other.authorship),
        context=notice_context(other),
        differs=tuple(row for row in rows if row.differs)[:MOST_DIFFERENCES],
    )
