"""Load the starter checklist and the species accounts; safe to run again."""

from typing import Any

from django.core.management.base import BaseCommand

from society.names.services import accounts_load, checklist_load


class Command(BaseCommand):
    help = (
        "Load the starter checklist and the species accounts. Running it again changes nothing; "
        "keepers' edits stay."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        report = checklist_load()
        self.stdout.write(
            f"Checklist: {report.names} names of fungi, {report.synonyms} synonyms, "
            f"{report.english} English names, {report.hosts} hosts, "
            f"{report.look_alikes} look-alikes, {report.characters} characters; "
            f"{report.new_rows} rows were new."
        )
        accounts = accounts_load()
        self.stdout.write(
            f"Accounts: {accounts.accounts} species; {accounts.new_rows} rows were new."
        )
        for line in accounts.left_out:
            self.stderr.write(f"Left out: {line}.")
        for name in report.leading_nowhere:
            self.stderr.write(f"Left out: {name} points at a name that the checklist lacks.")
