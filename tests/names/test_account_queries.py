"""Species accounts as other rooms read them."""

from decimal import Decimal

import pytest
from pytest_django import DjangoAssertNumQueries

from society.names.models import (
    Account,
    AccountReading,
    AccountSpores,
    AccountState,
    Character,
    CharacterState,
    LookAlike,
    Taxon,
)
from society.names.queries import account_book, accounts_of, vocabulary
from society.names.services import stamp_raise
from tests.make import make_taxon

pytestmark = pytest.mark.django_db


def character(code: str, position: int, *states: str) -> Character:
    made = Character.objects.create(
        code=code, part="cap", name=code, forms=["agaric"], position=position
    )
    for number, state in enumerate(states):
        CharacterState.objects.create(character=made, code=state, name=state, position=number)
    return made


def account(taxon: Taxon, held: Character, **usual: str) -> Account:
    made = Account.objects.create(taxon=taxon, sources="from memory")
    for state in held.states.all():
        if state.code in usual:
            AccountState.objects.create(
                account=made,
                character=held,
                state=state,
                usual=usual[state.code],
                source="from memory",
            )
    return made


def test_an_account_is_read_with_its_states_readings_and_spores() -> None:
    milk = character("milk_colour", 2, "white", "orange")
    cap = character("cap_zones", 1, "none", "marked")
    taxon = make_taxon("Lactarius inventus")
    made = account(taxon, milk, orange="usually", white="rarely")
    AccountState.objects.create(
        account=made, character=cap, state=cap.states.get(code="marked"), usual="always", source="a"
    )
    AccountState.objects.create(
        account=made, character=cap, state=cap.states.get(code="none"), usual="never", source="b"
    )
    AccountReading.objects.create(
        account=made,
        exposed="milk",
        minute_from=Decimal(5),
        minute_to=Decimal(30),
        colour="wine",
        usual="usually",
    )
    AccountSpores.objects.create(
        account=made,
        length_from=Decimal("7.5"),
        length_to=Decimal(9),
        width_from=Decimal(6),
        width_to=Decimal(7),
    )
    shown = accounts_of([taxon.pk])[taxon.pk]
    assert shown.states == {
        "cap_zones": {"none": "never", "marked": "always"},
        "milk_colour": {"white": "rarely", "orange": "usually"},
    }
    assert list(shown.states) == ["cap_zones", "milk_colour"]
    assert shown.state_sources == {"cap_zones": "b; a", "milk_colour": "from memory"}
    (reading,) = shown.readings
    assert (reading.exposed, reading.minute_to, reading.colour) == ("milk", Decimal(30), "wine")
    assert shown.spores is not None
    assert (shown.spores.length_from, shown.spores.q_from) == (Decimal("7.5"), None)
    assert (shown.version, shown.sources, shown.is_doubtful) == (1, "from memory", False)


def test_a_source_that_several_states_name_is_told_once() -> None:
    taxon = make_taxon()
    made = account(taxon, character("pits", 1, "none", "few", "many"), none="always", few="rarely")
    made.states.filter(state__code="few").update(source="from memory; find 2026/382; a key")
    assert accounts_of([taxon.pk])[taxon.pk].state_sources == {
        "pits": "from memory; find 2026/382; a key"
    }


def test_a_name_without_an_account_has_none() -> None:
    assert accounts_of([make_taxon().pk]) == {}


def test_accounts_cost_three_queries_for_any_number(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    milk = character("milk_colour", 1, "white", "orange")
    taxa = [make_taxon() for _ in range(12)]
    for taxon in taxa:
        account(taxon, milk, white="always")
    with django_assert_num_queries(3):
        assert len(accounts_of(taxon.pk for taxon in taxa)) == 12
    with django_assert_num_queries(3):
        assert len(accounts_of([taxa[0].pk])) == 1


def test_the_vocabulary_comes_by_code_with_its_states(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    character("milk_colour", 2, "white", "orange")
    character("cap_zones", 1, "none", "marked")
    with django_assert_num_queries(2):
        held = vocabulary()
        assert [state.code for state in held["milk_colour"].states.all()] == ["white", "orange"]
    assert list(held) == ["cap_zones", "milk_colour"]


def test_the_book_of_accounts_is_read_in_eight_queries_and_looked_at_in_one(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    milk = character("milk_colour", 1, "white", "orange")
    taxa = [make_taxon(f"Lactarius novus{letter}") for letter in "abc"]
    for taxon in taxa:
        account(taxon, milk, orange="usually")
    LookAlike.objects.create(taxon=taxa[0], other=taxa[1], source="a book")
    stamp_raise()
    # The eight, and the one of the stamp.
    with django_assert_num_queries(9):
        account_book()
    with django_assert_num_queries(1):
        account_book()
