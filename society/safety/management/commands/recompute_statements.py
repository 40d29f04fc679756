"""Find anew what every free text says on eating."""

from typing import Any

from django.core.management.base import BaseCommand

from society.safety.services import statements_recompute


class Command(BaseCommand):
    help = "Finds anew what every free text says on eating, where the detector has changed."

    def handle(self, *args: Any, **options: Any) -> None:
        read, changed = statements_recompute()
        self.stdout.write(f"{read} texts read, {changed} found to be of an older detector.")
