"""Make the sizes of photographs that are missing."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand

from society.finds.models import Photograph, PhotographState
from society.finds.services import renditions_make


class Command(BaseCommand):
    help = "Makes the missing sizes of photographs: of those named, else of all that lack some."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("photograph_id", type=int, nargs="*")
        parser.add_argument("--all", action="store_true", help="look at every photograph's files")

    def handle(self, *args: Any, photograph_id: list[int], **options: Any) -> None:
        photographs = Photograph.objects.order_by("pk")
        if photograph_id:
            photographs = photographs.filter(pk__in=photograph_id)
        elif not options["all"]:
            photographs = photographs.exclude(state=PhotographState.READY)
        made = failed = 0
        for pk in list(photographs.values_list("pk", flat=True)):
            try:
                renditions_make(pk)
                made += 1
            except OSError as error:
                failed += 1
                self.stderr.write(f"photograph {pk}: {error}")
        self.stdout.write(f"{made} photographs looked after, {failed} failed.")
