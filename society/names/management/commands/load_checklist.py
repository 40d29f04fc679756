"""Load the starter checklist; safe to run again."""

from typing import Any

from django.core.management.base import BaseCommand

from society.names.services import checklist_load


class Command(BaseCommand):
    help = "Load the starter checklist. Running it again changes nothing; keepers' edits stay."

    def handle(self, *args: Any, **options: Any) -> None:
        report = checklist_load()
        self.stdout.write(
            f"Checklist: {report.names} names of fungi, {report.synonyms} synonyms, "
            f"{report.hosts} hosts, {report.look_alikes} look-alikes, "
            f"{report.characters} characters; {report.new_names} rows were new."
        )
