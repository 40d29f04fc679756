"""The command that makes the first keeper of a new logbook."""

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from society.members.management.commands import create_keeper
from society.members.models import Account, Society
from tests import make

Answers = Callable[[list[str], list[str]], None]


@pytest.fixture
def answers(db: None, monkeypatch: pytest.MonkeyPatch) -> Answers:
    """Answer the questions in turn; when the answers run out, so does the terminal."""

    def given(lines: list[str], passwords: list[str]) -> None:
        told, typed = iter(lines), iter(passwords)

        def following(source: Iterator[str]) -> Callable[[str], str]:
            def answer(question: str) -> str:
                try:
                    return next(source)
                except StopIteration as error:
                    raise EOFError from error

            return answer

        monkeypatch.setattr("builtins.input", following(told))
        monkeypatch.setattr(create_keeper.getpass, "getpass", following(typed))

    return given


def test_it_asks_for_the_society_and_makes_its_keeper(answers: Answers, capsys: Any) -> None:
    answers(
        ["Caldermoss Fungus Group", "Caldermoss", "", "Kay Thorpe", "Kay@Caldermoss.example"],
        [make.PASSWORD, make.PASSWORD],
    )
    call_command("create_keeper")
    kay = Account.objects.get()
    assert kay.is_keeper
    assert kay.email == "kay@caldermoss.example"
    assert kay.check_password(make.PASSWORD)
    assert Society.objects.get().name == "Caldermoss Fungus Group"
    assert "Kay Thorpe is the keeper" in capsys.readouterr().out


@pytest.mark.parametrize(
    "password",
    ["short", "password1234", "1234567890", "Kay Thorpe", "caldermoss fungus", "aaaaaaaaaaaa", ""],
)
def test_it_refuses_a_guessable_password_and_asks_again(
    answers: Answers, password: str, capsys: Any
) -> None:
    make.make_society()
    kay = ["Kay Thorpe", "kay@caldermoss.example"]
    answers([*kay, *kay], [password, password, make.PASSWORD, make.PASSWORD])
    call_command("create_keeper")
    assert "password" in capsys.readouterr().err.lower()
    assert Account.objects.get().check_password(make.PASSWORD)


def test_a_password_mistyped_once_is_asked_for_again(answers: Answers, capsys: Any) -> None:
    make.make_society()
    kay = ["Kay Thorpe", "kay@caldermoss.example"]
    answers([*kay, *kay], [make.PASSWORD, "otherwise", make.PASSWORD, make.PASSWORD])
    call_command("create_keeper")
    assert "not the same" in capsys.readouterr().err


def test_bad_names_and_addresses_are_told_and_asked_again(answers: Answers, capsys: Any) -> None:
    answers(
        [
            *("<b>Ours</b>", "Caldermoss", "Caldermoss Fungus Group", "Caldermoss"),
            *("Kay\x00", "kay", "Kay Thorpe", "kay@caldermoss.example"),
        ],
        [make.PASSWORD] * 4,
    )
    call_command("create_keeper")
    assert "without < or >" in capsys.readouterr().err
    assert Account.objects.get().person.display_name == "Kay Thorpe"


def test_it_makes_no_second_keeper_and_asks_nothing(answers: Answers) -> None:
    make.make_account(is_keeper=True)
    answers([], [])
    with pytest.raises(CommandError, match="has a keeper already"):
        call_command("create_keeper")


def test_a_keeper_whose_sign_in_is_switched_off_does_not_count(answers: Answers) -> None:
    make.make_society()
    make.make_account(is_keeper=True, is_active=False)
    answers(["Kay Thorpe", "kay@caldermoss.example"], [make.PASSWORD] * 2)
    call_command("create_keeper")
    assert Account.objects.filter(is_keeper=True, is_active=True).count() == 1


def test_without_a_terminal_it_says_so(answers: Answers) -> None:
    answers(["Caldermoss Fungus Group"], [])
    with pytest.raises(CommandError, match="run it in a terminal"):
        call_command("create_keeper")
    assert not Account.objects.exists()


def test_stopping_it_leaves_no_traceback(answers: Answers, monkeypatch: pytest.MonkeyPatch) -> None:
    def stopped(question: str) -> str:
        raise KeyboardInterrupt

    monkeypatch.setattr("builtins.input", stopped)
    with pytest.raises(CommandError, match="no keeper was made"):
        call_command("create_keeper")
