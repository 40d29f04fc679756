"""Jobs: who may claim a row, what a failure or a death leads to, and that no wish is lost."""

import datetime as dt
import signal
import threading
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from django.core.management import call_command
from django.db import connection, transaction
from django.utils import timezone

from society.core.models import Job, JobState, ThrottleCount
from society.core.services import (
    BACK_OFF,
    LEASE,
    MAX_TRIES,
    job_add,
    job_claim,
    job_fail,
    job_finish,
    job_heartbeat,
    job_release,
)
from society.core.tasks import LeaseLost, report_progress, run_job, run_next, task, tasks
from tests.core import workers

NOW = dt.datetime(2026, 10, 18, 20, 0, tzinfo=dt.UTC)
SECOND = dt.timedelta(seconds=1)


@pytest.fixture
def a_job(db: None) -> Job:
    return job_add("test.count", {"name": "a"}, run_at=NOW)


def reread(job: Job) -> Job:
    return Job.objects.get(pk=job.pk)


def test_a_job_is_claimed_once_and_not_before_it_is_due(a_job: Job) -> None:
    assert job_claim("one", NOW - SECOND) is None
    claimed = job_claim("one", NOW)
    assert claimed == a_job
    assert claimed.state == JobState.RUNNING
    assert claimed.worker == "one"
    assert claimed.tries == 1
    assert claimed.lease_until == NOW + LEASE
    assert job_claim("two", NOW + LEASE) is None


def test_the_job_due_longest_comes_first(db: None) -> None:
    later = job_add("test.count", {"name": "b"}, run_at=NOW)
    earlier = job_add("test.count", {"name": "a"}, run_at=NOW - SECOND)
    assert [job_claim("one", NOW), job_claim("one", NOW)] == [earlier, later]


def test_only_the_named_job_is_claimed_when_one_is_named(a_job: Job) -> None:
    other = job_add("test.count", {"name": "b"}, run_at=NOW)
    assert job_claim("one", NOW, job_id=other.pk) == other
    assert job_claim("one", NOW, job_id=other.pk) is None
    assert reread(a_job).state == JobState.WAITING


def test_a_finished_job_is_not_claimed_again(a_job: Job) -> None:
    claimed = job_claim("one", NOW)
    assert claimed
    assert job_finish(claimed, NOW + SECOND)
    assert reread(a_job).finished_at == NOW + SECOND
    assert job_claim("one", NOW + dt.timedelta(days=1)) is None


def test_a_dead_workers_job_is_taken_over_when_its_lease_has_run_out(a_job: Job) -> None:
    first = job_claim("one", NOW)
    second = job_claim("two", NOW + LEASE + SECOND)
    assert first
    assert second == a_job
    assert second.tries == 2
    # What the first worker says now changes nothing.
    assert not job_heartbeat(first, NOW + LEASE + SECOND)
    assert not job_finish(first, NOW + LEASE + SECOND)
    assert not job_fail(first, NOW + LEASE + SECOND, "late")
    assert reread(a_job).worker == "two"
    assert job_finish(second, NOW + LEASE + SECOND)


def test_a_heartbeat_keeps_the_lease_and_notes_progress(a_job: Job) -> None:
    claimed = job_claim("one", NOW)
    assert claimed
    assert job_heartbeat(claimed, NOW + LEASE / 2, done=3, total=7)
    assert job_claim("two", NOW + LEASE + SECOND) is None
    stored = reread(a_job)
    assert (stored.progress_done, stored.progress_total) == (3, 7)


def test_a_failing_job_is_put_off_longer_each_time_and_then_left(a_job: Job) -> None:
    now = NOW
    for tried in range(1, MAX_TRIES):
        claimed = job_claim("one", now)
        assert claimed
        assert job_fail(claimed, now, "RuntimeError")
        wait = BACK_OFF[tried - 1]
        assert job_claim("one", now + wait - SECOND) is None
        now += wait
    claimed = job_claim("one", now)
    assert claimed
    job_fail(claimed, now, "RuntimeError")
    stored = reread(a_job)
    assert stored.state == JobState.FAILED
    assert stored.tries == MAX_TRIES
    assert stored.error == "RuntimeError"
    assert job_claim("one", now + dt.timedelta(days=9)) is None


def test_a_job_that_kills_its_worker_lets_others_pass_and_is_left_in_the_end(a_job: Job) -> None:
    now = NOW
    for _ in range(MAX_TRIES):
        assert job_claim("one", now) == a_job
        other = job_add("test.count", {"name": "b"}, run_at=now + SECOND)
        now += max(LEASE, BACK_OFF[-1]) + SECOND
        assert job_claim("one", now, job_id=other.pk) == other
        Job.objects.filter(pk=other.pk).update(state=JobState.DONE)
    assert job_claim("one", now) is None
    stored = reread(a_job)
    assert stored.state == JobState.FAILED
    assert stored.error == "worker_died"


def test_a_released_job_may_be_claimed_at_once_and_loses_no_try(a_job: Job) -> None:
    claimed = job_claim("one", NOW)
    assert claimed
    assert job_release(claimed, NOW)
    again = job_claim("two", NOW)
    assert again == a_job
    assert again.tries == 1


def test_a_wish_made_twice_is_one_job_at_the_earlier_time(db: None) -> None:
    first = job_add("test.count", {"name": "a"}, key="k", run_at=NOW)
    same = job_add("test.count", {"name": "a"}, key="k", run_at=NOW - SECOND)
    job_add("test.count", {"name": "a"}, key="k", run_at=NOW + SECOND)
    assert same == first
    assert Job.objects.get().run_at == NOW - SECOND


def test_a_wish_made_while_the_job_runs_is_another_job(db: None) -> None:
    first = job_add("test.count", {"name": "a"}, key="k", run_at=NOW)
    job_claim("one", NOW)
    second = job_add("test.count", {"name": "a"}, key="k", run_at=NOW)
    assert second != first
    assert job_claim("two", NOW) == second


def test_a_job_is_not_kept_when_its_transaction_fails(db: None) -> None:
    def add_and_break() -> None:
        with transaction.atomic():
            job_add("test.count", {"name": "a"}, run_at=NOW)
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        add_and_break()
    assert not Job.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_of_many_workers_that_race_each_job_goes_to_one() -> None:
    for number in range(20):
        job_add("test.count", {"name": str(number)}, run_at=NOW)
    ready = threading.Barrier(6)

    def claim_all(worker: str) -> list[int]:
        claimed: list[int] = []
        ready.wait()
        try:
            misses = 0
            while misses < 5:
                job = job_claim(worker, NOW)
                claimed += [job.pk] if job else []
                misses += job is None
            return claimed
        finally:
            connection.close()

    with ThreadPoolExecutor(6) as pool:
        shares = list(pool.map(claim_all, "abcdef"))
    everything = sorted(pk for share in shares for pk in share)
    assert everything == sorted(Job.objects.values_list("pk", flat=True))
    assert set(Job.objects.values_list("tries", flat=True)) == {1}


@pytest.mark.django_db(transaction=True)
def test_wishes_made_at_the_same_moment_are_one_job() -> None:
    ready = threading.Barrier(4)

    def add(_: int) -> int:
        ready.wait()
        try:
            return job_add("test.count", {"name": "a"}, key="k", run_at=NOW).pk
        finally:
            connection.close()

    with ThreadPoolExecutor(4) as pool:
        found = set(pool.map(add, range(4)))
    assert found == {Job.objects.get().pk}


@pytest.mark.django_db(transaction=True)
def test_a_joined_job_does_not_begin_before_the_wish_is_written() -> None:
    """Else a worker reads the old state, and the change made beside the wish is never seen."""
    job_add("test.count", {"name": "a"}, key="k", run_at=NOW)
    claimed = threading.Event()
    trace: list[str] = []

    def claim() -> None:
        try:
            if job_claim("one", NOW):
                trace.append("claimed")
                claimed.set()
        finally:
            connection.close()

    worker = threading.Thread(target=claim)
    with transaction.atomic():
        job_add("test.count", {"name": "a"}, key="k", run_at=NOW)
        worker.start()
        assert not claimed.wait(0.5)
        trace.append("written")
    worker.join(20)
    assert trace == ["written", "claimed"]


def test_a_job_runs_and_is_done(db: None) -> None:
    job = job_add("test.count", {"name": "a"})
    assert run_job(job.pk, "one")
    assert not run_job(job.pk, "one")
    assert ThrottleCount.objects.get().count == 1
    stored = reread(job)
    assert stored.state == JobState.DONE
    assert stored.finished_at
    assert stored.lease_until is None


def test_an_exception_is_kept_by_its_name_alone(db: None, caplog: pytest.LogCaptureFixture) -> None:
    job = job_add("test.fail", {"message": "what somebody wrote"})
    assert run_next("one")
    stored = reread(job)
    assert stored.state == JobState.WAITING
    assert stored.error == "RuntimeError"
    assert stored.run_at > timezone.now()
    assert not run_next("one")


def test_a_refusal_is_final_and_kept_by_its_code(db: None) -> None:
    job = job_add("test.refuse")
    run_next("one")
    stored = reread(job)
    assert (stored.state, stored.error) == (JobState.FAILED, "not_now")


def test_an_unknown_kind_fails_at_once(db: None, caplog: pytest.LogCaptureFixture) -> None:
    job = job_add("test.nobody_knows_this")
    run_next("one")
    stored = reread(job)
    assert (stored.state, stored.error) == (JobState.FAILED, "unknown_kind")


@pytest.mark.django_db(transaction=True)
def test_a_task_past_its_limit_is_interrupted_even_if_it_swallows_exceptions(
    caplog: pytest.LogCaptureFixture,
) -> None:
    job = job_add("test.too_long")
    began = timezone.now()
    run_next("one")
    assert timezone.now() - began < dt.timedelta(seconds=10)
    stored = reread(job)
    assert (stored.state, stored.error) == (JobState.WAITING, "time_limit")
    assert signal.getitimer(signal.ITIMER_REAL)[0] == 0


def test_progress_is_noted_in_the_row_and_ignored_outside_a_job(db: None) -> None:
    report_progress(1, 2)
    job = job_add("test.progress", {"total": 5})
    run_next("one")
    stored = reread(job)
    assert (stored.progress_done, stored.progress_total) == (5, 5)


def test_a_task_stops_when_another_worker_took_its_job(
    db: None, caplog: pytest.LogCaptureFixture
) -> None:
    reached: list[str] = []

    @task("test.taken", limit_seconds=5, command="work")
    def taken() -> None:
        Job.objects.update(worker="another", tries=2)
        reached.append("before")
        report_progress(1, 1)
        reached.append("after")

    job = job_add("test.taken")
    run_next("one")
    assert reached == ["before"]
    assert reread(job).worker == "another"
    assert reread(job).state == JobState.RUNNING
    assert not issubclass(LeaseLost, Exception)


def test_two_tasks_cannot_share_a_kind() -> None:
    with pytest.raises(ValueError, match=r"test\.count"):
        task("test.count", limit_seconds=1, command="work")(lambda: None)


def test_every_task_has_a_limit_and_a_command() -> None:
    known = tasks()
    assert "test.count" in known
    assert all(each.limit_seconds > 0 and each.command for each in known.values())


@pytest.mark.django_db(transaction=True)
def test_work_until_empty_does_all_that_is_due_and_once_does_one() -> None:
    for name in "abc":
        job_add("test.count", {"name": name})
    call_command("work", once=True)
    assert Job.objects.filter(state=JobState.DONE).count() == 1
    call_command("work", until_empty=True)
    assert Job.objects.filter(state=JobState.DONE).count() == 3
    assert signal.getsignal(signal.SIGTERM) is signal.SIG_DFL


@pytest.mark.django_db(transaction=True)
def test_a_worker_takes_up_new_jobs_and_ends_when_asked(tmp_path: Path) -> None:
    process = workers.start_work(tmp_path)
    try:
        job = job_add("test.count", {"name": "a"})
        workers.wait_until(lambda: workers.state_of(job) == JobState.DONE, "the job")
        process.terminate()
        assert process.wait(10) == 0, (tmp_path / "worker.log").read_text()
    finally:
        process.kill()
        process.wait()


@pytest.mark.django_db(transaction=True)
def test_a_worker_asked_to_stop_puts_a_long_job_back(tmp_path: Path) -> None:
    process = workers.start_work(tmp_path)
    try:
        job = job_add("test.sleep", {"seconds": 40})
        workers.wait_until(lambda: workers.state_of(job) == JobState.RUNNING, "the job")
        process.terminate()
        assert process.wait(20) == 0, (tmp_path / "worker.log").read_text()
    finally:
        process.kill()
        process.wait()
    stored = reread(job)
    assert (stored.state, stored.tries) == (JobState.WAITING, 0)


@pytest.mark.django_db(transaction=True)
def test_a_killed_workers_job_is_done_by_the_next(tmp_path: Path) -> None:
    job = job_add("test.die")
    assert workers.start_work(tmp_path).wait(workers.WAIT_SECONDS) == 9
    assert reread(job).state == JobState.RUNNING
    past = timezone.now() - SECOND
    Job.objects.update(lease_until=past, run_at=past, kind="test.count", args={"name": "a"})
    assert workers.start_work(tmp_path, "--until-empty").wait(workers.WAIT_SECONDS) == 0
    stored = reread(job)
    assert (stored.state, stored.tries) == (JobState.DONE, 2)
