"""Read lines from standard input and say what each means, one JSON object a line."""

import json
import os
import sys
from collections.abc import Callable
from functools import lru_cache
from typing import Any, BinaryIO

from django.core.management.base import BaseCommand, CommandParser

from society.names.queries import name_interpreted

UNDECODABLE = "undecodable"
LINES_KEPT = 20_000  # lines often repeat in a spreadsheet's column

# What may be asked for: a reader of text and, for a line whose bytes are no UTF-8, its code.
Reader = Callable[[str, str | None], dict[str, Any]]


def name_read(text: str, fault: str | None = None) -> dict[str, Any]:
    """Read a written name against the checklist; with a fault the line is not read at all."""
    return name_interpreted("" if fault else text, fault=fault)


READERS: dict[str, Reader] = {"name": name_read}


class Command(BaseCommand):
    help = (
        "Read lines from standard input and write one JSON object for each, in order, blank and "
        "undecodable lines included."
    )
    stealth_options = ("stdin",)

    def add_arguments(self, parser: CommandParser) -> None:
        kinds = parser.add_subparsers(dest="kind", required=True, metavar="kind")
        kinds.add_parser("name", help="names of fungi and of what they grow with, as written")

    def handle(self, *args: Any, **options: Any) -> None:
        lines: BinaryIO = options.get("stdin") or sys.stdin.buffer
        answer = lru_cache(maxsize=LINES_KEPT)(_answering(READERS[options["kind"]]))
        try:
            for line in lines:
                self.stdout.write(answer(line.removesuffix(b"\n").removesuffix(b"\r")))
                self.stdout.flush()
        except BrokenPipeError:
            # Whoever read the answers has enough. What is left to write goes nowhere, also at exit.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _answering(reader: Reader) -> Callable[[bytes], str]:
    """Return what makes a line of bytes into its line of JSON.

    The answer is plain ASCII, so that no console's encoding can spoil it.
    """

    def answer(line: bytes) -> str:
        fault = None
        try:
            text = line.decode("utf-8-sig")
        except UnicodeDecodeError:
            text, fault = line.decode("utf-8", errors="replace"), UNDECODABLE
        return json.dumps({"text": text, **reader(text, fault)})

    return answer
