"""Which tasks there are, and how a Job is worked: time limit, heartbeat, progress, outcome."""

import contextlib
import datetime as dt
import logging
import signal
import threading
import time
from collections.abc import Callable, Iterator, Mapping
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Any

from django.db import DatabaseError, close_old_connections, connection
from django.utils import timezone
from django.utils.module_loading import autodiscover_modules

from society.core.errors import Refused
from society.core.models import Job
from society.core.services import (
    LEASE,
    job_add,
    job_claim,
    job_fail,
    job_finish,
    job_heartbeat,
    job_release,
)

logger = logging.getLogger(__name__)


@dataclass(frozen=True)
class Task:
    """A kind of Job: what it calls, its limit, and the command that does the same by hand."""

    kind: str
    call: Callable[..., Any]
    limit_seconds: int
    command: str
    at_start: bool = False


class TimeLimitPassed(BaseException):
    """Raised inside a task at its limit; no ``except Exception`` may swallow it."""


class StopAsked(BaseException):
    """Raised inside a task whose worker must stop."""


class LeaseLost(BaseException):
    """Raised inside a task when another worker has taken its Job."""


@dataclass
class _Current:
    job: Job
    noted_at: float = 0.0


# How long a task may go on after its worker was asked to stop; run.sh waits longer than this.
GRACE_SECONDS = 8.0
_SIGNALS = (signal.SIGALRM, signal.SIGTERM, signal.SIGINT)
_stop_asked = threading.Event()
_registry: dict[str, Task] = {}
_current: ContextVar[_Current | None] = ContextVar("current_job", default=None)


def task(
    kind: str, *, limit_seconds: int, command: str, at_start: bool = False
) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Register a function as the task of a kind: it takes ids, calls a service, may run twice.

    ``command`` names the management command that does the same by hand. With ``at_start`` a
    worker asks for it when it starts: for what an upgrade needs, or what asks for itself again.
    """

    def register(call: Callable[..., Any]) -> Callable[..., Any]:
        known = _registry.get(kind)
        if known and known.call.__qualname__ != call.__qualname__:
            raise ValueError(f"two tasks are called {kind}")
        _registry[kind] = Task(kind, call, limit_seconds, command, at_start)
        return call

    return register


def tasks() -> Mapping[str, Task]:
    """Return every room's tasks by kind."""
    autodiscover_modules("tasks")
    return _registry


def jobs_at_start() -> None:
    """Ask for the Jobs that every start of a worker wants; asked twice, each waits once."""
    for found in tasks().values():
        if found.at_start:
            job_add(found.kind, key=found.kind)


def report_progress(done: int, total: int) -> None:
    """Note how far the running Job is, at most once a second; outside a Job do nothing.

    Raises ``LeaseLost`` when another worker has taken the Job, so that two do not go on.
    """
    current = _current.get()
    if current is None or (done < total and time.monotonic() - current.noted_at < 1):
        return
    current.noted_at = time.monotonic()
    if not job_heartbeat(current.job, timezone.now(), done=done, total=total):
        raise LeaseLost


def run_next(worker: str) -> bool:
    """Claim and work the Job that is due longest; False when none is due."""
    job = job_claim(worker, timezone.now())
    if job is None:
        return False
    _work(job)
    return True


def run_job(job_id: int, worker: str) -> bool:
    """Claim and work this Job; False when it is not due or another worker has it."""
    job = job_claim(worker, timezone.now(), job_id=job_id)
    if job is None:
        return False
    _work(job)
    return True


def _work(job: Job) -> None:
    """Run the Job's task and write down how it went."""
    found = tasks().get(job.kind)
    if found is None:
        job_fail(job, timezone.now(), "unknown_kind", final=True)
        logger.error("Job %s is of an unknown kind, %s.", job.pk, job.kind)
        return
    token = _current.set(_Current(job))
    try:
        with _heartbeat(job, found.limit_seconds), _time_limit(found.limit_seconds):
            found.call(**job.args)
    except Refused as refusal:
        # Asked again it would refuse again.
        job_fail(job, timezone.now(), refusal.code, final=True)
    except TimeLimitPassed:
        # The interruption may have come in the middle of a query.
        connection.close()
        job_fail(job, timezone.now(), "time_limit")
        logger.error("Job %s (%s) passed its limit.", job.pk, job.kind)
    except LeaseLost:
        logger.warning("Job %s (%s) was taken by another worker.", job.pk, job.kind)
    except StopAsked:
        connection.close()
        job_release(job, timezone.now())
        raise
    except Exception as fault:
        job_fail(job, timezone.now(), type(fault).__name__)
        logger.exception("Job %s (%s) failed.", job.pk, job.kind)
    else:
        job_finish(job, timezone.now())
    finally:
        _current.reset(token)


def ask_to_stop() -> None:
    """Interrupt the running task after ``GRACE_SECONDS``; made for a signal's handler."""
    _stop_asked.set()
    signal.signal(signal.SIGALRM, _interrupt)
    signal.setitimer(signal.ITIMER_REAL, GRACE_SECONDS)


def forget_to_stop() -> None:
    """Undo ``ask_to_stop``, when the worker has ended and its process goes on."""
    signal.setitimer(signal.ITIMER_REAL, 0)
    _stop_asked.clear()


def _interrupt(number: int, frame: Any) -> None:
    raise StopAsked if _stop_asked.is_set() else TimeLimitPassed


@contextlib.contextmanager
def _time_limit(seconds: float) -> Iterator[None]:
    """Raise ``TimeLimitPassed`` in this block after so many seconds.

    Only a main thread can be interrupted so; elsewhere the lease is no longer renewed.
    """
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGALRM, _interrupt)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    if _stop_asked.is_set():
        # It was asked a moment ago, and the line above has put off its alarm.
        signal.setitimer(signal.ITIMER_REAL, min(seconds, GRACE_SECONDS))
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


@contextlib.contextmanager
def _heartbeat(job: Job, limit_seconds: float) -> Iterator[None]:
    """Renew the lease from a thread of its own, while the task computes, up to its limit."""
    ended = threading.Event()
    thread = threading.Thread(
        target=_beat, args=(job, ended, dt.timedelta(seconds=limit_seconds)), daemon=True
    )
    # The thread takes over this mask: a signal must wake the main thread, wherever it waits.
    mask = signal.pthread_sigmask(signal.SIG_BLOCK, _SIGNALS)
    try:
        thread.start()
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, mask)
    try:
        yield
    finally:
        ended.set()
        thread.join()


def _beat(job: Job, ended: threading.Event, limit: dt.timedelta) -> None:
    last = timezone.now() + limit
    try:
        while not ended.wait(LEASE.total_seconds() / 3) and timezone.now() < last:
            try:
                if not job_heartbeat(job, timezone.now()):
                    return
            except DatabaseError:
                # The next beat may still come in time.
                logger.warning("The lease of job %s could not be renewed.", job.pk)
                close_old_connections()
    finally:
        connection.close()
