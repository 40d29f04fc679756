"""Notices to people: on the site, and by mail for those who wish it."""

from typing import Any

import pytest
from django.core import mail
from django.core.management import call_command
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from society.core.models import Job, JobState
from society.core.tasks import run_next
from society.finds.models import Find
from society.finds.services import SlipEntry, find_withdraw
from society.members.models import Account, MailChoice
from society.names.models import Taxon
from society.review.models import PersonalNotice, Verdict
from society.review.services import (
    comment_add,
    notice_mail,
    notices_read,
    slip_lay,
    verdict_lay,
    verdict_withdraw,
)
from tests.make import (
    make_account,
    make_find,
    make_person,
    make_referee,
    make_society,
    make_taxon,
    viewer,
)
from tests.review.desk import client_of, find_address, text_of

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _society(settings: Any) -> None:
    make_society()
    settings.SITE_URL = "https://logbook.caldermoss.example"


@pytest.fixture
def ann() -> Account:
    return make_account("Ann Hartley", mail_choice=MailChoice.AT_ONCE)


@pytest.fixture
def bea() -> Account:
    return make_referee("Bea Lowther")


@pytest.fixture
def milkcap() -> Taxon:
    make_taxon("Lactarius", rank="genus")
    return make_taxon("Lactarius deterrimus")


@pytest.fixture
def find(ann: Account, milkcap: Taxon) -> Find:
    return make_find(ann, taxon=milkcap, plain={"in_hand": "fresh"})


def act(find: Find, by: Account, kind: str = "confirm", **over: Any) -> Verdict:
    slip = find.slips.order_by("pk")[0]
    return verdict_lay(find.pk, by=viewer(by), kind=kind, **{"slip_id": slip.pk, **over})


def told(account: Account) -> list[str]:
    rows = PersonalNotice.objects.filter(person=account.person).order_by("pk")
    return list(rows.values_list("kind", flat=True))


def work_all() -> None:
    while run_next("test"):
        pass


# --- who is told ----------------------------------------------------------------------------------


def test_the_finder_is_told_of_every_act_once(ann: Account, bea: Account, find: Find) -> None:
    act(find, bea, "ask", wanted="section")
    verdict = act(find, bea)
    verdict_withdraw(verdict.pk, by=viewer(bea))
    verdict_withdraw(verdict.pk, by=viewer(bea))
    comment_add(find.pk, text="Sorry, the wrong find.", by=viewer(bea))
    assert told(ann) == ["ask", "confirm", "withdraw", "comment"]
    assert told(bea) == []


def test_a_referees_slip_is_told_once_although_it_is_a_verdict_too(
    ann: Account, bea: Account, find: Find, milkcap: Taxon
) -> None:
    slip_lay(find.pk, SlipEntry("L. d.", milkcap.pk), by=viewer(bea))
    assert told(ann) == ["slip"]


def test_nobody_is_told_of_their_own_acts(ann: Account, bea: Account, find: Find) -> None:
    comment_add(find.pk, text="Under spruce.", by=viewer(ann))
    assert not PersonalNotice.objects.exists()


def test_an_answer_is_told_to_who_asked_and_to_who_laid_a_slip(
    ann: Account, bea: Account, find: Find, milkcap: Taxon
) -> None:
    carl, stranger = make_account("Carl Nairn"), make_account("Stranger")
    slip_lay(find.pk, SlipEntry("L. d.", milkcap.pk), by=viewer(carl))
    act(find, bea, "ask", wanted="section")
    comment_add(find.pk, text="It is cut now.", by=viewer(ann))
    assert told(bea) == ["comment"]
    assert told(carl) == ["ask", "comment"]
    assert told(stranger) == []


def test_who_entered_a_find_hears_of_it_for_a_finder_without_sign_in(
    bea: Account, milkcap: Taxon
) -> None:
    clerk = make_account("Clerk")
    paper = make_find(clerk, finder_id=make_person("Paper Member").pk, taxon=milkcap)
    act(paper, bea)
    assert told(clerk) == ["confirm"]


def test_who_has_left_or_may_not_sign_in_is_told_nothing(
    ann: Account, bea: Account, find: Find
) -> None:
    Account.objects.filter(pk=ann.pk).update(is_active=False)
    act(find, bea)
    assert not PersonalNotice.objects.filter(person=ann.person).exists()


# --- on the site ----------------------------------------------------------------------------------


def test_notices_are_listed_new_ones_marked_and_counted(
    ann: Account, bea: Account, find: Find
) -> None:
    act(find, bea, "ask", wanted="section")
    act(find, bea, at_rank="genus")
    page = text_of(client_of(ann).get(reverse("review:notices")))
    number = find.spoken_number
    later = page.index(f"Bea Lowther confirmed {number} as far as genus")
    earlier = page.index(
        f"Bea Lowther asks for evidence on {number}: a photograph of a cut section"
    )
    assert later < earlier
    assert page.count("· new") == 2
    assert find_address(find) in page


def test_opening_the_find_reads_its_notices_and_no_others(
    ann: Account, bea: Account, find: Find, milkcap: Taxon
) -> None:
    other = make_find(ann, taxon=milkcap)
    act(find, bea)
    act(other, bea)
    client_of(ann).get(find_address(find))
    unread = PersonalNotice.objects.filter(read_at=None)
    assert [notice.find for notice in unread] == [other]


def test_another_readers_visit_reads_nothing(ann: Account, bea: Account, find: Find) -> None:
    act(find, bea)
    client_of(make_account()).get(find_address(find))
    Client().get(find_address(find))
    assert PersonalNotice.objects.filter(read_at=None).count() == 1


def test_a_visit_writes_nothing_where_nothing_is_unread(ann: Account, find: Find) -> None:
    with CaptureQueriesContext(connection) as queries:
        assert notices_read(by=viewer(ann), find_id=find.pk) == 0
    assert not any(query["sql"].startswith("UPDATE") for query in queries)


def test_all_can_be_marked_as_read(ann: Account, bea: Account, find: Find) -> None:
    act(find, bea)
    client = client_of(ann)
    assert client.post(reverse("review:notices")).status_code == 302
    page = text_of(client.get(reverse("review:notices")))
    assert "· new" not in page
    assert "Mark all as read" not in page


def test_without_notices_the_page_says_what_would_stand_there(ann: Account) -> None:
    assert "No notices" in text_of(client_of(ann).get(reverse("review:notices")))


def test_guests_have_no_notices() -> None:
    assert Client().get(reverse("review:notices")).status_code == 302


def test_a_notice_of_a_find_withdrawn_from_sight_is_no_longer_listed(
    ann: Account, bea: Account, find: Find
) -> None:
    act(find, bea, "ask", wanted="section")
    comment_add(find.pk, text="It is cut now.", by=viewer(ann))
    find_withdraw(find.pk, by=viewer(ann))
    page = text_of(client_of(bea).get(reverse("review:notices")))
    assert find.spoken_number not in page
    assert find.spoken_number in text_of(client_of(ann).get(reverse("review:notices")))


def test_the_list_costs_the_same_for_five_notices_as_for_fifty(
    ann: Account, bea: Account, find: Find
) -> None:
    client, counts = client_of(ann), []
    for more in (5, 45):
        for _ in range(more):
            act(find, bea, "ask", wanted="section")
        with CaptureQueriesContext(connection) as queries:
            client.get(reverse("review:notices"))
        counts.append(len(queries))
    assert counts[0] == counts[1]


# --- by mail --------------------------------------------------------------------------------------


def test_mail_goes_out_once_by_the_job(ann: Account, bea: Account, find: Find) -> None:
    act(find, bea, "ask", wanted="section")
    assert mail.outbox == []
    work_all()
    notice = PersonalNotice.objects.get()
    assert [letter.to for letter in mail.outbox] == [[ann.email]]
    assert notice.mailed_at is not None
    assert notice_mail(notice.pk) is False
    call_command("mail_notices")
    assert len(mail.outbox) == 1


def test_the_command_does_what_the_job_does(
    ann: Account, bea: Account, find: Find, capsys: Any
) -> None:
    act(find, bea)
    call_command("mail_notices")
    assert "1 notices mailed." in capsys.readouterr().out
    work_all()
    assert len(mail.outbox) == 1
    assert not Job.objects.filter(state=JobState.FAILED).exists()


def test_the_mail_says_what_happened_where_and_how_to_have_no_more(
    ann: Account, bea: Account, find: Find
) -> None:
    act(find, bea, "ask", wanted="section", reason="Delicious fried, was it not?")
    work_all()
    (letter,) = mail.outbox
    words = f"Bea Lowther asks for evidence on {find.spoken_number}: a photograph of a cut section"
    assert letter.subject == f"Caldermoss Fungus Group: {words}"
    assert letter.body.startswith(f"{words}.\n")
    assert f"https://logbook.caldermoss.example{find_address(find)}" in letter.body
    assert f"https://logbook.caldermoss.example{reverse('members:me')}" in letter.body
    assert "It is never leave to eat." in letter.body
    # Nothing anybody wrote goes into a mail, so nothing can praise there.
    assert "Delicious" not in letter.body
    assert "&#" not in letter.body


def test_names_with_signs_come_through_a_mail_unharmed(ann: Account, find: Find) -> None:
    make_society(name="O'Brien & Daughters")
    referee = make_referee("Mary O'Hare & Co")
    act(find, referee)
    work_all()
    assert mail.outbox[0].subject.startswith("O'Brien & Daughters: Mary O'Hare & Co confirmed")


def test_who_wishes_no_mail_gets_none(bea: Account, milkcap: Taxon) -> None:
    find = make_find(make_account("Quiet"), taxon=milkcap)
    act(find, bea)
    work_all()
    call_command("mail_notices")
    assert mail.outbox == []
    assert PersonalNotice.objects.count() == 1


def test_switching_mail_off_holds_for_what_already_waited_and_on_again_sends_nothing_old(
    ann: Account, bea: Account, find: Find
) -> None:
    act(find, bea)
    Account.objects.filter(pk=ann.pk).update(mail_choice=MailChoice.NONE)
    work_all()
    act(find, bea, "ask", wanted="section")
    Account.objects.filter(pk=ann.pk).update(mail_choice=MailChoice.AT_ONCE)
    call_command("mail_notices")
    work_all()
    assert mail.outbox == []
    act(find, bea, "leave_open")
    work_all()
    assert len(mail.outbox) == 1


def test_what_was_read_on_the_site_is_not_mailed(ann: Account, bea: Account, find: Find) -> None:
    act(find, bea)
    client_of(ann).get(find_address(find))
    work_all()
    assert mail.outbox == []


def test_a_mail_that_failed_is_tried_again_and_never_sent_twice(
    ann: Account, bea: Account, find: Find, monkeypatch: pytest.MonkeyPatch
) -> None:
    act(find, bea)
    notice = PersonalNotice.objects.get()
    real, tries = mail.send_mail, []

    def failing(*args: Any) -> int:
        tries.append(args)
        if len(tries) == 1:
            raise OSError("no route to the mail server")
        return real(*args)

    monkeypatch.setattr("society.review.services.notices.send_mail", failing)
    with pytest.raises(OSError, match="no route"):
        notice_mail(notice.pk)
    notice.refresh_from_db()
    assert (notice.to_mail, notice.mailed_at) == (True, None)
    assert notice_mail(notice.pk) is True
    assert notice_mail(notice.pk) is False
    assert (len(tries), len(mail.outbox)) == (2, 1)


def test_a_job_whose_mail_failed_waits_for_its_next_try(
    ann: Account, bea: Account, find: Find, monkeypatch: pytest.MonkeyPatch
) -> None:
    def failing(*args: Any) -> int:
        raise OSError("no route to the mail server")

    monkeypatch.setattr("society.review.services.notices.send_mail", failing)
    act(find, bea)
    work_all()
    job = Job.objects.get(kind="review.mail_notice")
    assert (job.state, job.tries, job.error) == (JobState.WAITING, 1, "OSError")
    assert PersonalNotice.objects.get().to_mail


def test_a_notice_that_is_gone_is_no_fault() -> None:
    assert notice_mail(10**9) is False
