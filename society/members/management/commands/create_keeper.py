"""Make the first keeper of a new logbook, asking for name, mail address and password."""

import getpass
from typing import Any

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError

from society.core.errors import Refused
from society.members.models import Society
from society.members.queries import keepers_in_office
from society.members.services import keeper_create, society_write


class Command(BaseCommand):
    help = "Makes the first keeper of a new logbook. Asks for what it needs."

    def handle(self, *args: Any, **options: Any) -> None:
        if keepers_in_office().exists():
            raise CommandError("This logbook has a keeper already, who can invite others.")
        try:
            while not (Society.objects.exists() or self._society_made()):
                pass
            while not self._keeper_made():
                pass
        except EOFError as error:
            raise CommandError("This command asks questions: run it in a terminal.") from error
        except KeyboardInterrupt as error:
            raise CommandError("Stopped; no keeper was made.") from error

    def _society_made(self) -> bool:
        name = self._asked("Name of the society")
        region = self._asked("Name of its region")
        try:
            society_write({"name": name, "region_name": region}, actor_id=None)
        except ValidationError as error:
            return self._told(error.messages)
        return True

    def _keeper_made(self) -> bool:
        name = self._asked("Your name")
        email = self._asked("Your mail address (to sign in with)")
        password = getpass.getpass("A password of at least 10 characters: ")
        if getpass.getpass("The same again: ") != password:
            return self._told(["The two were not the same."])
        try:
            keeper_create(name=name, email=email, password=password)
        except ValidationError as error:
            return self._told(error.messages)
        except Refused as error:
            raise CommandError(str(error.message)) from error
        self.stdout.write(f"{name} is the keeper and signs in with {email}.")
        return True

    def _told(self, messages: list[str]) -> bool:
        self.stderr.write("\n".join(messages))
        return False

    def _asked(self, question: str) -> str:
        while not (answer := input(f"{question}: ").strip()):
            pass
        return answer
