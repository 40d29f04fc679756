"""How far a name is confirmed or left open, and when it needs a second referee."""

import pytest

from society.core.errors import Refused
from society.finds.services import SlipEntry
from society.members.models import Account
from society.names.models import Taxon
from society.review.models import DeskEntry
from society.review.services import slip_lay
from tests.make import (
    make_find,
    make_society,
    make_taxon,
    viewer,
)
from tests.review.acts import act, fresh, lay

pytestmark = pytest.mark.django_db


# --- how far --------------------------------------------------------------------------------------


def test_confirmed_to_the_genus_it_stands_under_the_genus(milkcap: Taxon, bea: Account) -> None:
    find = make_find(taxon=milkcap)
    act(find, bea, at_rank="genus")
    find = fresh(find)
    assert find.standing == "confirmed"
    assert find.standing_taxon is not None
    assert find.standing_taxon.scientific_name == "Lactarius"
    assert (find.standing_rank, find.slips.count()) == ("genus", 1)


def test_confirmed_to_the_aggregate_it_stands_under_its_row(bea: Account) -> None:
    make_taxon("Lactarius", rank="genus")
    species = make_taxon("Lactarius deliciosus")
    aggregate = make_taxon("Lactarius deliciosus agg.", rank="aggregate")
    find = make_find(taxon=species)
    act(find, bea, at_rank="aggregate")
    assert fresh(find).standing_taxon == aggregate


def test_a_section_without_a_row_is_listed_under_the_genus(milkcap: Taxon, bea: Account) -> None:
    find = make_find(taxon=milkcap)
    act(find, bea, at_rank="section")
    find = fresh(find)
    assert find.standing_taxon is not None
    assert (find.standing_taxon.rank, find.standing_rank) == ("genus", "section")


def test_a_slip_as_aggregate_keeps_its_own_row_and_its_qualifier(
    milkcap: Taxon, bea: Account
) -> None:
    slip = SlipEntry("Lactarius deterrimus agg.", milkcap.pk, qualifier="agg.")
    find = make_find(slip=slip)
    act(find, bea)
    find = fresh(find)
    assert (find.standing_taxon, find.standing_rank) == (milkcap, "species")
    assert find.standing_slip is not None
    assert find.standing_slip.qualifier == "agg."


def test_an_aggregate_confirmed_by_one_and_written_by_another_agree(
    bea: Account, carl: Account
) -> None:
    make_taxon("Lactarius", rank="genus")
    species = make_taxon("Lactarius deliciosus")
    make_taxon("Lactarius deliciosus agg.", rank="aggregate")
    find = make_find(taxon=species)
    act(find, bea, at_rank="aggregate")
    slip_lay(
        find.pk,
        SlipEntry("Lactarius deliciosus s.l.", species.pk, qualifier="s.l."),
        by=viewer(carl),
    )
    assert fresh(find).standing == "confirmed"


@pytest.mark.parametrize(("rank", "code"), [("kingdom", "no_rank"), ("species", "too_narrow")])
def test_a_rank_that_cannot_be_is_refused_beside_its_field(
    bea: Account, rank: str, code: str
) -> None:
    genus = make_taxon("Lactarius", rank="genus")
    find = make_find(taxon=genus)
    with pytest.raises(Refused) as refused:
        act(find, bea, at_rank=rank)
    assert (refused.value.code, refused.value.field) == (code, "at_rank")


def test_a_genus_that_the_checklist_lacks_is_refused_in_words(bea: Account) -> None:
    find = make_find(taxon=make_taxon("Lactarius deterrimus"))
    with pytest.raises(Refused) as refused:
        act(find, bea, at_rank="genus")
    assert refused.value.code == "no_genus"


def test_left_open_at_no_rank_it_stands_under_no_name(milkcap: Taxon, bea: Account) -> None:
    find = make_find(taxon=milkcap)
    act(find, bea, "leave_open")
    find = fresh(find)
    assert (find.standing, find.standing_taxon, find.standing_rank) == ("left_open", None, "")


def test_left_open_at_the_genus_the_genus_holds(milkcap: Taxon, bea: Account) -> None:
    find = make_find(taxon=milkcap)
    act(find, bea, "leave_open", at_rank="genus")
    find = fresh(find)
    assert find.standing_taxon is not None
    assert (find.standing, find.standing_taxon.rank) == ("left_open", "genus")


# --- a first, and a second referee ----------------------------------------------------------------


def test_a_first_waits_for_a_second_referee_once_the_old_books_are_entered(
    bea: Account, carl: Account
) -> None:
    make_society(old_books_entered=True)
    find = make_find(taxon=make_taxon("Lactarius sphagni", needs="microscope"))
    act(find, bea)
    assert fresh(find).standing == "unconfirmed"
    assert "one_referee_agrees" in DeskEntry.objects.get(find=find).reasons
    act(find, carl)
    assert fresh(find).standing == "confirmed"


@pytest.mark.parametrize(
    ("books", "needs", "earlier"),
    [(False, "microscope", False), (True, "eye", False), (True, "microscope", True)],
    ids=["books not entered", "settled by eye", "not the first"],
)
def test_one_referee_is_enough_for(bea: Account, books: bool, needs: str, earlier: bool) -> None:
    make_society(old_books_entered=books)
    taxon = make_taxon("Lactarius sphagni", needs=needs)
    if earlier:
        slip = SlipEntry("Lactarius sphagni", taxon.pk, basis="books")
        assert make_find(slip=slip).standing == "from_the_books"
    find = make_find(taxon=taxon)
    act(find, bea)
    assert fresh(find).standing == "confirmed"


def test_an_unconfirmed_find_of_the_name_makes_it_no_less_a_first(bea: Account) -> None:
    make_society(old_books_entered=True)
    taxon = make_taxon("Lactarius sphagni", needs="microscope")
    make_find(taxon=taxon)
    find = make_find(taxon=taxon)
    assert act(find, bea).required["first"] is True


def test_a_first_given_up_for_a_common_name_needs_no_second(bea: Account) -> None:
    make_society(old_books_entered=True)
    find = make_find(taxon=make_taxon("Lactarius sphagni", needs="microscope"))
    act(find, bea)
    common = make_taxon("Lactarius rufus")
    lay(find, bea, common)
    find = fresh(find)
    assert (find.standing, find.standing_taxon) == ("confirmed", common)
