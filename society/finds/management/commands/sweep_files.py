"""Remove files of photographs that nothing names any more."""

from typing import Any

from django.core.management.base import BaseCommand

from society.finds.services import files_sweep


class Command(BaseCommand):
    help = "Removes files of photographs, older than a day, that no find and no draft names."

    def handle(self, *args: Any, **options: Any) -> None:
        self.stdout.write(f"{files_sweep()} files removed.")
