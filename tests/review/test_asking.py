"""Asking for evidence, what may be asked, and what brings a find back to the referees."""

import io

import pytest
from PIL import Image

from society.core.errors import Refused
from society.finds.services import SlipEntry, photograph_add
from society.members.models import Account
from society.names.models import Taxon
from society.review.models import Waits, Wanted
from society.review.queries import may_be_asked
from society.review.services import comment_add
from tests.make import (
    make_account,
    make_find,
    make_person,
    make_site,
    make_taxon,
    viewer,
)
from tests.review.acts import act, fresh, lay, waits

pytestmark = pytest.mark.django_db


# --- asking for evidence --------------------------------------------------------------------------


def test_asking_hands_the_find_to_its_finder_and_an_answer_brings_it_back(
    milkcap: Taxon, bea: Account
) -> None:
    ann = make_account("Ann")
    find = make_find(ann, taxon=milkcap, plain={"in_hand": "fresh"})
    act(find, bea, "ask", wanted="section")
    assert (fresh(find).standing, waits(find)) == ("unconfirmed", Waits.FOR_FINDER)
    comment_add(find.pk, text="It rotted, sorry.", by=viewer(make_account("Bystander")))
    assert waits(find) == Waits.FOR_FINDER
    comment_add(find.pk, text="It rotted, sorry.", by=viewer(ann))
    assert waits(find) == Waits.FOR_REFEREE


def test_evidence_and_a_new_slip_bring_a_find_back_too(milkcap: Taxon, bea: Account) -> None:
    ann = make_account("Ann")
    find = make_find(ann, taxon=milkcap)
    act(find, bea, "ask", wanted="section")
    picture = io.BytesIO()
    Image.new("RGB", (40, 40), "red").save(picture, "PNG")
    photograph_add(find.pk, picture, by=viewer(ann), view="section")
    assert waits(find) == Waits.FOR_REFEREE
    act(find, bea, "ask", wanted="underside")
    lay(find, ann, make_taxon("Lactarius deliciosus"))
    assert waits(find) == Waits.FOR_REFEREE


def test_who_entered_a_find_for_a_finder_without_sign_in_answers_for_them(
    milkcap: Taxon, bea: Account
) -> None:
    clerk = make_account("Clerk")
    find = make_find(clerk, finder_id=make_person("Paper Member").pk, taxon=milkcap)
    act(find, bea, "ask", wanted="section")
    comment_add(find.pk, text="Nothing was kept.", by=viewer(clerk))
    assert waits(find) == Waits.FOR_REFEREE


def test_only_what_may_be_asked_and_can_still_be_had_is_asked(milkcap: Taxon, bea: Account) -> None:
    find = make_find(taxon=milkcap, plain={"in_hand": "dried"})
    assert "section" not in may_be_asked(find)
    for wanted in ("section", "taste", "", "nonsense"):
        with pytest.raises(Refused) as refused:
            act(find, bea, "ask", wanted=wanted)
        assert refused.value.field == "wanted"
    act(find, bea, "ask", wanted="microscope")


def test_where_lifting_is_forbidden_a_mirror_is_asked_for_instead(
    milkcap: Taxon, bea: Account
) -> None:
    site = make_site(picking="nothing")
    find = make_find(taxon=milkcap, site=site, plain={"in_hand": "fresh"})
    asked = may_be_asked(find)
    assert "mirror_photograph" in asked
    assert not {"underside", "section", "spore_print", "specimen"} & set(asked)
    with pytest.raises(Refused):
        act(find, bea, "ask", wanted="section")


def test_tasting_is_no_evidence_that_exists() -> None:
    words = " ".join([*Wanted.values, *(str(label) for label in Wanted.labels)])
    assert "tast" not in words.lower()


def test_an_ask_after_confirmation_waits_for_the_finder_and_takes_nothing_back(
    milkcap: Taxon, bea: Account
) -> None:
    ann = make_account("Ann")
    find = make_find(ann, taxon=milkcap)
    act(find, bea, at_rank="genus")
    act(find, bea, "ask", wanted="microscope")
    assert (fresh(find).standing, waits(find)) == ("confirmed", Waits.FOR_FINDER)
    comment_add(find.pk, text="Spores 8 to 9 micrometres.", by=viewer(ann))
    assert waits(find) == Waits.FOR_REFEREE
    act(find, bea)
    assert waits(find) == Waits.FOR_NOBODY


def test_an_ask_is_over_when_another_referee_has_settled_the_find(
    milkcap: Taxon, bea: Account, carl: Account
) -> None:
    find = make_find(taxon=milkcap)
    act(find, bea, "ask", wanted="section")
    act(find, carl)
    assert waits(find) == Waits.FOR_NOBODY


# --- left open, and the old books -----------------------------------------------------------------


def test_what_a_finder_adds_to_a_find_left_open_brings_it_back(
    milkcap: Taxon, bea: Account
) -> None:
    ann = make_account("Ann")
    find = make_find(ann, taxon=milkcap)
    act(find, bea, "leave_open")
    assert waits(find) == Waits.FOR_NOBODY
    comment_add(find.pk, text="I found the dried piece after all.", by=viewer(ann))
    assert (fresh(find).standing, waits(find)) == ("left_open", Waits.FOR_REFEREE)


def test_a_find_from_the_books_stands_until_a_referee_reopens_it(
    milkcap: Taxon, bea: Account
) -> None:
    find = make_find(slip=SlipEntry("L. deterrimus", milkcap.pk, basis="books"))
    assert (find.standing, waits(find)) == ("from_the_books", Waits.FOR_NOBODY)
    act(find, bea, "dispute", reason="There was no spruce then.")
    assert fresh(find).standing == "from_the_books"
    act(find, bea, "reopen")
    assert fresh(find).standing == "disputed"


def test_there_is_nothing_to_reopen_in_an_open_find(milkcap: Taxon, bea: Account) -> None:
    with pytest.raises(Refused) as refused:
        act(make_find(taxon=milkcap), bea, "reopen")
    assert refused.value.code == "not_closed"
