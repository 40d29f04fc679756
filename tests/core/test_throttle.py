"""Counting tries within a window."""

import datetime as dt
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from django.db import connection
from django.test import RequestFactory

from society.core import throttle
from society.core.models import ThrottleCount
from society.core.throttle import address_of, tries_counted, tries_forgotten

NOW = dt.datetime(2026, 10, 18, 20, 7, 30, tzinfo=dt.UTC)


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Any:
    def turned_to(now: dt.datetime) -> None:
        monkeypatch.setattr(throttle.timezone, "now", lambda: now)

    turned_to(NOW)
    return turned_to


def tries(who: str = "ann", purpose: str = "signin", window: int = 15) -> int:
    return tries_counted(purpose, who, window_minutes=window)


def test_each_try_is_counted_by_purpose_and_person(db: None, clock: Any) -> None:
    assert [tries(), tries(), tries()] == [1, 2, 3]
    assert tries("ben") == 1
    assert tries(purpose="reset") == 1


def test_a_new_window_begins_anew(db: None, clock: Any) -> None:
    tries()
    clock(NOW.replace(minute=14, second=59))
    assert tries() == 2
    clock(NOW.replace(minute=15, second=0))
    assert tries() == 1


def test_a_window_longer_than_a_day_still_counts(db: None, clock: Any) -> None:
    tries(window=3000)
    assert tries(window=3000) == 2


def test_tries_can_be_forgotten(db: None, clock: Any) -> None:
    tries()
    tries("ben")
    tries_forgotten("signin", "ann")
    assert tries() == 1
    assert tries("ben") == 2


def test_no_name_or_address_is_stored(db: None, clock: Any) -> None:
    tries("192.0.2.7 ann@caldermoss.example")
    row = str(ThrottleCount.objects.values().get())
    assert "ann" not in row
    assert "192" not in row


def test_counts_of_days_ago_are_cleared_away(db: None, clock: Any) -> None:
    tries()
    clock(NOW + dt.timedelta(days=2))
    tries("ben")
    assert ThrottleCount.objects.count() == 1


def test_tries_at_once_are_all_counted(transactional_db: None) -> None:
    def one_more(_: int) -> int:
        try:
            return tries("crowd", window=1440)
        finally:
            connection.close()

    with ThreadPoolExecutor(4) as pool:
        counted = list(pool.map(one_more, range(12)))
    assert sorted(counted) == list(range(1, 13))


@pytest.mark.parametrize(
    ("tls", "near", "forwarded", "expected"),
    [
        (False, "192.0.2.7", "", "192.0.2.7"),
        (False, "127.0.0.1", "198.51.100.1", "127.0.0.1"),
        (True, "127.0.0.1", "198.51.100.1", "198.51.100.1"),
        (True, "10.0.0.2", "6.6.6.6, 198.51.100.1", "198.51.100.1"),
        (True, "", "198.51.100.1", "198.51.100.1"),
        (True, "127.0.0.1", "", "127.0.0.1"),
        (True, "8.8.8.8", "198.51.100.1", "8.8.8.8"),
        (True, "not an address", "198.51.100.1", "not an address"),
    ],
)
def test_an_address_is_taken_from_our_own_proxy_only(
    settings: Any, tls: bool, near: str, forwarded: str, expected: str
) -> None:
    settings.TLS = tls
    headers = {"X-Forwarded-For": forwarded} if forwarded else {}
    request = RequestFactory().get("/", REMOTE_ADDR=near, headers=headers)
    assert address_of(request) == expected
