"""Writing species accounts: one character, one reading, the spores, the sources at a time.

Each change raises the account's version and keeps the values that stood before. What is taken out
becomes 'not known'; only a written 'never' says that a species does not show a state.
"""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from society.core.errors import NotPermitted, Refused
from society.core.history import change_record
from society.members.permissions import Viewer
from society.names.models import (
    Account,
    AccountReading,
    AccountSpores,
    AccountState,
    Character,
    Exposed,
    Group,
    Taxon,
)
from society.names.permissions import may_correct_account
from society.names.queries.accounts import SOURCES_PARTED, sources_told
from society.names.services.stamp import stamp_raise

SIZES = ("length_from", "length_to", "width_from", "width_to", "q_from", "q_to")


@transaction.atomic
def account_state_set(
    *,
    taxon_id: int,
    character_code: str,
    states: Mapping[str, str],
    source: str | Mapping[str, str],
    by: Viewer,
) -> Account:
    """Say how usual the states of one character are, in place of what the account said of it.

    ``states`` gives a code of ``Usual`` by the code of a state; a state left out is not known, and
    none at all takes the character out of the account. ``source`` is a line of words: a book, or
    the find that shows it; one for all the states, or one by the code of each. The account is made
    where there is none yet.
    """
    account = _account_held(taxon_id, by)
    character = Character.objects.filter(code=character_code).first()
    if character is None:
        raise Refused(
            _("The vocabulary holds no such character."), "no_such_character", field="character"
        )
    known = {state.code: state for state in character.states.all()}
    if set(states) - set(known):
        raise Refused(
            _("The vocabulary holds no such state of this character."), "no_such_state", field=None
        )
    sources = source if isinstance(source, Mapping) else dict.fromkeys(states, source)
    lines = {code: _line(sources.get(code, "")) for code in states}
    held = AccountState.objects.filter(account_id=account.pk, character=character)
    before = list(held.select_related("state"))
    if {(row.state.code, row.usual, row.source) for row in before} == {
        (code, usual, lines[code]) for code, usual in states.items()
    }:
        return account
    _made(account)
    held.delete()
    for code, usual in states.items():
        row = AccountState(
            account=account,
            character=character,
            state=known[code],
            usual=usual,
            source=lines[code],
        )
        row.full_clean()
        row.save()
    prior = {
        f"state.{character_code}": "|".join(f"{row.state.code}={row.usual}" for row in before),
        f"source.{character_code}": _sources(row.source for row in before),
    }
    return _raised(account, prior, by)


@transaction.atomic
def account_reading_set(
    *,
    taxon_id: int,
    exposed: str,
    reagent: str = "",
    minute_from: Decimal,
    minute_to: Decimal,
    colours: Mapping[str, str],
    source: str,
    by: Viewer,
) -> Account:
    """Say what colours something turns between two minutes, in place of what was said of that
    beginning; ``colours`` gives a code of ``Usual`` by a code of ``TurnedColour``, none takes the
    reading out."""
    account = _account_held(taxon_id, by)
    reagent, source = _line(reagent), _line(source)
    if (exposed == Exposed.REAGENT) != bool(reagent):
        raise Refused(
            _("Name the reagent where one was applied, and only there."),
            "reagent_or_none",
            field="reagent",
        )
    held = AccountReading.objects.filter(
        account_id=account.pk, exposed=exposed, reagent=reagent, minute_from=minute_from
    )
    before = list(held)
    if {(row.colour, row.usual, row.minute_to, row.source) for row in before} == {
        (colour, usual, minute_to, source) for colour, usual in colours.items()
    }:
        return account
    _made(account)
    held.delete()
    for colour, usual in colours.items():
        row = AccountReading(
            account=account,
            exposed=exposed,
            reagent=reagent,
            minute_from=minute_from,
            minute_to=minute_to,
            colour=colour,
            usual=usual,
            source=source,
        )
        row.full_clean()
        row.save()
    of = f"reading.{exposed}{'.' if reagent else ''}{reagent[:30]}.{minute_from.normalize():f}"
    said = "|".join(f"{row.colour}={row.usual} to {row.minute_to} ({row.source})" for row in before)
    return _raised(account, {of: said}, by)


@transaction.atomic
def account_spores_set(
    *, taxon_id: int, sizes: Mapping[str, Decimal | None] | None, source: str, by: Viewer
) -> Account:
    """Say the usual limits of the spores, in micrometres; None takes them out of the account.

    ``sizes`` by ``length_from``, ``length_to``, ``width_from``, ``width_to``, ``q_from``, ``q_to``;
    only of Q may both be None.
    """
    account = _account_held(taxon_id, by)
    row = AccountSpores.objects.filter(account_id=account.pk).first()
    values: dict[str, Any] = {name: sizes.get(name) for name in SIZES} if sizes else {}
    if sizes:
        values["source"] = _line(source)
    before = {name: getattr(row, name) for name in (*SIZES, "source")} if row else {}
    if before == values:
        return account
    _made(account)
    if not sizes:
        AccountSpores.objects.filter(account=account).delete()
    else:
        if (values["q_from"] is None) != (values["q_to"] is None):
            missing = "q_from" if values["q_from"] is None else "q_to"
            raise Refused(_("Give both limits of Q or neither."), "half_a_q", field=missing)
        if values["q_from"] is not None and values["q_from"] > values["q_to"]:
            raise Refused(_("The larger Q must not be smaller."), "q_backward", field="q_to")
        row = row or AccountSpores(account=account)
        for name, value in values.items():
            setattr(row, name, value)
        row.full_clean()
        row.save()
    prior = {f"spores.{name}": before.get(name) for name in (*SIZES, "source")}
    return _raised(account, prior, by)


@transaction.atomic
def account_set_sources(*, taxon_id: int, sources: str, is_doubtful: bool, by: Viewer) -> Account:
    """Say from what works an account is drawn, and whether it is in doubt."""
    account = _account_held(taxon_id, by)
    sources = _line(sources)
    if (account.sources, account.is_doubtful) == (sources, is_doubtful):
        return account
    prior = {"sources": account.sources, "is_doubtful": account.is_doubtful}
    account.sources, account.is_doubtful = sources, is_doubtful
    account.full_clean()
    return _raised(account, prior, by)


def _account_held(taxon_id: int, by: Viewer) -> Account:
    """Return the account, not saved yet where there is none, once the asker may change it."""
    taxon = Taxon.objects.select_for_update().get(pk=taxon_id)
    if not may_correct_account(by, taxon):
        raise NotPermitted(
            _("Only keepers, and referees in whose scope the name is, may change an account.")
        )
    if taxon.accepted is not None:
        raise Refused(
            _("A synonym has no account. See that of %(accepted)s.") % {"accepted": taxon.accepted},
            "is_synonym",
        )
    if taxon.group != Group.FUNGUS:
        raise Refused(_("Only fungi have accounts."), "no_fungus")
    account = Account.objects.select_for_update().filter(taxon=taxon).first()
    return account or Account(taxon=taxon)


def _made(account: Account) -> None:
    """Save an account that was not there, now that something is said in it."""
    if account._state.adding:
        account.save()


def _raised(account: Account, prior: Mapping[str, Any], by: Viewer) -> Account:
    """Write the account's next version, and what stood before it."""
    account.version += 1
    account.save()
    change_record("account.changed", account, actor_id=by.person_id, prior=prior)
    stamp_raise()
    return account


def _line(text: str) -> str:
    return " ".join(text.split())


def _sources(sources: Iterable[str]) -> str:
    return SOURCES_PARTED.join(sources_told(sources))
