from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from society.names.models import ChecklistFile
from society.names.services import checklist_take_over


class Command(BaseCommand):
    help = "Take over a file of names that a keeper has sent in. Safe to run again."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file_id", type=int, help="the number in the address of its page")

    def handle(self, *args: Any, **options: Any) -> None:
        if not ChecklistFile.objects.filter(pk=options["file_id"]).exists():
            raise CommandError("There is no such file.")
        checklist_take_over(options["file_id"])
        row = ChecklistFile.objects.get(pk=options["file_id"])
        if options["verbosity"]:
            self.stdout.write(", ".join(f"{name}: {count}" for name, count in row.taken.items()))
