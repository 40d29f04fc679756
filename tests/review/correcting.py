"""Corrections of a species account from a find: the account, the find, and acts upon them."""

from typing import Any

import pytest

from society.core.errors import Refused
from society.finds.models import Find
from society.members.models import Account
from society.names.models import AccountState, CharacterState, Taxon
from society.names.queries import accounts_of
from society.review.models import AccountCorrection
from society.review.services import account_correct
from tests.make import make_character, make_find, make_species_account, make_taxon, viewer
from tests.review.acts import act, fresh

DELICIOSUS = {
    "stem_pits": {"many": "always", "few": "sometimes"},
    "cap_zones": {"clear": "always"},
}


def make_deliciosus() -> Taxon:
    """A milk cap whose account calls its stem pitted always; 'none' is not known of it."""
    taxon = make_taxon("Lactarius deliciosus")
    make_species_account(taxon, DELICIOSUS)
    make_character("stem_pits", "many", "few", "none", part="stem")
    make_character("cap_zones", "clear", "none")
    make_character("taste", "bitter", never_asked=True, part="taste")
    AccountState.objects.update(source="from memory")
    return taxon


def confirmed(ann: Account, referee: Account, taxon: Taxon, **states: str) -> Find:
    posted = make_find(ann, taxon=taxon, state_ids=state_ids(**states))
    act(posted, referee)
    return fresh(posted)


def state_ids(**states: str) -> tuple[int, ...]:
    return tuple(
        CharacterState.objects.get(character__code=code, code=state).pk
        for code, state in states.items()
    )


def correct(find: Find, by: Account, **over: Any) -> AccountCorrection:
    values = {"character_code": "stem_pits", "state_code": "none", "usual": "sometimes", **over}
    return account_correct(find.pk, by=viewer(by), **values)


def refused(find: Find, by: Account, **over: Any) -> Refused:
    """Return how a correction was refused, and prove that nothing was written."""
    before = list(AccountState.objects.order_by("pk").values())
    with pytest.raises(Refused) as caught:
        correct(find, by, **over)
    assert list(AccountState.objects.order_by("pk").values()) == before
    assert not AccountCorrection.objects.exists()
    return caught.value


def held(taxon: Taxon, code: str = "stem_pits") -> dict[str, tuple[str, str]]:
    """Return (how usual, source) of each state held."""
    rows = AccountState.objects.filter(account__taxon=taxon, character__code=code)
    return {row.state.code: (row.usual, row.source) for row in rows.select_related("state")}


def version(taxon: Taxon) -> int:
    return accounts_of([taxon.pk])[taxon.pk].version


def source(find: Find) -> str:
    return f"find {find.spoken_number}"
