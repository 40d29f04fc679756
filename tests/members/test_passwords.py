"""Passwords: changed by their owner, or by a link that is mailed."""

import re
from typing import Any

import pytest
from django.core import mail
from django.core.management import CommandError, call_command
from django.test import Client

from society.core.models import Job
from society.core.tasks import run_next, tasks
from society.members.models import Account
from society.members.services import PASSWORD_JOB
from tests import make

NEW = "larch bark and cold tea"


@pytest.fixture
def ann(db: None) -> Account:
    make.make_society()
    return make.make_account("Ann Brierley", email="ann@caldermoss.example")


def ask(client: Client, email: str, **more: Any) -> Any:
    return client.post("/password/forgotten/", {"email": email}, **more)


def mailed_link(client: Client, email: str = "ann@caldermoss.example") -> str:
    ask(client, email)
    while run_next("test"):
        pass
    found = re.search(r"https?://\S+", str(mail.outbox[-1].body))
    assert found
    return found.group().removeprefix("http://127.0.0.1:8000")


def opened(client: Client, link: str) -> tuple[str, str]:
    """Follow the link to the page that no longer has the token in its address."""
    answer = client.get(link, follow=True)
    path = answer.redirect_chain[-1][0] if answer.redirect_chain else link
    return path, answer.text


def test_a_link_comes_by_mail_and_sets_a_new_password(ann: Account, client: Client) -> None:
    link = mailed_link(client)
    assert mail.outbox[0].to == ["ann@caldermoss.example"]
    assert mail.outbox[0].subject == "A new password for the logbook of Caldermoss Fungus Group"
    path, page = opened(client, link)
    assert "A new password" in page
    answer = client.post(path, {"new_password1": NEW, "new_password2": NEW})
    assert answer.headers["Location"] == "/signin/"
    answer = client.post("/signin/", {"username": ann.email, "password": NEW})
    assert answer.headers["Location"] == "/"


def test_the_link_names_the_sites_own_address_whatever_the_request_said(
    ann: Account, client: Client, settings: Any
) -> None:
    settings.SITE_URL = "https://logbook.example.org"
    ask(client, ann.email, headers={"Host": "localhost"})
    run_next("test")
    assert "https://logbook.example.org/password/new/" in str(mail.outbox[0].body)


def test_the_answer_is_the_same_for_an_unknown_address(ann: Account, client: Client) -> None:
    make.make_account(email="ivor@caldermoss.example", is_active=False)
    answers = [
        ask(client, email)
        for email in ("ann@caldermoss.example", "nobody@a.example", "ivor@caldermoss.example")
    ]
    assert {(a.status_code, a.headers["Location"]) for a in answers} == {
        (302, "/password/forgotten/sent/")
    }
    assert Job.objects.filter(kind=PASSWORD_JOB).count() == 2
    while run_next("test"):
        pass
    assert [message.to for message in mail.outbox] == [["ann@caldermoss.example"]]
    assert not Job.objects.exclude(state="done").exists()


def test_no_mail_is_sent_while_the_asker_waits(ann: Account, client: Client) -> None:
    """Else the time it takes would tell a known address from an unknown one."""
    ask(client, ann.email)
    assert mail.outbox == []


def test_both_kinds_of_address_cost_the_same_queries(ann: Account, client: Client) -> None:
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    client.get("/password/forgotten/")
    counts = []
    for email in ("ann@caldermoss.example", "nobody@a.example"):
        with CaptureQueriesContext(connection) as seen:
            ask(client, email, REMOTE_ADDR=f"192.0.2.{len(counts) + 1}")
        counts.append(len(seen))
    assert counts[0] == counts[1]


def test_a_link_works_once(ann: Account, client: Client) -> None:
    link = mailed_link(client)
    path, _ = opened(client, link)
    client.post(path, {"new_password1": NEW, "new_password2": NEW})
    _, page = opened(Client(), link)
    assert "This link was used or has run out." in page


def test_the_first_link_used_ends_the_others(ann: Account, client: Client) -> None:
    first, second = mailed_link(client), mailed_link(client)
    path, _ = opened(client, second)
    client.post(path, {"new_password1": NEW, "new_password2": NEW})
    assert "was used or has run out" in opened(Client(), first)[1]


def test_a_link_runs_out_after_a_day(ann: Account, client: Client, settings: Any) -> None:
    link = mailed_link(client)
    settings.PASSWORD_RESET_TIMEOUT = -1
    assert "was used or has run out" in opened(client, link)[1]


def test_a_new_password_ends_every_session_of_that_member(ann: Account, client: Client) -> None:
    elsewhere = Client()
    elsewhere.force_login(ann)
    path, _ = opened(client, mailed_link(client))
    client.post(path, {"new_password1": NEW, "new_password2": NEW})
    assert elsewhere.get("/me/").status_code == 302


def test_who_was_locked_out_may_sign_in_with_the_new_password(
    ann: Account, client: Client, settings: Any
) -> None:
    settings.SIGNIN_TRIES = 1
    for _ in range(3):
        client.post("/signin/", {"username": ann.email, "password": "wrong words"})
    path, _ = opened(client, mailed_link(client))
    client.post(path, {"new_password1": NEW, "new_password2": NEW})
    answer = client.post("/signin/", {"username": ann.email, "password": NEW})
    assert answer.status_code == 302


def test_nobodys_mailbox_is_flooded(ann: Account, client: Client) -> None:
    for i in range(8):
        answer = ask(client, ann.email, REMOTE_ADDR=f"203.0.113.{i}")
        assert answer.headers["Location"] == "/password/forgotten/sent/"
        while run_next("test"):
            pass
    assert len(mail.outbox) == 3


def test_a_guessable_new_password_is_refused(ann: Account, client: Client) -> None:
    path, _ = opened(client, mailed_link(client))
    page = client.post(path, {"new_password1": "Ann Brierley", "new_password2": "Ann Brierley"})
    assert page.status_code == 200
    assert page.context["form"].errors
    ann.refresh_from_db()
    assert ann.check_password(make.PASSWORD)


@pytest.mark.parametrize(
    "bad", ["", "ann", "x" * 10_000, "a\x00@a.example", "<b>@a.example"], ids=make.short
)
def test_what_is_no_mail_address_is_told_beside_the_field(
    ann: Account, client: Client, bad: str
) -> None:
    answer = ask(client, bad)
    assert answer.status_code == 200
    assert list(answer.context["form"].errors) == ["email"]


def test_a_member_changes_their_password_and_stays_signed_in_here_only(
    ann: Account, client: Client
) -> None:
    client.force_login(ann)
    elsewhere = Client()
    elsewhere.force_login(ann)
    wrong = {"old_password": "wrong words", "new_password1": NEW, "new_password2": NEW}
    assert client.post("/password/", wrong).context["form"].errors.keys() == {"old_password"}
    answer = client.post("/password/", {**wrong, "old_password": make.PASSWORD})
    assert answer.headers["Location"] == "/me/"
    assert client.get("/me/").status_code == 200
    assert elsewhere.get("/me/").status_code == 302


def test_the_mail_can_be_sent_by_hand(ann: Account) -> None:
    call_command("mail_password", " Ann@Caldermoss.example")
    assert mail.outbox[0].to == ["ann@caldermoss.example"]
    with pytest.raises(CommandError):
        call_command("mail_password", "nobody@a.example")


def test_the_job_has_a_limit_and_a_command_and_outlives_its_member(ann: Account) -> None:
    found = tasks()[PASSWORD_JOB]
    assert found.limit_seconds <= 60
    assert found.command == "mail_password"
    pk = ann.pk
    ann.delete()
    found.call(account_id=pk)
    found.call(account_id=None)
    assert mail.outbox == []
