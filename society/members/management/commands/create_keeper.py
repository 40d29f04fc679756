"""Make the first keeper of a new logbook, asking for name, mail address and password."""

import getpass
from typing import Any

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError

from society.core.errors import Refused
from society.members.models import Society
from society.members.services import keeper_create, society_write


class Command(BaseCommand):
    help = "Make the first keeper of a new logbook. Asks for what it needs."

    def handle(self, *args: Any, **options: Any) -> None:
        if not Society.objects.exists():
            name = self._asked("Name of the society")
            region = self._asked("Name of its region")
            society_write({"name": name, "region_name": region}, actor_id=None)
        while True:
            name = self._asked("Your name")
            email = self._asked("Your mail address (to sign in with)")
            password = getpass.getpass("A password of at least 10 characters: ")
            try:
                keeper_create(name=name, email=email, password=password)
            except Refused as error:
                raise CommandError(str(error.message)) from error
            except ValidationError as error:
                self.stderr.write("\n".join(error.messages))
                continue
            self.stdout.write(f"{name} is the keeper and signs in with {email}.")
            return

    def _asked(self, question: str) -> str:
        while True:
            try:
                answer = input(f"{question}: ").strip()
            except EOFError as error:
                raise CommandError(
                    "This command asks questions: run it in a terminal."
                ) from error
            if answer:
                return answer
