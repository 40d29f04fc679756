"""Prove, or put right, who sees the place of every find."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from society.finds.services import places_recompute


class Command(BaseCommand):
    help = "Works out the secrecy and the given cells of every find anew."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--check", action="store_true", help="change nothing; fail on a fault")

    def handle(self, *args: Any, check: bool, **options: Any) -> None:
        wrong = places_recompute(check_only=check)
        for find in wrong:
            self.stdout.write(f"find {find.spoken_number}")
        if check and wrong:
            raise CommandError(f"{len(wrong)} finds do not have the places their names demand.")
        self.stdout.write(f"{len(wrong)} finds put right." if wrong else "Every place agrees.")
