"""A referee corrects a species account from a confirmed find; it is kept, and can be undone."""

import uuid
from typing import Any

import pytest
from django.db import IntegrityError, transaction

from society.core.errors import Conflict, NotPermitted, Refused
from society.core.models import Change, FieldVersion
from society.finds.models import Find
from society.finds.services import SlipEntry, find_withdraw
from society.members.models import Account
from society.names.models import AccountState, Taxon
from society.names.services import account_state_set
from society.review.models import AccountCorrection
from society.review.queries import contrast_for_find
from society.review.services import (
    account_correction_withdraw,
    scope_end,
)
from tests.make import (
    make_account,
    make_find,
    make_referee,
    make_taxon,
    viewer,
)
from tests.review.acts import act, fresh
from tests.review.correcting import (
    confirmed,
    correct,
    held,
    make_deliciosus,
    refused,
    source,
    state_ids,
    version,
)
from tests.review.desk import seen
from tests.review.splitting import days_ago, split

pytestmark = pytest.mark.django_db


@pytest.fixture
def deliciosus(bea: Account) -> Taxon:
    return make_deliciosus()


@pytest.fixture
def find(ann: Account, bea: Account, deliciosus: Taxon) -> Find:
    """A confirmed one that was not pitted."""
    return confirmed(ann, bea, deliciosus, stem_pits="none")


# --- the service ------------------------------------------------------------------------------


def test_a_state_is_corrected_with_the_find_added_to_its_source_and_no_other_changes(
    find: Find, bea: Account, deliciosus: Taxon
) -> None:
    laid = correct(find, bea, remarks=" Three of a troop had no pits. ")
    assert held(deliciosus) == {
        "many": ("always", "from memory"),
        "few": ("sometimes", "from memory"),
        "none": ("sometimes", source(find)),
    }
    assert held(deliciosus, "cap_zones") == {"clear": ("always", "from memory")}
    assert (laid.usual_before, laid.usual_after) == ("", "sometimes")
    assert (laid.source_before, laid.source_after) == ("", source(find))
    assert laid.account_version == version(deliciosus) == 2
    assert (laid.by_id, laid.remarks) == (bea.person_id, "Three of a troop had no pits.")


def test_a_source_that_stood_there_stays_before_the_find(
    ann: Account, bea: Account, deliciosus: Taxon
) -> None:
    find = confirmed(ann, bea, deliciosus, stem_pits="few")
    laid = correct(find, bea, state_code="few", usual="usually")
    assert held(deliciosus)["few"] == ("usually", f"from memory; {source(find)}")
    assert (laid.usual_before, laid.source_before) == ("sometimes", "from memory")


def test_it_is_written_into_the_history_of_the_account_and_of_the_find(
    find: Find, bea: Account, deliciosus: Taxon
) -> None:
    correct(find, bea)
    changed = Change.objects.filter(verb="account.changed").get()
    assert changed.actor_id == bea.person_id
    prior = FieldVersion.objects.get(change=changed, field="state.stem_pits").prior
    assert prior == "many=always|few=sometimes"
    assert Change.objects.filter(verb="find.account_corrected", object_id=find.pk).count() == 1
    assert "Bea Lowther corrected the species account from the find" in seen(find, bea)


def test_the_first_correction_begins_an_account_where_there_was_none(
    ann: Account, bea: Account, milkcap: Taxon, deliciosus: Taxon
) -> None:
    find = confirmed(ann, bea, milkcap, stem_pits="none")
    correct(find, bea)
    assert held(milkcap) == {"none": ("sometimes", source(find))}


def test_what_speaks_against_the_name_speaks_less_against_it_once_the_account_is_corrected(
    find: Find, bea: Account, deliciosus: Taxon
) -> None:
    def weight() -> float:
        row = contrast_for_find(find.pk).named[deliciosus.pk].row
        return next(bearing.weight for bearing in row.bearings if bearing.code == "stem_pits")

    before = weight()
    correct(find, bea, usual="usually")
    assert weight() > before


def test_only_a_referee_in_whose_scope_the_name_is_may_correct_its_account(
    find: Find, ann: Account, bea: Account, carl: Account
) -> None:
    outside = make_referee("Olga Fenn", "genus", "Russula")
    keeper = make_account("Ida Keeper", is_keeper=True)
    for by in (ann, outside, keeper, make_account("Some Member")):
        assert isinstance(refused(find, by), NotPermitted)
    assert correct(find, carl).by_id == carl.person_id


def test_a_find_that_is_not_confirmed_corrects_nothing(
    ann: Account, bea: Account, carl: Account, deliciosus: Taxon
) -> None:
    posted = make_find(ann, taxon=deliciosus, state_ids=state_ids(stem_pits="none"))
    assert refused(posted, bea).code == "not_confirmed"
    own = make_find(bea, taxon=deliciosus, state_ids=state_ids(stem_pits="none"))
    assert fresh(own).standing == "determined_by_its_referee"
    assert refused(own, bea).code == "not_confirmed"
    act(posted, bea)
    act(posted, carl, "dispute", reason="The milk was wine-red.")
    assert refused(posted, bea).code == "not_confirmed"


def test_a_find_confirmed_as_far_as_its_genus_corrects_no_species(
    ann: Account, bea: Account, milkcap: Taxon, deliciosus: Taxon
) -> None:
    posted = make_find(ann, taxon=deliciosus, state_ids=state_ids(stem_pits="none"))
    act(posted, bea, at_rank="genus")
    assert fresh(posted).standing == "confirmed"
    assert refused(posted, bea).code == "no_species"


@pytest.mark.parametrize("qualifier", ["cf.", "aff.", "s.l."])
def test_a_name_in_doubt_or_in_a_wide_sense_corrects_nothing(
    qualifier: str, ann: Account, bea: Account, deliciosus: Taxon
) -> None:
    slip = SlipEntry(deliciosus.scientific_name, taxon_id=deliciosus.pk, qualifier=qualifier)
    posted = make_find(ann, slip=slip, state_ids=state_ids(stem_pits="none"))
    act(posted, bea)
    assert refused(posted, bea).code == "in_doubt"


def test_a_name_split_since_the_find_was_confirmed_corrects_nothing_until_it_is_looked_at(
    ann: Account, bea: Account, deliciosus: Taxon
) -> None:
    with days_ago(40):
        find = confirmed(ann, bea, deliciosus, stem_pits="none")
    split(deliciosus, make_taxon("Lactarius novus"), ago=3)
    assert refused(find, bea).code == "split_since"
    act(find, bea)
    correct(find, bea)


@pytest.mark.parametrize("stage", ["button", "decayed"])
def test_what_is_not_grown_or_no_longer_fresh_corrects_nothing(
    stage: str, find: Find, bea: Account
) -> None:
    Find.objects.filter(pk=find.pk).update(stage=stage)
    assert "fresh, grown ones" in str(refused(find, bea).message)


def test_a_taste_is_asked_of_nobody(find: Find, bea: Account) -> None:
    said = refused(find, bea, character_code="taste", state_code="bitter", remarks="It was bitter.")
    assert said.code == "no_such_character"


def test_a_withdrawn_find_corrects_nothing(find: Find, ann: Account, bea: Account) -> None:
    find_withdraw(find.pk, by=viewer(ann))
    assert refused(find, bea).code == "withdrawn"


def test_what_the_find_does_not_hold_needs_words_of_the_referee(
    find: Find, bea: Account, deliciosus: Taxon
) -> None:
    error = refused(find, bea, state_code="many", usual="usually", remarks="  ")
    assert (error.code, error.field) == ("not_observed", "remarks")
    correct(find, bea, state_code="many", usual="usually", remarks="The stem in the photograph.")
    assert held(deliciosus)["many"] == ("usually", f"from memory; {source(find)}")


def test_what_the_find_shows_is_never_called_never(find: Find, bea: Account) -> None:
    assert refused(find, bea, usual="never", remarks="A slip.").code == "find_shows_it"


@pytest.mark.parametrize(
    ("over", "code"),
    [
        ({"character_code": "feathers"}, "no_such_character"),
        ({"state_code": "clear"}, "no_such_state"),
        ({"usual": "mostly"}, "no_usual"),
        ({"usual": ""}, "no_usual"),
        ({"state_code": "many", "usual": "always", "remarks": "As it says."}, "said_already"),
    ],
)
def test_what_means_nothing_or_changes_nothing_is_refused(
    over: dict[str, str], code: str, find: Find, bea: Account
) -> None:
    assert refused(find, bea, **over).code == code


def test_a_source_without_room_for_the_find_is_refused_and_not_cut(
    ann: Account, bea: Account, deliciosus: Taxon
) -> None:
    find = confirmed(ann, bea, deliciosus, stem_pits="few")
    AccountState.objects.filter(state__code="few").update(source="b" * 195)
    assert refused(find, bea, state_code="few", usual="usually").code == "source_full"


def test_an_account_changed_while_the_referee_looked_is_a_conflict(
    find: Find, bea: Account, deliciosus: Taxon
) -> None:
    assert isinstance(refused(find, bea, account_version=7), Conflict)
    assert correct(find, bea, account_version=1).account_version == 2


def test_a_double_click_lays_one_correction_and_anothers_is_not_told(
    find: Find, bea: Account, carl: Account, deliciosus: Taxon
) -> None:
    own = uuid.uuid4()
    assert correct(find, bea, uuid=own) == correct(find, bea, uuid=own)
    assert version(deliciosus) == 2
    with pytest.raises(Refused) as caught:
        correct(find, carl, uuid=own)
    assert caught.value.code == "not_found"


# --- undoing ----------------------------------------------------------------------------------


def test_withdrawing_puts_back_what_stood_there_with_its_source(
    ann: Account, bea: Account, deliciosus: Taxon
) -> None:
    find = confirmed(ann, bea, deliciosus, stem_pits="few")
    before = held(deliciosus)
    laid = correct(find, bea, state_code="few", usual="usually")
    account_correction_withdraw(laid.pk, by=viewer(bea))
    assert held(deliciosus) == before
    laid.refresh_from_db()
    assert laid.withdrawn_by_id == bea.person_id
    assert laid.withdrawn_at is not None
    assert Change.objects.filter(verb="find.account_put_back", object_id=find.pk).count() == 1


def test_what_was_not_known_is_not_known_again(find: Find, bea: Account, deliciosus: Taxon) -> None:
    before = held(deliciosus)
    account_correction_withdraw(correct(find, bea).pk, by=viewer(bea))
    assert held(deliciosus) == before


def test_a_keeper_may_withdraw_it_and_another_referee_may_not(
    find: Find, bea: Account, carl: Account, deliciosus: Taxon
) -> None:
    laid = correct(find, bea)
    with pytest.raises(NotPermitted):
        account_correction_withdraw(laid.pk, by=viewer(carl))
    assert "none" in held(deliciosus)
    keeper = make_account("Ida Keeper", is_keeper=True)
    assert account_correction_withdraw(laid.pk, by=viewer(keeper)).withdrawn_by_id == (
        keeper.person_id
    )


def test_withdrawing_twice_changes_nothing(find: Find, bea: Account, deliciosus: Taxon) -> None:
    laid = correct(find, bea)
    first = account_correction_withdraw(laid.pk, by=viewer(bea))
    again = account_correction_withdraw(laid.pk, by=viewer(bea))
    assert again.withdrawn_at == first.withdrawn_at
    assert version(deliciosus) == 3


def test_what_a_keeper_changed_since_stays_and_the_referee_is_told(
    find: Find, bea: Account, deliciosus: Taxon
) -> None:
    laid = correct(find, bea)
    keeper = make_account("Ida Keeper", is_keeper=True)
    account_state_set(
        taxon_id=deliciosus.pk,
        character_code="stem_pits",
        states={"none": "rarely"},
        source="a monograph",
        by=viewer(keeper),
    )
    with pytest.raises(Refused) as caught:
        account_correction_withdraw(laid.pk, by=viewer(bea))
    assert caught.value.code == "changed_since"
    assert held(deliciosus) == {"none": ("rarely", "a monograph")}
    assert AccountCorrection.objects.get().withdrawn_at is None


def test_a_change_of_another_state_does_not_stand_in_the_way(
    find: Find, bea: Account, deliciosus: Taxon
) -> None:
    laid = correct(find, bea)
    correct(find, bea, state_code="many", usual="usually", remarks="As the picture shows.")
    account_correction_withdraw(laid.pk, by=viewer(bea))
    assert held(deliciosus) == {
        "many": ("usually", f"from memory; {source(find)}"),
        "few": ("sometimes", "from memory"),
    }


def test_a_later_correction_of_the_same_state_is_withdrawn_first(
    find: Find, bea: Account, carl: Account, deliciosus: Taxon
) -> None:
    first = correct(find, bea)
    second = correct(find, carl, usual="rarely")
    with pytest.raises(Refused):
        account_correction_withdraw(first.pk, by=viewer(bea))
    account_correction_withdraw(second.pk, by=viewer(carl))
    account_correction_withdraw(first.pk, by=viewer(bea))
    assert "none" not in held(deliciosus)


def test_a_referee_whose_scope_has_ended_may_no_longer_change_the_account(
    find: Find, bea: Account, deliciosus: Taxon
) -> None:
    laid = correct(find, bea)
    keeper = make_account("Ida Keeper", is_keeper=True)
    scope_end(bea.person.scopes.get().pk, by=viewer(keeper))
    with pytest.raises(NotPermitted):
        account_correction_withdraw(laid.pk, by=viewer(bea))
    assert "none" in held(deliciosus)


@pytest.mark.parametrize(
    "change",
    [
        {"usual_after": "rarely"},
        {"remarks": "something else"},
        {"source_after": "a book"},
        {"account_version": 9},
    ],
)
def test_what_was_said_is_never_edited(change: dict[str, Any], find: Find, bea: Account) -> None:
    laid = correct(find, bea)
    with pytest.raises(IntegrityError), transaction.atomic():
        AccountCorrection.objects.filter(pk=laid.pk).update(**change)


def test_a_withdrawal_is_not_taken_back(find: Find, bea: Account) -> None:
    laid = correct(find, bea)
    account_correction_withdraw(laid.pk, by=viewer(bea))
    with pytest.raises(IntegrityError), transaction.atomic():
        AccountCorrection.objects.filter(pk=laid.pk).update(withdrawn_at=None, withdrawn_by=None)
