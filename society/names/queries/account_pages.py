"""A species account and the vocabulary as the keepers' pages show them."""

from dataclasses import dataclass
from decimal import Decimal
from itertools import groupby

from django.utils.translation import gettext as _

from society.names.models import Account, Character, Exposed, Taxon, TurnedColour, Usual
from society.names.queries.accounts import AccountShown, ReadingShown, SporesShown, vocabulary
from society.names.queries.characters import part_words
from society.names.queries.keeping import ChangeShown, history_of

EVERY_FORM = "all"


@dataclass(frozen=True, slots=True)
class CharacterRow:
    """A character of the account's form: (state, how usual) in words; none where not known."""

    character: Character
    states: tuple[tuple[str, str], ...]
    source: str


@dataclass(frozen=True, slots=True)
class PartRows:
    """The characters of one part."""

    part: str
    rows: tuple[CharacterRow, ...]


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """What something turns to from one minute to another: (colour, how usual) in words."""

    reading_id: int
    exposed: str
    minute_from: Decimal
    minute_to: Decimal
    colours: tuple[tuple[str, str], ...]
    source: str


@dataclass(frozen=True, slots=True)
class AccountPage:
    """All that the page of an account shows; ``account`` None where there is none yet."""

    account: AccountShown | None
    parts: tuple[PartRows, ...]
    readings: tuple[ReadingRow, ...]
    spores: SporesShown | None
    history: tuple[ChangeShown, ...]


def account_page(taxon: Taxon, shown: AccountShown | None) -> AccountPage:
    """Return the page of an account. Five queries, two where there is no account yet.

    Shown are the characters of the fungus' form, and any further ones that the account holds.
    """
    words = vocabulary()
    held = shown.states if shown else {}
    sources = shown.state_sources if shown else {}
    rows = [
        CharacterRow(
            character=character,
            states=tuple(
                (state.name, str(Usual(held[code][state.code]).label))
                for state in character.states.all()
                if state.code in held.get(code, {})
            ),
            source=sources.get(code, ""),
        )
        for code, character in words.items()
        if code in held or _is_for(character, taxon.form)
    ]
    return AccountPage(
        account=shown,
        parts=tuple(_by_part(rows)),
        readings=_reading_rows(shown.readings if shown else ()),
        spores=shown.spores if shown else None,
        history=tuple(_history(shown.account_id, words)) if shown else (),
    )


def characters_by_part() -> list[PartRows]:
    """Return the vocabulary by part, in order. Two queries."""
    rows = [
        CharacterRow(row, tuple((state.name, "") for state in row.states.all()), "")
        for row in vocabulary().values()
    ]
    return _by_part(rows)


def _by_part(rows: list[CharacterRow]) -> list[PartRows]:
    """Gather rows under their parts, each part where its first character stands."""
    parts: dict[str, list[CharacterRow]] = {}
    for row in rows:
        parts.setdefault(row.character.part, []).append(row)
    return [PartRows(part_words(part), tuple(some)) for part, some in parts.items()]


def _is_for(character: Character, form: str) -> bool:
    return EVERY_FORM in character.forms or form in character.forms


def _reading_rows(readings: tuple[ReadingShown, ...]) -> tuple[ReadingRow, ...]:
    rows = []
    for _key, some in groupby(
        readings, key=lambda row: (row.exposed, row.reagent, row.minute_from)
    ):
        held = list(some)
        first = held[0]
        exposed = str(Exposed(first.exposed).label)
        rows.append(
            ReadingRow(
                reading_id=first.reading_id,
                exposed=f"{exposed}: {first.reagent}" if first.reagent else exposed,
                minute_from=first.minute_from,
                minute_to=max(row.minute_to for row in held),
                colours=tuple(
                    (str(TurnedColour(row.colour).label), str(Usual(row.usual).label))
                    for row in held
                ),
                source=first.source,
            )
        )
    return tuple(rows)


def _history(account_id: int, words: dict[str, Character]) -> list[ChangeShown]:
    """Return the account's history with characters and states in words. Three queries."""
    return [
        ChangeShown(
            at=change.at,
            by=change.by,
            verb=change.verb,
            before=tuple(_before(field, prior, words) for field, prior in change.before),
        )
        for change in history_of(Account._meta.label_lower, account_id)
    ]


def _before(field: str, prior: str, words: dict[str, Character]) -> tuple[str, str]:
    kind, _dot, code = field.partition(".")
    nothing = _("not known")
    if kind == "state" and code in words:
        names = {state.code: state.name for state in words[code].states.all()}
        pairs = (part.partition("=") for part in prior.split("|") if part)
        said = ", ".join(f"{names.get(state, state)} {usual}" for state, _equals, usual in pairs)
        return words[code].name, said or nothing
    if kind == "source" and code in words:
        return _("%(character)s, source") % {"character": words[code].name}, prior or nothing
    return f"{kind} {code.replace('_', ' ').replace('.', ' ')}".strip(), prior or nothing
