"""The same Jobs through a real Redis and a real Celery worker."""

import datetime as dt
import os
import signal
import subprocess
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.utils import timezone

from society.core.models import Job, JobState, ThrottleCount
from society.core.services import job_add, jobs_nudge, queue
from tests.core import workers

WORKER = "-m celery -A society worker -I tests.core.workers -c1 -lINFO".split()  # noqa: SIM905
pytestmark = [pytest.mark.redis, pytest.mark.django_db(transaction=True)]


def redis_url() -> str:
    url = os.environ.get("TEST_REDIS_URL")
    if not url:
        pytest.fail("TEST_REDIS_URL is not set: sh deploy/test.sh starts a Redis for these tests")
    return url


@pytest.fixture
def redis(settings: Any) -> Iterator[Any]:
    """Yield a client of the throwaway Redis, emptied, with the site set to use it."""
    from redis import Redis

    settings.REDIS_URL = redis_url()
    queue.cache_clear()
    client = Redis.from_url(settings.REDIS_URL)
    client.flushdb()
    yield client
    client.flushdb()
    client.close()
    queue.cache_clear()


@pytest.fixture
def start_celery(redis: Any, tmp_path: Path) -> Iterator[Callable[..., subprocess.Popen[str]]]:
    started: list[subprocess.Popen[str]] = []

    def start(*options: str) -> subprocess.Popen[str]:
        process = workers.start(
            [*WORKER, *options],
            tmp_path,
            REDIS_URL=redis_url(),
        )
        started.append(process)
        log = tmp_path / "worker.log"

        def answered() -> bool:
            assert process.poll() is None, log.read_text()
            return " ready." in log.read_text()

        workers.wait_until(answered, "the Celery worker")
        return process

    yield start
    for process in started:
        process.send_signal(signal.SIGQUIT)
        try:
            process.wait(15)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()


def test_a_celery_worker_runs_a_job_as_soon_as_it_is_committed(
    start_celery: Callable[..., Any],
) -> None:
    start_celery()
    job = job_add("test.count", {"name": "a"})
    workers.wait_until(lambda: workers.state_of(job) == JobState.DONE, "the job")
    assert ThrottleCount.objects.get().count == 1


def test_a_second_nudge_does_not_run_a_job_again(start_celery: Callable[..., Any]) -> None:
    job = job_add("test.count", {"name": "a"})
    jobs_nudge(timezone.now())
    jobs_nudge(timezone.now())
    start_celery()
    after = job_add("test.count", {"name": "b"})
    workers.wait_until(lambda: workers.state_of(after) == JobState.DONE, "the last job")
    assert workers.state_of(job) == JobState.DONE
    assert list(ThrottleCount.objects.values_list("count", flat=True)) == [1, 1]


def test_an_emptied_redis_loses_no_job(redis: Any, start_celery: Callable[..., Any]) -> None:
    job = job_add("test.count", {"name": "a"})
    assert redis.llen("logbook") == 1
    redis.flushdb()
    start_celery("--beat")
    workers.wait_until(lambda: workers.state_of(job) == JobState.DONE, "the sweep")


def test_the_job_of_a_killed_worker_is_run_by_another(start_celery: Callable[..., Any]) -> None:
    first = start_celery("--pool", "solo")
    job = job_add("test.sleep", {"seconds": 50})
    workers.wait_until(lambda: workers.state_of(job) == JobState.RUNNING, "the job")
    first.kill()
    first.wait()
    past = timezone.now() - dt.timedelta(seconds=1)
    found = Job.objects.filter(pk=job.pk)
    found.update(lease_until=past, run_at=past, args={"seconds": 0})
    start_celery("--beat")
    workers.wait_until(lambda: workers.state_of(job) == JobState.DONE, "the second worker")
    assert found.get().tries == 2


def test_a_page_does_not_wait_when_redis_is_away(settings: Any) -> None:
    settings.REDIS_URL = "redis://127.0.0.1:1/0"
    queue.cache_clear()
    began = time.monotonic()
    job = job_add("test.count", {"name": "a"})
    assert time.monotonic() - began < 3
    assert workers.state_of(job) == JobState.WAITING
    queue.cache_clear()
