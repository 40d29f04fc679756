"""Background work: Job rows that any worker may claim.

The row is the truth. ``manage.py work`` looks for rows that are due; where ``REDIS_URL`` is set, a
nudge through Redis tells a Celery worker at once, and a sweep repeats nudges that were lost. A
worker holds a row by a lease that it renews while it works. When it dies, the lease runs out and
the row is claimed again: every task must be safe to run twice.
"""

import datetime as dt
import functools
import logging
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.db import IntegrityError, models, transaction
from django.db.models import F, Q
from django.db.models.functions import Least
from django.utils import timezone

from society.core.models import Job, JobState

if TYPE_CHECKING:
    from celery import Celery

LEASE = dt.timedelta(seconds=60)
MAX_TRIES = 5
# Before the second try, the third, and so on.
BACK_OFF = (
    dt.timedelta(seconds=10),
    dt.timedelta(minutes=1),
    dt.timedelta(minutes=5),
    dt.timedelta(minutes=30),
)
RUN_JOB = "society.run_job"
SWEEP = "society.sweep"
SWEEP_SECONDS = 10.0

logger = logging.getLogger(__name__)


def job_add(
    kind: str,
    args: Mapping[str, Any] | None = None,
    *,
    key: str | None = None,
    run_at: dt.datetime | None = None,
    by: models.Model | None = None,
) -> Job:
    """Insert a Job in the caller's transaction; return it, or the waiting one with the same key.

    ``args`` are the task's keyword arguments: ids and codes, as JSON. A key is free again once a
    worker has begun, since what changes after that needs another run. ``run_at`` delays the work.
    """
    due = run_at or timezone.now()
    for _ in range(5):
        job = (_job_joined(key, due) if key else None) or _job_inserted(
            Job(
                kind=kind,
                args=dict(args or {}),
                key=key,
                run_at=due,
                asked_by_id=by.pk if by else None,
            )
        )
        if job:
            break
    else:
        raise RuntimeError(f"the key {key} is held by a job that is not waiting")
    if settings.REDIS_URL and due <= timezone.now():
        job_id = job.pk
        # robust: what was committed stands, whether or not Redis is there.
        transaction.on_commit(lambda: _nudge(job_id), robust=True)
    return job


def _job_joined(key: str, due: dt.datetime) -> Job | None:
    """Return the waiting Job with that key, held until the caller commits.

    The update is what holds it: a worker that claims it meanwhile waits, and then sees what the
    caller wrote.
    """
    if Job.objects.filter(key=key, state=JobState.WAITING).update(run_at=Least("run_at", due)):
        return Job.objects.filter(key=key).first()
    return None


def _job_inserted(job: Job) -> Job | None:
    """Return the inserted row, or None when somebody else inserted one with its key meanwhile."""
    try:
        with transaction.atomic():
            job.save(force_insert=True)
    except IntegrityError:
        if job.key is None:
            raise
        return None
    return job


def job_claim(worker: str, now: dt.datetime, *, job_id: int | None = None) -> Job | None:
    """Claim the Job that has been due longest (or the one named) and return it, else None.

    A try is counted and the next one put off before the work begins, so a Job that kills its worker
    neither stands in the way of others nor runs for ever.
    """
    due = _due(now)
    if job_id is not None:
        due = due.filter(pk=job_id)
    for job in due[:10]:
        as_seen = Job.objects.filter(
            pk=job.pk, state=job.state, tries=job.tries, lease_until=job.lease_until
        )
        if job.tries >= MAX_TRIES:
            as_seen.update(state=JobState.FAILED, error="worker_died", finished_at=now)
            continue
        claimed = as_seen.update(
            state=JobState.RUNNING,
            worker=worker,
            lease_until=now + LEASE,
            tries=F("tries") + 1,
            run_at=now + _back_off(job.tries + 1),
            key=None,
        )
        if claimed:
            job.refresh_from_db()
            return job
    return None


def _due(now: dt.datetime) -> models.QuerySet[Job]:
    waiting = Q(state=JobState.WAITING, run_at__lte=now)
    abandoned = Q(state=JobState.RUNNING, lease_until__lt=now, run_at__lte=now)
    return Job.objects.filter(waiting | abandoned).order_by("run_at", "id")


def _back_off(tries: int) -> dt.timedelta:
    return BACK_OFF[min(tries, len(BACK_OFF)) - 1]


def _held(job: Job) -> models.QuerySet[Job]:
    """The row, if this claim still holds it: a later claim has counted another try."""
    return Job.objects.filter(pk=job.pk, state=JobState.RUNNING, worker=job.worker, tries=job.tries)


def job_heartbeat(
    job: Job, now: dt.datetime, *, done: int | None = None, total: int | None = None
) -> bool:
    """Renew the lease and note the progress; False when another worker has taken the Job."""
    progress = {"progress_done": done, "progress_total": total}
    noted = {name: value for name, value in progress.items() if value is not None}
    return bool(_held(job).update(lease_until=now + LEASE, **noted))


def job_finish(job: Job, now: dt.datetime) -> bool:
    """Mark the Job done; False when another worker has taken it."""
    return bool(_held(job).update(state=JobState.DONE, finished_at=now, lease_until=None, error=""))


def job_fail(job: Job, now: dt.datetime, error: str, *, final: bool = False) -> bool:
    """Put the Job off for another try, or mark it failed after the last or a ``final`` fault.

    ``error`` is a code or the name of an exception: a message may quote what people wrote.
    """
    if final or job.tries >= MAX_TRIES:
        return bool(
            _held(job).update(
                state=JobState.FAILED, finished_at=now, lease_until=None, error=error[:200]
            )
        )
    return bool(
        _held(job).update(
            state=JobState.WAITING,
            run_at=now + _back_off(job.tries),
            lease_until=None,
            error=error[:200],
        )
    )


def job_release(job: Job, now: dt.datetime) -> bool:
    """Put back a Job whose worker was asked to stop; the try is not counted."""
    return bool(
        _held(job).update(
            state=JobState.WAITING, run_at=now, lease_until=None, tries=F("tries") - 1
        )
    )


@functools.cache
def queue() -> "Celery":
    """Return the Celery application on ``REDIS_URL``; only a nudge passes through it."""
    from celery import Celery

    app = Celery("society", broker=settings.REDIS_URL, set_as_current=False)
    app.conf.update(
        accept_content=["json"],
        task_ignore_result=True,
        task_default_queue="logbook",
        # A page must not wait for a Redis that is away: the sweep repeats the nudge.
        broker_transport_options={
            "socket_connect_timeout": 2,
            "socket_timeout": 5,
            "max_retries": 0,
        },
        broker_connection_retry_on_startup=True,
        worker_prefetch_multiplier=1,
        worker_hijack_root_logger=False,
        worker_max_tasks_per_child=200,
        beat_schedule={
            "sweep": {
                "task": SWEEP,
                "schedule": SWEEP_SECONDS,
                "options": {"expires": SWEEP_SECONDS},
            }
        },
        beat_schedule_filename=str(settings.DATA_DIR / "celery-beat"),
        timezone=settings.TIME_ZONE,
    )
    return app


def _nudge(job_id: int) -> None:
    queue().send_task(RUN_JOB, args=[job_id], retry=False)


def jobs_nudge(now: dt.datetime) -> int:
    """Tell the Celery workers of every Job that is due; return how many. A repeat does no harm."""
    due = list(_due(now).values_list("pk", flat=True)[:500])
    for job_id in due:
        _nudge(job_id)
    return len(due)
