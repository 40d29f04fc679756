"""Build the demo society into an empty logbook."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from society.core.errors import Refused
from society.demo.services import demo_build


class Command(BaseCommand):
    help = (
        "Builds the invented society of Caldermoss into an empty logbook and prints its sign-ins."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            report = demo_build(today=timezone.localdate(), tell=self.stdout.write)
        except Refused as error:
            raise CommandError(str(error.message)) from error
        self.stdout.write(
            f"Built: {report.people} people, {report.sites} sites, {report.forays} forays, "
            f"{report.finds} finds, {report.drawings} drawings."
        )
        for name, roles, address, password in report.signins:
            self.stdout.write(f"  {address}  {password}  {name} ({roles})")
