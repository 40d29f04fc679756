"""A name posted before the checklist held it, and added by a keeper later."""

import pytest
from django.db import IntegrityError, transaction

from society.finds.models import DeterminationSlip
from society.finds.services import OrganismEntry, slips_link
from society.names.services import taxon_add
from society.review.services import verdict_lay
from tests.make import make_account, make_find, make_referee, viewer

pytestmark = pytest.mark.django_db

VALUES = {
    "scientific_name": "Lactarius caldermossensis",
    "rank": "species",
    "group": "fungus",
    "form": "agaric",
    "genus": "Lactarius",
    "family": "Russulaceae",
    "order": "Russulales",
}


def test_a_name_added_later_is_given_to_the_slips_that_bear_it_and_their_words_stay() -> None:
    keeper = make_account("Kay", is_keeper=True)
    find = make_find(name="Lactarius caldermossensis")
    referee = make_referee("Carl")
    verdict_lay(find.pk, by=viewer(referee), kind="confirm", slip_id=find.slips.get().pk)
    find.refresh_from_db()
    assert find.standing == "confirmed"
    assert find.standing_taxon is None

    taxon = taxon_add(VALUES, by=viewer(keeper))

    find.refresh_from_db()
    slip = find.slips.get()
    assert slip.taxon == taxon
    assert slip.name_written == "Lactarius caldermossensis"
    assert find.standing == "confirmed"
    assert find.standing_taxon == taxon


def test_a_misspelt_name_is_not_given_the_row_of_the_right_one() -> None:
    keeper = make_account("Kay", is_keeper=True)
    find = make_find(name="Lactarius caldermosensis")

    taxon_add(VALUES, by=viewer(keeper))

    assert find.slips.get().taxon is None


def test_trees_written_before_they_were_in_the_checklist_are_given_their_row() -> None:
    keeper = make_account("Kay", is_keeper=True)
    find = make_find(organisms=(OrganismEntry(as_written="Sorbus caldermossensis"),))

    tree = taxon_add(
        {"scientific_name": "Sorbus caldermossensis", "rank": "species", "group": "tree"},
        by=viewer(keeper),
    )

    assert find.organisms.get().taxon == tree


def test_linking_again_changes_nothing() -> None:
    keeper = make_account("Kay", is_keeper=True)
    make_find(name="Lactarius caldermossensis")
    taxon = taxon_add(VALUES, by=viewer(keeper))

    assert slips_link([taxon.pk]) == 0


@pytest.mark.parametrize("change", [{"name_written": "Another name"}, {"basis": "microscope"}])
def test_the_words_of_a_slip_cannot_be_changed_even_in_the_database(change: dict) -> None:
    slip = make_find(name="Lactarius caldermossensis").slips.get()

    with pytest.raises(IntegrityError), transaction.atomic():
        DeterminationSlip.objects.filter(pk=slip.pk).update(**change)

    slip.refresh_from_db()
    assert slip.name_written == "Lactarius caldermossensis"
