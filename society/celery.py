"""Celery workers for a society that has outgrown one machine: they run the same Jobs.

Start them with ``celery -A society worker``, and one ``celery -A society beat`` for the sweep.
"""

import os
import socket

import django
from django.core.exceptions import ImproperlyConfigured

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "society.settings")
django.setup()

from celery.signals import beat_init  # noqa: E402
from django.conf import settings  # noqa: E402
from django.utils import timezone  # noqa: E402

from society.core.services import RUN_JOB, SWEEP, jobs_nudge, queue  # noqa: E402
from society.core.tasks import jobs_at_start, run_job, tasks  # noqa: E402

if not settings.REDIS_URL:
    raise ImproperlyConfigured("Celery needs REDIS_URL; without it use: manage.py work")

app = queue()
tasks()


@app.task(name=RUN_JOB)
def run(job_id: int) -> None:
    run_job(job_id, worker=f"{socket.gethostname()}:{os.getpid()}"[:80])


@app.task(name=SWEEP)
def sweep() -> None:
    jobs_nudge(timezone.now())


@beat_init.connect
def begin(**_: object) -> None:
    jobs_at_start()
