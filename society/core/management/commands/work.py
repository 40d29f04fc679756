"""Work the background Jobs that are due."""

import logging
import os
import signal
import socket
import threading
from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand
from django.db import DatabaseError, close_old_connections

from society.core.tasks import (
    StopAsked,
    ask_to_stop,
    forget_to_stop,
    jobs_at_start,
    run_next,
    tasks,
)

POLL_SECONDS = 1.0
SECONDS_AFTER_A_FAULT = 5.0

logger = logging.getLogger(__name__)


class Command(BaseCommand):
    help = "Works the background Jobs that are due, until it is asked to stop (SIGTERM)."

    def add_arguments(self, parser: ArgumentParser) -> None:
        how_long = parser.add_mutually_exclusive_group()
        how_long.add_argument("--once", action="store_true", help="work one Job at most, then end")
        how_long.add_argument(
            "--until-empty", action="store_true", help="end when no Job is due any more"
        )

    def handle(self, *args: Any, once: bool, until_empty: bool, **options: Any) -> None:
        tasks()
        worker = f"{socket.gethostname()}:{os.getpid()}"[:80]
        stop = threading.Event()

        def asked_to_stop(number: int, frame: Any) -> None:
            stop.set()
            ask_to_stop()

        before = {
            number: signal.signal(number, asked_to_stop)
            for number in (signal.SIGTERM, signal.SIGINT)
        }
        if not (once or until_empty):
            self._begin(stop)
        try:
            while not stop.is_set():
                worked = self._try_one(worker, stop)
                if once or (until_empty and not worked):
                    break
                if not worked:
                    stop.wait(POLL_SECONDS)
        except StopAsked:
            logger.warning("A Job was put back, since it did not end in time.")
        finally:
            forget_to_stop()
            for number, handler in before.items():
                signal.signal(number, handler)

    def _begin(self, stop: threading.Event) -> None:
        """Ask for what every start wants; a database that is away is no reason not to start."""
        try:
            jobs_at_start()
        except DatabaseError:
            logger.exception("The database did not answer; going on.")
            stop.wait(SECONDS_AFTER_A_FAULT)

    def _try_one(self, worker: str, stop: threading.Event) -> bool:
        """Work one Job; a database that is away is waited for."""
        close_old_connections()
        try:
            return run_next(worker)
        except DatabaseError:
            logger.exception("The database did not answer; trying again.")
            stop.wait(SECONDS_AFTER_A_FAULT)
            return True
