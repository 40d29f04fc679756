"""Loading the species accounts from the room's files, again and again without harm.

Files of ``data/accounts``: ``characters_*.csv`` (name, character, states, source), where states are
``orange=usually|buff=sometimes``; ``readings_*.csv`` (name, exposed, reagent, minute_from,
minute_to, colours, source), colours written likewise; ``spores_*.csv`` (name, length_from, …,
q_to, source); ``sources.csv`` (name, sources, doubt).
"""

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from django.db import transaction

from society.names.models import (
    Account,
    AccountReading,
    AccountSpores,
    AccountState,
    Character,
    CharacterState,
    Taxon,
)
from society.names.services.stamp import stamp_hold, stamp_raise
from society.science.names import fold

DATA = Path(__file__).resolve().parents[1] / "data" / "accounts"
BATCH = 300
SIZES = ("length_from", "length_to", "width_from", "width_to", "q_from", "q_to")

Row = dict[str, str]


@dataclass(frozen=True, slots=True)
class AccountsReport:
    """How many accounts the files hold, how many rows were new, and the lines left out, in words
    of the files: names, characters or states that the database lacks."""

    accounts: int
    new_rows: int
    left_out: tuple[str, ...]


@transaction.atomic
def accounts_load(folder: Path = DATA) -> AccountsReport:
    """Load the accounts; an account that a keeper has changed is left as it is.

    Loading twice changes nothing. Nine queries and the transaction's own two, and one for each
    300 new rows.
    """
    stamp_hold()
    files = _AccountFiles(folder)
    new = files.accounts_add()
    new += files.states_add() + files.readings_add() + files.spores_add()
    if new:
        stamp_raise()
    return AccountsReport(len(files.names), new, tuple(files.left_out))


class _AccountFiles:
    """The rows of the files, and what of the database they lead to."""

    def __init__(self, folder: Path) -> None:
        self.states = list(_rows(folder, "characters_*.csv"))
        self.readings = list(_rows(folder, "readings_*.csv"))
        self.spores = list(_rows(folder, "spores_*.csv"))
        self.sources = {row["name"]: row for row in _rows(folder, "sources.csv")}
        rows = [*self.states, *self.readings, *self.spores]
        self.names = list(dict.fromkeys(row["name"] for row in rows))
        self.left_out: list[str] = []
        self.accounts: dict[str, Account] = {}

    def accounts_add(self) -> int:
        """Find or make the account of each name; those that a keeper changed are set aside.

        A synonym tells of its accepted name only where the files do not tell of that by name.
        """
        taxa = {
            taxon.folded: taxon
            for taxon in Taxon.objects.fungi()
            .filter(is_misapplied=False)
            .select_related("accepted")
        }
        held = {account.taxon_id: account for account in Account.objects.all()}
        told = {fold(name) for name in self.names}
        new: dict[int, Account] = {}
        for name in self.names:
            taxon = taxa.get(fold(name))
            if taxon is None:
                self.left_out.append(f"{name}: not in the checklist")
                continue
            if taxon.accepted is not None and taxon.pk not in held:
                if taxon.accepted.folded in told:
                    self.left_out.append(f"{name}: the files tell of {taxon.accepted} itself")
                    continue
                taxon = taxon.accepted
            said = self.sources.get(name, {})
            account = held.get(taxon.pk) or new.get(taxon.pk)
            if account is None:
                account = new[taxon.pk] = Account(
                    taxon=taxon,
                    sources=said.get("sources", ""),
                    is_doubtful=said.get("doubt") == "yes",
                )
            if account.version == 1:
                self.accounts[name] = account
        Account.objects.bulk_create(new.values(), batch_size=BATCH)
        return len(new)

    def states_add(self) -> int:
        characters = {row.code: row for row in Character.objects.all()}
        states = {(row.character_id, row.code): row for row in CharacterState.objects.all()}
        held = set(AccountState.objects.values_list("account_id", "state_id"))
        new = []
        for row in self.states:
            account, character = self.accounts.get(row["name"]), characters.get(row["character"])
            if character is None:
                self.left_out.append(f"{row['name']}: no character {row['character']}")
                continue
            for code, usual in _usual(row["states"]):
                state = states.get((character.pk, code))
                if state is None:
                    self.left_out.append(f"{row['name']}: no state {row['character']}={code}")
                elif account is not None and (account.pk, state.pk) not in held:
                    held.add((account.pk, state.pk))
                    new.append(
                        AccountState(
                            account=account,
                            character=character,
                            state=state,
                            usual=usual,
                            source=row["source"],
                        )
                    )
        AccountState.objects.bulk_create(new, batch_size=BATCH)
        return len(new)

    def readings_add(self) -> int:
        held = set(
            AccountReading.objects.values_list(
                "account_id", "exposed", "reagent", "minute_from", "colour"
            )
        )
        new = []
        for row in self.readings:
            account = self.accounts.get(row["name"])
            if account is None:
                continue
            start, end = Decimal(row["minute_from"]), Decimal(row["minute_to"])
            for colour, usual in _usual(row["colours"]):
                key = (account.pk, row["exposed"], row["reagent"], start, colour)
                if key in held:
                    continue
                held.add(key)
                new.append(
                    AccountReading(
                        account=account,
                        exposed=row["exposed"],
                        reagent=row["reagent"],
                        minute_from=start,
                        minute_to=end,
                        colour=colour,
                        usual=usual,
                        source=row["source"],
                    )
                )
        AccountReading.objects.bulk_create(new, batch_size=BATCH)
        return len(new)

    def spores_add(self) -> int:
        held = set(AccountSpores.objects.values_list("account_id", flat=True))
        new = []
        for row in self.spores:
            account = self.accounts.get(row["name"])
            if account is None or account.pk in held:
                continue
            held.add(account.pk)
            sizes = {size: Decimal(row[size]) if row[size] else None for size in SIZES}
            new.append(AccountSpores(account=account, source=row["source"], **sizes))
        AccountSpores.objects.bulk_create(new, batch_size=BATCH)
        return len(new)


def _rows(folder: Path, pattern: str) -> Iterator[Row]:
    for file in sorted(folder.glob(pattern)):
        with file.open(encoding="utf-8", newline="") as lines:
            yield from csv.DictReader(lines)


def _usual(text: str) -> Iterator[tuple[str, str]]:
    for part in filter(None, text.split("|")):
        code, _equals, usual = part.partition("=")
        yield code.strip(), usual.strip()
