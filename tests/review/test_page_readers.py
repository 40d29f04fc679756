"""The find's page: what each reader sees of it, and the notice with what speaks of eating."""

import pytest
from django.test import Client
from django.urls import reverse

from society.finds.models import Find
from society.finds.services import (
    EatingNoteEntry,
    PlaceEntry,
    SlipEntry,
    find_withdraw,
    photograph_add,
)
from society.members.models import Account
from society.names.models import LookAlike, Taxon
from society.review.models import Verdict
from society.review.services import comment_add, slip_lay
from tests.make import (
    make_account,
    make_find,
    make_referee,
    make_site,
    make_society,
    make_taxon,
    viewer,
)
from tests.review.acts import act as act_on
from tests.review.desk import act, client_of, find_address, picture, seen

pytestmark = pytest.mark.django_db

FULL_NOTICE = "It is never leave to eat."
PRAISE = "Fried in butter they were delicious."


@pytest.fixture(autouse=True)
def _society() -> None:
    make_society()


# --- who sees what --------------------------------------------------------------------------------


def test_a_guest_reads_a_confirmed_find_without_acts_thread_or_history(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    find = make_find(ann, taxon=milkcap, site=make_site("Hagg Wood"))
    comment_add(find.pk, text="By the boathouse, second tree.", by=viewer(ann))
    assert Client().get(find_address(find)).status_code == 404
    act_on(find, bea)
    page = seen(find)
    assert "Lactarius deterrimus" in page
    assert "Hagg Wood" in page
    for words in ("boathouse", "<form", "History", "What would help", "55.203"):
        assert words not in page.replace('<form class="search"', ""), words


def test_a_guest_is_never_given_an_unpublished_find(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    find = make_find(ann, taxon=milkcap)
    for kind in ("dispute", "leave_open"):
        act_on(find, bea, kind=kind, reason="It does not fit.")
        assert Client().get(find_address(find)).status_code == 404


def test_a_member_lays_slips_and_writes_but_settles_nothing(ann: Account, milkcap: Taxon) -> None:
    page = seen(make_find(ann, taxon=milkcap), make_account())
    assert "Lay a slip" in page
    assert "Write to finder and referees" in page
    assert "As its referee" not in page
    assert "Your find" not in page


def test_a_finder_sees_what_would_help_as_help_and_may_change_the_find(
    ann: Account, milkcap: Taxon
) -> None:
    find = make_find(ann, taxon=milkcap, plain={"in_hand": "dried"})
    page = seen(find, ann)
    assert "What would help a referee" in page
    assert "a photograph of a cut section" in page
    assert "no longer to be had; next time perhaps" in page
    assert reverse("finds:edit", args=[find.year, find.number]) in page
    assert "Withdraw this find" in page
    assert "As its referee" not in page
    assert "tast" not in page.lower()


def test_what_would_help_is_no_matter_once_a_find_is_confirmed(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    find = make_find(ann, taxon=milkcap)
    act_on(find, bea)
    assert "What would help" not in seen(find, ann)


def test_a_referee_sees_the_acts_and_only_what_may_be_asked(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    site = make_site(picking="nothing")
    page = seen(make_find(ann, taxon=milkcap, site=site, plain={"in_hand": "fresh"}), bea)
    assert "As its referee" in page
    for key in "cado":
        assert f'data-key="{key}"' in page
    assert 'value="mirror_photograph"' in page
    asked = page[page.index('name="wanted"') :].split("</select>")[0]
    for code in ("section", "underside", "spore_print", "specimen"):
        assert f'value="{code}"' not in asked
    assert "Reopen" not in page


def test_a_finder_who_referees_is_told_that_another_settles_it(milkcap: Taxon) -> None:
    carl = make_referee("Carl Nairn")
    page = seen(make_find(carl, taxon=milkcap), carl)
    assert "another referee settles it" in page
    assert "As its referee" not in page


def test_a_referee_out_of_scope_is_told_so(ann: Account, milkcap: Taxon) -> None:
    page = seen(make_find(ann, taxon=milkcap), make_referee("Cap", "genus", "Cortinarius"))
    assert "No name laid on this find lies in your scope." in page
    assert "As its referee" not in page


def test_a_referee_settles_the_slips_in_scope_and_no_other(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    find = make_find(ann, taxon=milkcap)
    webcap = make_taxon("Cortinarius sanguineus", family="Cortinariaceae", order="Agaricales")
    slip_lay(find.pk, SlipEntry("C. sanguineus", webcap.pk), by=viewer(make_account()))
    own, other = find.slips.order_by("pk")
    page = seen(find, bea)
    choices = page[page.index('name="slip"') :].split("</select>")[0]
    assert f'<option value="{own.pk}" selected>' in choices
    assert f'value="{other.pk}"' not in choices
    answer = act(client_of(bea), find, slip=other.pk)
    assert answer.status_code == 422
    assert not Verdict.objects.exists()


def test_a_find_from_the_books_offers_to_reopen_it_first(bea: Account, milkcap: Taxon) -> None:
    find = make_find(slip=SlipEntry("L. deterrimus", milkcap.pk, basis="books"))
    page = seen(find, bea)
    assert 'value="reopen"' in page
    assert 'value="confirm"' not in page
    assert act(client_of(bea), find, "reopen").status_code == 302
    assert Find.objects.get(pk=find.pk).standing == "unconfirmed"


def test_a_withdrawn_find_is_for_its_finder_and_keepers(ann: Account, milkcap: Taxon) -> None:
    find = make_find(ann, taxon=milkcap)
    find_withdraw(find.pk, by=viewer(ann))
    assert "This find is withdrawn" in seen(find, ann)
    assert "Put it back" in seen(find, make_account(is_keeper=True))
    assert client_of(make_account()).get(find_address(find)).status_code == 404
    assert "Lay a slip" not in seen(find, ann)


# --- whose place ----------------------------------------------------------------------------------


def test_a_kept_place_is_shown_to_members_and_an_exact_one_to_those_concerned(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    kept = make_site("Kept Carr", openness="kept")
    place = PlaceEntry(552_031_415, -26_027_182, 20, "typed", "under the third pylon")
    find = make_find(ann, taxon=milkcap, site=kept, place=place)
    act_on(find, bea)
    guest, member = seen(find), seen(find, make_account())
    assert "Kept Carr" not in guest
    assert "Kept Carr" in member
    for page in (guest, member):
        assert "pylon" not in page
        assert "55.20314" not in page
    for account in (ann, bea, make_account(is_keeper=True)):
        page = seen(find, account)
        assert "55.20314" in page
        assert "under the third pylon" in page


def test_a_find_of_a_rare_name_gives_the_region_only(ann: Account) -> None:
    rare = make_taxon("Hericium inventum", family="Hericiaceae", sensitivity=1)
    find = make_find(ann, taxon=rare, site=make_site("Old Deer Park", extent_m=400))
    act_on(find, make_referee())
    guest = seen(find)
    assert "Old Deer Park" not in guest
    assert "Caldermoss" in guest
    assert "55.2" not in guest
    assert "Old Deer Park" not in seen(find, make_account())


# --- eating ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("standing", ["unconfirmed", "confirmed", "disputed", "left_open"])
def test_praise_is_folded_behind_the_notice_whatever_the_standing(
    ann: Account, bea: Account, milkcap: Taxon, standing: str
) -> None:
    find = make_find(ann, taxon=milkcap, plain={"notes": PRAISE})
    kinds = {"confirmed": "confirm", "disputed": "dispute", "left_open": "leave_open"}
    if standing in kinds:
        act_on(find, bea, kind=kinds[standing], reason="As seen.")
    assert Find.objects.get(pk=find.pk).standing == standing
    page = seen(find, ann)
    assert page.count(FULL_NOTICE) == 1
    assert page.index(FULL_NOTICE) < page.index(PRAISE)
    folded = page[page.index("caution-fold") : page.index(PRAISE)]
    assert "<summary" in folded
    assert " open" not in folded.split(">")[0]
    assert reverse("safety:poisoning") in page


@pytest.mark.parametrize("where", ["remarks", "comment", "reason", "caption", "note"])
def test_wherever_eating_is_spoken_of_the_full_notice_stands_once(
    ann: Account, bea: Account, milkcap: Taxon, where: str
) -> None:
    notes = (EatingNoteEntry("a neighbour", PRAISE),) if where == "note" else ()
    slip = SlipEntry("L. d.", milkcap.pk, remarks=PRAISE if where == "remarks" else "")
    find = make_find(ann, slip=slip, eating_notes=notes)
    if where == "comment":
        comment_add(find.pk, text=PRAISE, by=viewer(ann))
    if where == "reason":
        act_on(find, bea, kind="dispute", reason=PRAISE)
    if where == "caption":
        photograph_add(find.pk, picture(), by=viewer(ann), caption=PRAISE)
    page = seen(find, ann)
    assert page.count(FULL_NOTICE) == 1
    assert page.count(PRAISE) == 1


def test_a_page_that_says_nothing_of_eating_has_no_full_notice(
    ann: Account, milkcap: Taxon
) -> None:
    assert FULL_NOTICE not in seen(make_find(ann, taxon=milkcap), ann)


def test_a_dangerous_name_is_told_even_when_it_no_longer_stands(
    ann: Account, bea: Account, milkcap: Taxon
) -> None:
    deadly = make_taxon("Amanita inventa", family="Amanitaceae", danger="deadly")
    find = make_find(ann, taxon=deadly)
    assert "<i>Amanita inventa</i>: deadly" in seen(find, ann)
    slip_lay(find.pk, SlipEntry("Lactarius deterrimus", milkcap.pk), by=viewer(bea))
    assert Find.objects.get(pk=find.pk).standing_taxon == milkcap
    assert "<i>Amanita inventa</i>: deadly" in seen(find, ann)


def test_dangerous_look_alikes_stand_on_the_label_and_are_no_test(
    ann: Account, milkcap: Taxon
) -> None:
    other = make_taxon("Cortinarius inventus", family="Cortinariaceae", danger="serious")
    LookAlike.objects.create(taxon=milkcap, other=other, source="from memory")
    page = seen(make_find(ann, taxon=milkcap), ann)
    assert "<i>Cortinarius inventus</i> (seriously poisonous)" in page
    assert "What separates them is no test for eating." in page
