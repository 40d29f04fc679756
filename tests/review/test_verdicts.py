"""The acts of referees and the answers to them, through the services."""

import io
from typing import Any
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction
from PIL import Image

from society.core.errors import Conflict, NotPermitted, Refused
from society.core.models import Change
from society.finds.models import Find
from society.finds.services import SlipEntry, photograph_add
from society.members.models import Account
from society.members.permissions import GUEST
from society.names.models import Taxon
from society.review.models import DeskEntry, Verdict, VerdictKind, Waits, Wanted
from society.review.queries import may_be_asked
from society.review.services import comment_add, slip_lay, verdict_lay, verdict_withdraw
from tests.make import (
    make_account,
    make_find,
    make_person,
    make_referee,
    make_site,
    make_society,
    make_taxon,
    viewer,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def deterrimus() -> Taxon:
    make_taxon("Lactarius", rank="genus")
    return make_taxon("Lactarius deterrimus")


@pytest.fixture
def bea() -> Account:
    return make_referee("Bea Lowther", "genus", "Lactarius")


@pytest.fixture
def carl() -> Account:
    return make_referee("Carl Nairn", "family", "Russulaceae")


def act(find: Find, by: Account, kind: str = "confirm", **over: Any) -> Verdict:
    slip = find.slips.order_by("pk").last()
    values = {"slip_id": slip.pk if slip else None, **over}
    return verdict_lay(find.pk, by=viewer(by), kind=kind, **values)


def lay(find: Find, by: Account, taxon: Taxon, **over: Any) -> Any:
    entry = SlipEntry(name_written=taxon.scientific_name, taxon_id=taxon.pk)
    return slip_lay(find.pk, entry, by=viewer(by), **over)


def fresh(find: Find) -> Find:
    return Find.objects.get(pk=find.pk)


def waits(find: Find) -> str:
    return DeskEntry.objects.get(find=find).waits


# --- who may --------------------------------------------------------------------------------------


def test_a_referee_in_scope_confirms_and_the_find_leaves_the_queue(
    deterrimus: Taxon, bea: Account
) -> None:
    find = make_find(taxon=deterrimus)
    assert waits(find) == Waits.FOR_REFEREE
    act(find, bea)
    find = fresh(find)
    assert (find.standing, find.standing_taxon) == ("confirmed", deterrimus)
    assert find.standing_rank == "species"
    assert waits(find) == Waits.FOR_NOBODY


def test_nobody_settles_their_own_find_whatever_the_act(deterrimus: Taxon) -> None:
    ann = make_referee("Ann Hartley")
    find = make_find(ann, taxon=deterrimus)
    for kind in ("confirm", "dispute", "ask", "leave_open", "reopen"):
        with pytest.raises(NotPermitted) as refused:
            act(find, ann, kind, reason="because of the gills", wanted="section")
        assert refused.value.code == "own_find"
    assert not Verdict.objects.exists()


def test_the_find_of_a_referee_stands_as_determined_by_its_referee(
    deterrimus: Taxon, carl: Account
) -> None:
    bea = make_referee("Bea Lowther", "genus", "Lactarius")
    find = make_find(bea, taxon=deterrimus)
    assert find.standing == "determined_by_its_referee"
    assert waits(find) == Waits.FOR_NOBODY
    act(find, carl)
    assert fresh(find).standing == "confirmed"


def test_a_slip_entered_for_a_referee_by_another_hand_is_not_that_referees_act(
    deterrimus: Taxon, bea: Account
) -> None:
    clerk = make_account("Clerk")
    slip = SlipEntry("Lactarius deterrimus", deterrimus.pk, by_id=bea.person_id)
    find = make_find(clerk, finder_id=bea.person_id, slip=slip)
    assert find.finder == bea.person
    assert find.standing == "unconfirmed"


@pytest.mark.parametrize("kind", ["confirm", "dispute", "ask", "leave_open"])
def test_outside_the_scope_every_act_is_refused(deterrimus: Taxon, kind: str) -> None:
    stranger = make_referee("Cap Wright", "genus", "Cortinarius")
    find = make_find(taxon=deterrimus)
    with pytest.raises(NotPermitted) as refused:
        act(find, stranger, kind, reason="not at all like it", wanted="section")
    assert refused.value.code == "outside_scope"


def test_members_without_a_scope_and_guests_are_refused(deterrimus: Taxon) -> None:
    find = make_find(taxon=deterrimus)
    with pytest.raises(NotPermitted):
        act(find, make_account())
    with pytest.raises(NotPermitted):
        verdict_lay(find.pk, by=GUEST, kind="confirm", slip_id=find.slips.get().pk)


def test_a_name_outside_the_checklist_is_for_who_referees_everything(bea: Account) -> None:
    find = make_find(name="Lactarius novissimus")
    with pytest.raises(NotPermitted):
        act(find, bea)
    act(find, make_referee("Ottoline Brack"))
    find = fresh(find)
    assert (find.standing, find.standing_taxon) == ("confirmed", None)


def test_a_synonym_is_in_the_scope_of_its_old_genus_and_of_its_new_one(bea: Account) -> None:
    accepted = make_taxon("Lactifluus volemus")
    synonym = make_taxon("Lactarius volemus", accepted=accepted)
    find = make_find(taxon=synonym)
    act(find, bea)
    find = fresh(find)
    assert (find.standing, find.standing_taxon) == ("confirmed", accepted)


def test_a_scope_that_ended_gives_no_right_and_takes_nothing_back(
    deterrimus: Taxon, bea: Account
) -> None:
    one, other = make_find(taxon=deterrimus), make_find(taxon=deterrimus)
    by = viewer(bea)
    act(one, bea)
    bea.person.scopes.update(ended_at=one.created_at)
    with pytest.raises(NotPermitted):
        # The scopes at hand are stale; the service reads them anew.
        verdict_lay(other.pk, by=by, kind="confirm", slip_id=other.slips.get().pk)
    assert fresh(one).standing == "confirmed"


def test_a_withdrawn_find_takes_no_act(deterrimus: Taxon, bea: Account) -> None:
    find = make_find(taxon=deterrimus)
    Find.objects.filter(pk=find.pk).update(withdrawn_at=find.created_at)
    with pytest.raises(NotPermitted):
        act(find, bea)


# --- what a verdict keeps -------------------------------------------------------------------------


def test_a_verdict_keeps_the_narrowest_scope_the_evidence_seen_and_what_was_required(
    carl: Account,
) -> None:
    make_society(old_books_entered=True)
    taxon = make_taxon("Lactarius sphagni", needs="microscope")
    carl.person.scopes.create(rank="genus", name="Lactarius")
    find = make_find(taxon=taxon)
    verdict = act(find, carl)
    assert (verdict.scope.rank, verdict.scope.name) == ("genus", "Lactarius")
    assert verdict.evidence_version == find.evidence_version
    assert verdict.required == {"needs": "microscope", "first": True, "needs_two": True}


def test_verdicts_are_never_edited(deterrimus: Taxon, bea: Account) -> None:
    verdict = act(make_find(taxon=deterrimus), bea)
    with pytest.raises(IntegrityError), transaction.atomic():
        Verdict.objects.filter(pk=verdict.pk).update(kind="dispute")


def test_evidence_changed_meanwhile_is_a_conflict_and_changes_nothing(
    deterrimus: Taxon, bea: Account
) -> None:
    ann = make_account("Ann")
    find = make_find(ann, taxon=deterrimus)
    seen = find.evidence_version
    comment_add(find.pk, text="It had orange milk that turned wine red.", by=viewer(ann))
    with pytest.raises(Conflict):
        act(find, bea, evidence_version=seen)
    assert not Verdict.objects.exists()
    assert fresh(find).standing == "unconfirmed"
    act(find, bea, evidence_version=fresh(find).evidence_version)
    assert fresh(find).standing == "confirmed"


def test_evidence_changed_later_flags_and_never_unconfirms(
    deterrimus: Taxon, bea: Account, client: Any
) -> None:
    ann = make_account("Ann")
    find = make_find(ann, taxon=deterrimus)
    act(find, bea)
    comment_add(find.pk, text="There was a birch too.", by=viewer(ann))
    assert fresh(find).standing == "confirmed"
    client.force_login(bea)
    page = client.get(f"/finds/{find.year}/{find.number}/").content.decode()
    assert "evidence was added or changed after it" in page


def test_a_double_click_lays_one_verdict(deterrimus: Taxon, bea: Account) -> None:
    find, uuid = make_find(taxon=deterrimus), uuid4()
    assert act(find, bea, uuid=uuid) == act(find, bea, uuid=uuid)
    assert Verdict.objects.count() == 1
    assert Change.objects.filter(verb="find.confirm").count() == 1


def test_another_act_from_the_same_page_is_a_conflict_not_silence(
    deterrimus: Taxon, bea: Account
) -> None:
    find, uuid = make_find(taxon=deterrimus), uuid4()
    act(find, bea, uuid=uuid)
    with pytest.raises(Conflict):
        act(find, bea, "leave_open", uuid=uuid)


def test_a_uuid_of_somebody_elses_verdict_is_not_found(
    deterrimus: Taxon, bea: Account, carl: Account
) -> None:
    find, uuid = make_find(taxon=deterrimus), uuid4()
    act(find, bea, uuid=uuid)
    with pytest.raises(Refused) as refused:
        act(find, carl, uuid=uuid)
    assert refused.value.code == "not_found"


# --- how far --------------------------------------------------------------------------------------


def test_confirmed_to_the_genus_it_stands_under_the_genus(deterrimus: Taxon, bea: Account) -> None:
    find = make_find(taxon=deterrimus)
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


def test_a_section_without_a_row_is_listed_under_the_genus(deterrimus: Taxon, bea: Account) -> None:
    find = make_find(taxon=deterrimus)
    act(find, bea, at_rank="section")
    find = fresh(find)
    assert find.standing_taxon is not None
    assert (find.standing_taxon.rank, find.standing_rank) == ("genus", "section")


def test_a_slip_as_aggregate_keeps_its_own_row_and_its_qualifier(
    deterrimus: Taxon, bea: Account
) -> None:
    slip = SlipEntry("Lactarius deterrimus agg.", deterrimus.pk, qualifier="agg.")
    find = make_find(slip=slip)
    act(find, bea)
    find = fresh(find)
    assert (find.standing_taxon, find.standing_rank) == (deterrimus, "species")
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


def test_left_open_at_no_rank_it_stands_under_no_name(deterrimus: Taxon, bea: Account) -> None:
    find = make_find(taxon=deterrimus)
    act(find, bea, "leave_open")
    find = fresh(find)
    assert (find.standing, find.standing_taxon, find.standing_rank) == ("left_open", None, "")


def test_left_open_at_the_genus_the_genus_holds(deterrimus: Taxon, bea: Account) -> None:
    find = make_find(taxon=deterrimus)
    act(find, bea, "leave_open", at_rank="genus")
    find = fresh(find)
    assert find.standing_taxon is not None
    assert (find.standing, find.standing_taxon.rank) == ("left_open", "genus")


# --- disputes, slips, undoing ---------------------------------------------------------------------


def test_a_dispute_says_why_and_may_give_another_name(deterrimus: Taxon, bea: Account) -> None:
    find = make_find(taxon=deterrimus)
    with pytest.raises(Refused) as refused:
        act(find, bea, "dispute", reason=" ")
    assert refused.value.field == "reason"
    other = make_taxon("Lactarius salmonicolor")
    verdict = act(
        find,
        bea,
        "dispute",
        reason="It stood under fir.",
        other_name=SlipEntry("L. salmonicolor", other.pk),
    )
    assert verdict.other_slip is not None
    assert (verdict.other_slip.by, verdict.other_slip.taxon) == (bea.person, other)
    assert fresh(find).standing == "disputed"
    assert waits(find) == Waits.FOR_REFEREE
    verdict_withdraw(verdict.pk, by=viewer(bea))
    # The slip stays to be read, and is nobody's confirmation.
    assert fresh(find).standing == "unconfirmed"
    assert find.slips.count() == 2


def test_two_referees_with_two_names_make_a_dispute_that_one_of_them_settles(
    deterrimus: Taxon, bea: Account, carl: Account
) -> None:
    other = make_taxon("Lactarius deliciosus")
    find = make_find(taxon=deterrimus)
    first = find.slips.get()
    act(find, bea)
    lay(find, carl, other)
    assert fresh(find).standing == "disputed"
    act(find, carl, slip_id=first.pk)
    find = fresh(find)
    assert (find.standing, find.standing_taxon) == ("confirmed", deterrimus)


def test_a_referees_own_slip_on_anothers_find_counts_and_keeps_what_a_verdict_keeps(
    deterrimus: Taxon, bea: Account
) -> None:
    other = make_taxon("Lactarius deliciosus")
    find = make_find(taxon=deterrimus)
    slip = lay(find, bea, other)
    find = fresh(find)
    assert (find.standing, find.standing_slip) == ("confirmed", slip)
    verdict = slip.verdicts.get()
    assert (verdict.kind, verdict.by) == ("confirm", bea.person)
    assert verdict.evidence_version == find.evidence_version
    assert verdict.required["needs"] == "eye"
    assert [row.name_written for row in find.slips.order_by("pk")] == [
        "Lactarius deterrimus",
        "Lactarius deliciosus",
    ]


def test_the_force_of_a_referees_slip_can_be_withdrawn_and_the_slip_stays(
    deterrimus: Taxon, bea: Account
) -> None:
    find = make_find(taxon=deterrimus)
    slip = lay(find, bea, make_taxon("Lactarius deliciosus"))
    verdict_withdraw(slip.verdicts.get().pk, by=viewer(bea))
    find = fresh(find)
    assert (find.standing, find.standing_taxon) == ("unconfirmed", deterrimus)
    assert find.slips.count() == 2


def test_a_referees_slip_on_changed_evidence_is_a_conflict_and_lays_nothing(
    deterrimus: Taxon, bea: Account
) -> None:
    ann = make_account("Ann")
    find = make_find(ann, taxon=deterrimus)
    seen = find.evidence_version
    comment_add(find.pk, text="The milk was white.", by=viewer(ann))
    with pytest.raises(Conflict):
        lay(find, bea, deterrimus, evidence_version=seen)
    assert find.slips.count() == 1


@pytest.mark.parametrize("scope", [None, "Cortinarius"])
def test_a_slip_without_scope_settles_nothing(deterrimus: Taxon, scope: str | None) -> None:
    writer = make_referee("Writer", "genus", scope) if scope else make_account("Writer")
    find = make_find(taxon=deterrimus)
    lay(find, writer, deterrimus)
    assert fresh(find).standing == "unconfirmed"
    assert find.slips.count() == 2
    assert not Verdict.objects.exists()


def test_a_slip_is_the_writers_own_unless_said_otherwise(deterrimus: Taxon) -> None:
    writer, find = make_account("Writer"), make_find(taxon=deterrimus)
    assert lay(find, writer, deterrimus).by == writer.person


def test_a_slip_sent_again_is_the_same_slip_and_tells_nobody_twice(
    deterrimus: Taxon, bea: Account
) -> None:
    find = make_find(taxon=deterrimus)
    entry = SlipEntry("Lactarius deliciosus", make_taxon("Lactarius deliciosus").pk, uuid=uuid4())
    first = slip_lay(find.pk, entry, by=viewer(bea))
    assert slip_lay(find.pk, entry, by=viewer(bea)) == first
    assert (find.slips.count(), find.verdicts.count()) == (2, 1)


def test_undoing_lays_a_withdrawal_and_removes_nothing(deterrimus: Taxon, bea: Account) -> None:
    find = make_find(taxon=deterrimus)
    verdict = act(find, bea)
    undone = verdict_withdraw(verdict.pk, by=viewer(bea))
    assert (undone.kind, undone.withdraws) == (VerdictKind.WITHDRAW, verdict)
    assert fresh(find).standing == "unconfirmed"
    assert waits(find) == Waits.FOR_REFEREE
    assert verdict_withdraw(verdict.pk, by=viewer(bea)) == undone
    assert Verdict.objects.count() == 2
    with pytest.raises(Refused):
        verdict_withdraw(undone.pk, by=viewer(bea))


def test_nobody_undoes_anothers_act(deterrimus: Taxon, bea: Account, carl: Account) -> None:
    verdict = act(make_find(taxon=deterrimus), bea)
    with pytest.raises(NotPermitted):
        verdict_withdraw(verdict.pk, by=viewer(carl))


def test_a_finders_new_slip_after_confirmation_stands_beside_and_comes_before_a_referee(
    deterrimus: Taxon, bea: Account
) -> None:
    ann = make_account("Ann")
    find = make_find(ann, taxon=deterrimus)
    act(find, bea)
    lay(find, ann, make_taxon("Lactarius deliciosus"))
    find = fresh(find)
    assert (find.standing, find.standing_taxon) == ("confirmed", deterrimus)
    entry = DeskEntry.objects.get(find=find)
    assert entry.waits == Waits.FOR_REFEREE
    assert "finder_slip_after_confirmation" in entry.reasons


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


# --- asking for evidence --------------------------------------------------------------------------


def test_asking_hands_the_find_to_its_finder_and_an_answer_brings_it_back(
    deterrimus: Taxon, bea: Account
) -> None:
    ann = make_account("Ann")
    find = make_find(ann, taxon=deterrimus, plain={"in_hand": "fresh"})
    act(find, bea, "ask", wanted="section")
    assert (fresh(find).standing, waits(find)) == ("unconfirmed", Waits.FOR_FINDER)
    comment_add(find.pk, text="It rotted, sorry.", by=viewer(make_account("Bystander")))
    assert waits(find) == Waits.FOR_FINDER
    comment_add(find.pk, text="It rotted, sorry.", by=viewer(ann))
    assert waits(find) == Waits.FOR_REFEREE


def test_evidence_and_a_new_slip_bring_a_find_back_too(deterrimus: Taxon, bea: Account) -> None:
    ann = make_account("Ann")
    find = make_find(ann, taxon=deterrimus)
    act(find, bea, "ask", wanted="section")
    picture = io.BytesIO()
    Image.new("RGB", (40, 40), "red").save(picture, "PNG")
    photograph_add(find.pk, picture, by=viewer(ann), view="section")
    assert waits(find) == Waits.FOR_REFEREE
    act(find, bea, "ask", wanted="underside")
    lay(find, ann, make_taxon("Lactarius deliciosus"))
    assert waits(find) == Waits.FOR_REFEREE


def test_who_entered_a_find_for_a_finder_without_sign_in_answers_for_them(
    deterrimus: Taxon, bea: Account
) -> None:
    clerk = make_account("Clerk")
    find = make_find(clerk, finder_id=make_person("Paper Member").pk, taxon=deterrimus)
    act(find, bea, "ask", wanted="section")
    comment_add(find.pk, text="Nothing was kept.", by=viewer(clerk))
    assert waits(find) == Waits.FOR_REFEREE


def test_only_what_may_be_asked_and_can_still_be_had_is_asked(
    deterrimus: Taxon, bea: Account
) -> None:
    find = make_find(taxon=deterrimus, plain={"in_hand": "dried"})
    assert "section" not in may_be_asked(find)
    for wanted in ("section", "taste", "", "nonsense"):
        with pytest.raises(Refused) as refused:
            act(find, bea, "ask", wanted=wanted)
        assert refused.value.field == "wanted"
    act(find, bea, "ask", wanted="microscope")


def test_where_lifting_is_forbidden_a_mirror_is_asked_for_instead(
    deterrimus: Taxon, bea: Account
) -> None:
    site = make_site(picking="nothing")
    find = make_find(taxon=deterrimus, site=site, plain={"in_hand": "fresh"})
    asked = may_be_asked(find)
    assert "mirror_photograph" in asked
    assert not {"underside", "section", "spore_print", "specimen"} & set(asked)
    with pytest.raises(Refused):
        act(find, bea, "ask", wanted="section")


def test_tasting_is_no_evidence_that_exists() -> None:
    words = " ".join([*Wanted.values, *(str(label) for label in Wanted.labels)])
    assert "tast" not in words.lower()


def test_an_ask_after_confirmation_waits_for_the_finder_and_takes_nothing_back(
    deterrimus: Taxon, bea: Account
) -> None:
    ann = make_account("Ann")
    find = make_find(ann, taxon=deterrimus)
    act(find, bea, at_rank="genus")
    act(find, bea, "ask", wanted="microscope")
    assert (fresh(find).standing, waits(find)) == ("confirmed", Waits.FOR_FINDER)
    comment_add(find.pk, text="Spores 8 to 9 micrometres.", by=viewer(ann))
    assert waits(find) == Waits.FOR_REFEREE
    act(find, bea)
    assert waits(find) == Waits.FOR_NOBODY


def test_an_ask_is_over_when_another_referee_has_settled_the_find(
    deterrimus: Taxon, bea: Account, carl: Account
) -> None:
    find = make_find(taxon=deterrimus)
    act(find, bea, "ask", wanted="section")
    act(find, carl)
    assert waits(find) == Waits.FOR_NOBODY


# --- left open, and the old books -----------------------------------------------------------------


def test_what_a_finder_adds_to_a_find_left_open_brings_it_back(
    deterrimus: Taxon, bea: Account
) -> None:
    ann = make_account("Ann")
    find = make_find(ann, taxon=deterrimus)
    act(find, bea, "leave_open")
    assert waits(find) == Waits.FOR_NOBODY
    comment_add(find.pk, text="I found the dried piece after all.", by=viewer(ann))
    assert (fresh(find).standing, waits(find)) == ("left_open", Waits.FOR_REFEREE)


def test_a_find_from_the_books_stands_until_a_referee_reopens_it(
    deterrimus: Taxon, bea: Account
) -> None:
    find = make_find(slip=SlipEntry("L. deterrimus", deterrimus.pk, basis="books"))
    assert (find.standing, waits(find)) == ("from_the_books", Waits.FOR_NOBODY)
    act(find, bea, "dispute", reason="There was no spruce then.")
    assert fresh(find).standing == "from_the_books"
    act(find, bea, "reopen")
    assert fresh(find).standing == "disputed"


def test_there_is_nothing_to_reopen_in_an_open_find(deterrimus: Taxon, bea: Account) -> None:
    with pytest.raises(Refused) as refused:
        act(make_find(taxon=deterrimus), bea, "reopen")
    assert refused.value.code == "not_closed"


# --- comments -------------------------------------------------------------------------------------


def test_a_comment_sent_again_is_the_same_one(deterrimus: Taxon) -> None:
    ann = make_account("Ann")
    find, uuid = make_find(ann, taxon=deterrimus), uuid4()
    first = comment_add(find.pk, text="Under spruce.", by=viewer(ann), uuid=uuid)
    assert comment_add(find.pk, text="Under spruce.", by=viewer(ann), uuid=uuid) == first
    assert fresh(find).evidence_version == find.evidence_version + 1
    with pytest.raises(Refused) as refused:
        comment_add(find.pk, text="Mine", by=viewer(make_account()), uuid=uuid)
    assert refused.value.code == "not_found"


def test_an_empty_comment_and_a_guests_are_refused(deterrimus: Taxon) -> None:
    find = make_find(taxon=deterrimus)
    with pytest.raises(Refused) as refused:
        comment_add(find.pk, text=" \n ", by=viewer(make_account()))
    assert refused.value.field == "text"
    with pytest.raises(NotPermitted):
        comment_add(find.pk, text="Hello", by=GUEST)
