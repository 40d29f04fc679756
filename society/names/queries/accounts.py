"""Reads of the species accounts and of the vocabulary they are written in."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal

from society.names.models import (
    Account,
    AccountReading,
    AccountSpores,
    AccountState,
    Character,
)

# What parts the sources that one line of words names.
SOURCES_PARTED = "; "


@dataclass(frozen=True, slots=True)
class ReadingShown:
    """What colour something has turned between two minutes after it was exposed.

    ``exposed``, ``colour`` and ``usual`` are codes of ``Exposed``, ``TurnedColour`` and ``Usual``;
    ``reagent`` is empty unless one was applied.
    """

    reading_id: int
    exposed: str
    reagent: str
    minute_from: Decimal
    minute_to: Decimal
    colour: str
    usual: str
    source: str


@dataclass(frozen=True, slots=True)
class SporesShown:
    """Usual limits of the spores in micrometres; of Q, their length by their width, if held."""

    length_from: Decimal
    length_to: Decimal
    width_from: Decimal
    width_to: Decimal
    q_from: Decimal | None
    q_to: Decimal | None
    source: str


@dataclass(frozen=True, slots=True)
class AccountShown:
    """The account of one species. What it does not hold is not known, never 'never'.

    ``states`` gives, by the code of a character, how usual each of its states is;
    ``state_sources`` where those come from, by the same code.
    """

    taxon_id: int
    account_id: int
    version: int
    sources: str
    is_doubtful: bool
    states: dict[str, dict[str, str]] = field(default_factory=dict)
    state_sources: dict[str, str] = field(default_factory=dict)
    readings: tuple[ReadingShown, ...] = ()
    spores: SporesShown | None = None


def accounts_of(taxon_ids: Iterable[int]) -> dict[int, AccountShown]:
    """Return the accounts of those accepted names that have one. Three queries."""
    accounts = list(
        Account.objects.filter(taxon_id__in=set(taxon_ids)).select_related("spores").order_by("pk")
    )
    ids = [account.pk for account in accounts]
    states: dict[int, dict[str, dict[str, str]]] = {}
    sources: dict[int, dict[str, list[str]]] = {}
    for account_id, character, state, usual, source in (
        AccountState.objects.filter(account_id__in=ids)
        .order_by("character__position", "character__code", "state__position", "state__code")
        .values_list("account_id", "character__code", "state__code", "usual", "source")
    ):
        states.setdefault(account_id, {}).setdefault(character, {})[state] = usual
        sources.setdefault(account_id, {}).setdefault(character, []).append(source)
    readings: dict[int, list[ReadingShown]] = {}
    for row in AccountReading.objects.filter(account_id__in=ids):
        readings.setdefault(row.account_id, []).append(_reading_shown(row))
    return {
        account.taxon_id: AccountShown(
            taxon_id=account.taxon_id,
            account_id=account.pk,
            version=account.version,
            sources=account.sources,
            is_doubtful=account.is_doubtful,
            states=states.get(account.pk, {}),
            state_sources={
                code: SOURCES_PARTED.join(sources_told(said))
                for code, said in sources.get(account.pk, {}).items()
            },
            readings=tuple(readings.get(account.pk, ())),
            spores=_spores_shown(getattr(account, "spores", None)),
        )
        for account in accounts
    }


def sources_told(sources: Iterable[str]) -> list[str]:
    """Return every source named, once each and in order; a line of words may name several."""
    told = (part.strip() for line in sources for part in line.split(SOURCES_PARTED))
    return list(dict.fromkeys(part for part in told if part))


def vocabulary() -> dict[str, Character]:
    """Return every character by its code, in order, with its states fetched. Two queries."""
    return {row.code: row for row in Character.objects.prefetch_related("states")}


def _reading_shown(row: AccountReading) -> ReadingShown:
    return ReadingShown(
        reading_id=row.pk,
        exposed=row.exposed,
        reagent=row.reagent,
        minute_from=row.minute_from,
        minute_to=row.minute_to,
        colour=row.colour,
        usual=row.usual,
        source=row.source,
    )


def _spores_shown(row: AccountSpores | None) -> SporesShown | None:
    if row is None:
        return None
    return SporesShown(
        length_from=row.length_from,
        length_to=row.length_to,
        width_from=row.width_from,
        width_to=row.width_to,
        q_from=row.q_from,
        q_to=row.q_to,
        source=row.source,
    )
