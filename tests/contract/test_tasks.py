"""Every task has a limit, a command that does the same by hand, and survives being run twice."""

import os
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest
from django.core import mail
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.management import call_command, get_commands

from society.core import tasks as tasks_module
from society.core.tasks import Task, task, tasks
from society.finds.models import Find, Photograph, PhotographState
from society.members.models import Account, MailChoice
from society.names.models import ChecklistFile, Taxon
from society.review.models import Comment, DeskEntry, PersonalNotice
from tests.cast import Cast

LONGEST_LIMIT_SECONDS = 3600
LEFT_BEHIND = "originals/zz/left-behind"


@dataclass(frozen=True)
class Trial:
    """How a task is tried on the cast: ``spoil`` leaves something to do and returns the arguments,
    ``state`` reads what it is there to do, ``by_hand`` gives the arguments of its command."""

    spoil: Callable[[Cast], dict[str, Any]]
    state: Callable[[Cast], Any]
    by_hand: Callable[[Cast], list[str]] = lambda cast: []


def photograph_spoilt(cast: Cast) -> dict[str, Any]:
    Photograph.objects.filter(pk=cast.photograph.pk).update(
        renditions={}, state=PhotographState.WAITING
    )
    return {"photograph_id": cast.photograph.pk}


def photograph_state(cast: Cast) -> Any:
    photograph = Photograph.objects.get(pk=cast.photograph.pk)
    return photograph.state, sorted(photograph.renditions)


def notice_spoilt(cast: Cast) -> dict[str, Any]:
    Account.objects.filter(pk=cast.ann.pk).update(mail_choice=MailChoice.AT_ONCE)
    notice = PersonalNotice.objects.filter(person=cast.ann.person).latest("pk")
    PersonalNotice.objects.update(to_mail=False)
    PersonalNotice.objects.filter(pk=notice.pk).update(to_mail=True, read_at=None, mailed_at=None)
    return {"notice_id": notice.pk}


def mails_sent(cast: Cast) -> Any:
    return [(message.to, message.subject, message.body) for message in mail.outbox]


def people_mailed(cast: Cast) -> Any:
    """For whom: each run of this one sends a link of its own."""
    return {address for message in mail.outbox for address in message.to}


def standing_spoilt(cast: Cast) -> dict[str, Any]:
    Find.objects.filter(pk=cast.confirmed.pk).update(standing="unconfirmed")
    DeskEntry.objects.filter(find=cast.confirmed).update(family="Elsewhere")
    return {"taxon_ids": [cast.milkcap.pk]}


def standing_state(cast: Cast) -> Any:
    find = Find.objects.select_related("desk_entry").get(pk=cast.confirmed.pk)
    return find.standing, find.standing_taxon_id, find.desk_entry.waits, find.desk_entry.family


def file_left_behind(cast: Cast) -> dict[str, Any]:
    """Leave a file that no row names, as old as a draft thrown away last week."""
    if not default_storage.exists(LEFT_BEHIND):
        default_storage.save(LEFT_BEHIND, ContentFile(b"nobody's"))
    last_week = time.time() - 7 * 24 * 3600
    os.utime(default_storage.path(LEFT_BEHIND), (last_week, last_week))
    return {}


def files_there(cast: Cast) -> Any:
    named = [cast.photograph.original, *cast.photograph.renditions.values()]
    return [default_storage.exists(key) for key in (LEFT_BEHIND, *named)]


def statement_spoilt(cast: Cast) -> dict[str, Any]:
    Comment.objects.filter(pk=cast.comment.pk).update(text_statement="0::of-an-older-one")
    return {}


def statement_state(cast: Cast) -> Any:
    return Comment.objects.values_list("text_statement", flat=True).get(pk=cast.comment.pk)


def names_waiting(cast: Cast) -> dict[str, Any]:
    """The cast's file of names, asked to be taken over and not begun."""
    file = ChecklistFile.objects.get()
    if not default_storage.exists(file.stored):
        default_storage.save(file.stored, ContentFile(b"scientificName\nRussula betularum Hora\n"))
    Taxon.objects.filter(folded="russula betularum").delete()
    ChecklistFile.objects.update(state=ChecklistFile.State.TAKING, taken={})
    return {"file_id": file.pk}


def names_taken(cast: Cast) -> Any:
    return (
        list(ChecklistFile.objects.values_list("state", "taken")),
        list(Taxon.objects.filter(folded="russula betularum").values_list("authorship")),
    )


TRIALS = {
    "names.take_over": Trial(
        names_waiting, names_taken, lambda cast: [str(ChecklistFile.objects.get().pk)]
    ),
    "finds.sweep_files": Trial(file_left_behind, files_there),
    "safety.recompute_statements": Trial(statement_spoilt, statement_state),
    "finds.make_renditions": Trial(
        photograph_spoilt, photograph_state, lambda cast: [str(cast.photograph.pk)]
    ),
    "members.password_mail": Trial(
        lambda cast: {"account_id": cast.ann.pk}, people_mailed, lambda cast: [cast.ann.email]
    ),
    "review.mail_notice": Trial(notice_spoilt, mails_sent),
    "review.names_read_anew": Trial(standing_spoilt, standing_state),
}


def offences(found: Task, commands: set[str]) -> list[str]:
    """Return what a task lacks that every task has."""
    faults = []
    if not 0 < found.limit_seconds <= LONGEST_LIMIT_SECONDS:
        faults.append("no sensible time limit")
    if found.command not in commands:
        faults.append(f"no command {found.command!r}")
    return faults


def test_every_task_is_written_down_here():
    # Tests of the worker itself register tasks of their own in the same process.
    own = {kind for kind, found in tasks().items() if found.call.__module__.startswith("society.")}
    assert own == set(TRIALS)


@pytest.mark.parametrize("kind", TRIALS)
def test_a_task_has_a_limit_and_a_command_twin(kind: str):
    assert offences(tasks()[kind], set(get_commands())) == []


@pytest.fixture
def own_registry(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tasks_module, "_registry", dict(tasks()))


def test_a_task_without_limit_or_twin_is_found_out(own_registry: None):
    @task("core.endless", limit_seconds=0, command="fly_away")
    def endless() -> None: ...

    found = tasks()["core.endless"]
    assert offences(found, set(get_commands())) == [
        "no sensible time limit",
        "no command 'fly_away'",
    ]


@pytest.mark.parametrize("kind", TRIALS)
def test_a_task_does_its_work_and_a_second_run_changes_nothing(kind: str, cast: Cast):
    trial, found = TRIALS[kind], tasks()[kind]
    arguments = trial.spoil(cast)
    before = trial.state(cast)
    found.call(**arguments)
    after = trial.state(cast)
    assert after != before
    found.call(**arguments)
    assert trial.state(cast) == after


@pytest.mark.parametrize("kind", TRIALS)
def test_the_command_twin_does_the_same_and_may_run_twice(kind: str, cast: Cast):
    trial, found = TRIALS[kind], tasks()[kind]
    arguments = trial.spoil(cast)
    found.call(**arguments)
    by_task = trial.state(cast)
    mail.outbox.clear()
    trial.spoil(cast)
    assert trial.state(cast) != by_task
    for _ in range(2):
        call_command(found.command, *trial.by_hand(cast), verbosity=0)
    assert trial.state(cast) == by_task
