"""Two people at one find at the same moment: both acts are kept, and one thing stands."""

import threading
import uuid
from collections.abc import Callable
from typing import Any

import pytest
from django.db import connection

from society.core.errors import Conflict, Refused
from society.finds.models import Find
from society.finds.services import SlipEntry, find_edit, find_withdraw
from society.members.models import Account
from society.review.models import Comment, DeskEntry, PersonalNotice, Verdict, Waits
from society.review.services import (
    comment_add,
    notice_mail,
    slip_lay,
    standing_recompute_all,
    verdict_lay,
    verdict_withdraw,
)
from tests.make import (
    make_account,
    make_entry,
    make_find,
    make_referee,
    make_society,
    make_taxon,
    viewer,
)

pytestmark = pytest.mark.django_db(transaction=True)


def at_once(*acts: Callable[[], Any]) -> list[Any]:
    """Run the acts in threads that start together; return what each gave, or was refused by."""
    start = threading.Barrier(len(acts))
    given: list[Any] = [None] * len(acts)

    def run(number: int, act: Callable[[], Any]) -> None:
        try:
            start.wait(timeout=30)
            given[number] = act()
        except Refused as refusal:
            given[number] = refusal
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=pair) for pair in enumerate(acts)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=60)
        assert not thread.is_alive()
    return given


@pytest.fixture
def ann() -> Account:
    make_society()
    return make_account("Ann")


@pytest.fixture
def find(ann: Account) -> Find:
    return make_find(ann, taxon=make_taxon("Lactarius deterrimus"))


def confirm(find: Find, account: Account, **over: Any) -> Callable[[], Verdict]:
    by, slip_id = viewer(account), find.slips.order_by("pk")[0].pk
    return lambda: verdict_lay(
        find.pk, by=by, **{"kind": "confirm", "slip_id": slip_id, "reason": "So.", **over}
    )


def test_two_referees_confirm_at_once_and_both_are_kept(find: Find) -> None:
    given = at_once(*(confirm(find, make_referee()) for _ in range(2)))
    assert all(isinstance(one, Verdict) for one in given)
    assert Verdict.objects.count() == 2
    assert Find.objects.get(pk=find.pk).standing == "confirmed"
    assert DeskEntry.objects.get(find=find).waits == Waits.FOR_NOBODY
    assert standing_recompute_all(repair=False) == []


def test_two_referees_who_differ_at_once_make_one_dispute(find: Find) -> None:
    bea, carl = make_referee("Bea"), make_referee("Carl")
    other = make_taxon("Lactarius deliciosus")
    by = viewer(carl)
    at_once(
        confirm(find, bea),
        lambda: slip_lay(find.pk, SlipEntry("L. deliciosus", other.pk), by=by),
    )
    assert Verdict.objects.count() == 2
    assert Find.objects.get(pk=find.pk).standing == "disputed"
    assert standing_recompute_all(repair=False) == []


def test_four_referees_at_once_leave_a_find_that_agrees_with_the_rule(find: Find) -> None:
    kinds = ("confirm", "dispute", "leave_open", "confirm")
    at_once(*(confirm(find, make_referee(), kind=kind) for kind in kinds))
    assert Verdict.objects.count() == 4
    moments = list(Verdict.objects.order_by("pk").values_list("laid_at", flat=True))
    assert moments == sorted(set(moments))
    assert standing_recompute_all(repair=False) == []


def test_a_double_click_lays_one_verdict_and_tells_once(ann: Account, find: Find) -> None:
    bea, one = make_referee(), uuid.uuid4()
    given = at_once(*(confirm(find, bea, uuid=one) for _ in range(4)))
    assert len({verdict.pk for verdict in given}) == 1
    assert Verdict.objects.count() == 1
    assert PersonalNotice.objects.filter(person=ann.person).count() == 1


def test_a_double_click_lays_one_slip_and_one_comment(find: Find) -> None:
    bea, one = make_referee(), uuid.uuid4()
    by = viewer(bea)
    entry = SlipEntry("L. deterrimus", find.slips.get().taxon_id, uuid=one)
    at_once(*(lambda: slip_lay(find.pk, entry, by=by) for _ in range(3)))
    at_once(*(lambda: comment_add(find.pk, text="Yes.", by=by, uuid=one) for _ in range(3)))
    assert find.slips.count() == 2
    assert Verdict.objects.count() == 1
    assert Comment.objects.count() == 1


def test_a_referee_acts_while_the_finder_answers(ann: Account, find: Find) -> None:
    finder = viewer(ann)
    verdict, comment = at_once(
        confirm(find, make_referee(), evidence_version=find.evidence_version),
        lambda: comment_add(find.pk, text="And pine.", by=finder),
    )
    assert isinstance(comment, Comment)
    stored = Find.objects.get(pk=find.pk)
    if isinstance(verdict, Verdict):  # the referee was first
        assert verdict.evidence_version == find.evidence_version
        assert stored.standing == "confirmed"
    else:
        assert isinstance(verdict, Conflict)
        assert stored.standing == "unconfirmed"
    assert stored.evidence_version == find.evidence_version + 1
    assert standing_recompute_all(repair=False) == []


def test_a_referee_acts_while_the_finder_edits(ann: Account, find: Find) -> None:
    finder, entry = viewer(ann), make_entry(ann.person, plain={"habitat": "under spruce"})
    verdict, edited = at_once(
        confirm(find, make_referee(), evidence_version=find.evidence_version),
        lambda: find_edit(find.pk, entry, base_version=find.version, by=finder),
    )
    assert isinstance(edited, Find)
    stored = Find.objects.get(pk=find.pk)
    assert stored.habitat == "under spruce"
    assert isinstance(verdict, Verdict | Conflict)
    assert (stored.standing == "confirmed") is isinstance(verdict, Verdict)
    assert standing_recompute_all(repair=False) == []


def test_a_referee_acts_while_the_finder_withdraws(ann: Account, find: Find) -> None:
    finder = viewer(ann)
    verdict, _ = at_once(confirm(find, make_referee()), lambda: find_withdraw(find.pk, by=finder))
    assert isinstance(verdict, Verdict) or verdict.code == "withdrawn"
    assert DeskEntry.objects.get(find=find).waits == Waits.FOR_NOBODY
    assert standing_recompute_all(repair=False) == []


def test_an_act_is_withdrawn_once_however_often_it_is_clicked(find: Find) -> None:
    bea = make_referee()
    verdict = confirm(find, bea)()
    by = viewer(bea)
    given = at_once(*(lambda: verdict_withdraw(verdict.pk, by=by) for _ in range(3)))
    assert len({row.pk for row in given}) == 1
    assert Verdict.objects.count() == 2


def test_two_workers_send_one_mail(ann: Account, find: Find, mailoutbox: list[Any]) -> None:
    Account.objects.filter(pk=ann.pk).update(mail_choice="at_once")
    confirm(find, make_referee())()
    notice = PersonalNotice.objects.get()
    given = at_once(*(lambda: notice_mail(notice.pk) for _ in range(3)))
    assert sorted(given) == [False, False, True]
    assert len(mailoutbox) == 1
