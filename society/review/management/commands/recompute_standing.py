"""Work out anew what stands, or prove that what is stored is what the rule says."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from society.review.services import standing_recompute_all


class Command(BaseCommand):
    help = "Works out what stands for every find and writes it. With --check only compares."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--check", action="store_true", help="write nothing; fail on a difference"
        )

    def handle(self, *args: Any, check: bool, **options: Any) -> None:
        differing = standing_recompute_all(repair=not check)
        if check and differing:
            raise CommandError(
                f"{len(differing)} finds differ from the rule, first {differing[:10]}. "
                "Run the command without --check to write them anew."
            )
        self.stdout.write(f"{len(differing)} finds differed.")
