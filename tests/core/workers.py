"""Tasks that only tests run, and the real worker processes that run them."""

import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

from django.db import connection

from society.core.errors import Refused
from society.core.models import Job
from society.core.tasks import report_progress, task
from society.core.throttle import tries_counted

WAIT_SECONDS = 60.0


@task("test.count", limit_seconds=5, command="work")
def count(name: str) -> None:
    """Leave a trace in the database: one more try counted under this name."""
    tries_counted("test", name, window_minutes=1440)


@task("test.sleep", limit_seconds=60, command="work")
def sleep(seconds: float) -> None:
    time.sleep(seconds)


@task("test.too_long", limit_seconds=1, command="work")
def too_long() -> None:
    try:
        time.sleep(20)
    except Exception:  # noqa: BLE001
        return


@task("test.fail", limit_seconds=5, command="work")
def fail(message: str) -> None:
    raise RuntimeError(message)


@task("test.refuse", limit_seconds=5, command="work")
def refuse() -> None:
    raise Refused("No.", "not_now")


@task("test.progress", limit_seconds=5, command="work")
def progress(total: int) -> None:
    for done in range(total):
        report_progress(done + 1, total)


@task("test.die", limit_seconds=5, command="work")
def die() -> None:
    os._exit(9)


def database_url() -> str:
    """Return the address of the database this test runs on, for a process of its own."""
    values = connection.settings_dict
    if connection.vendor == "sqlite":
        return f"sqlite:///{values['NAME']}"
    return f"postgres://{values['USER']}@{values['HOST']}:{values['PORT']}/{values['NAME']}"


def start(arguments: list[str], folder: Path, **variables: str) -> subprocess.Popen[str]:
    """Start Python with these arguments on this test's database, its words kept in a file."""
    environment = {
        **os.environ,
        "DATABASE_URL": database_url(),
        "DATA_DIR": str(folder),
        **variables,
    }
    with (folder / "worker.log").open("a") as log:
        return subprocess.Popen(
            [sys.executable, *arguments],
            env=environment,
            stdin=subprocess.DEVNULL,
            stdout=log,
            stderr=log,
            text=True,
        )


def start_work(folder: Path, *options: str) -> subprocess.Popen[str]:
    """Start ``manage.py work`` in a process that also knows the tasks of this module."""
    program = (
        "import sys, django; django.setup(); import tests.core.workers; "
        "from django.core.management import call_command; call_command('work', *sys.argv[1:])"
    )
    return start(["-c", program, *options], folder)


def wait_until(seen: Callable[[], bool], what: str, seconds: float = WAIT_SECONDS) -> None:
    """Wait until ``seen`` answers yes, else fail saying what was waited for."""
    last = time.monotonic() + seconds
    while time.monotonic() < last:
        if seen():
            return
        time.sleep(0.05)
    raise AssertionError(f"waited {seconds:.0f} s in vain for {what}")


def state_of(job: Job) -> str:
    return Job.objects.values_list("state", flat=True).get(pk=job.pk)
