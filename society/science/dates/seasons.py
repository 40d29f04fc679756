"""Seasons and weeks: which one a day belongs to, and which days it holds.

In plain words: a season is twelve months from the first of a month the society chooses,
and is named after the year it begins in; with January it is the calendar year. Weeks are
those of ISO 8601. Source: ISO 8601 (weeks); the season is the society's own reckoning.

>>> season_of(date(2026, 3, 31), 4), season_of(date(2026, 4, 1), 4)
(2025, 2026)
>>> week_of(date(2026, 1, 1)).week, week_of(date(2027, 1, 1)).year
(1, 2026)
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import NamedTuple


class Week(NamedTuple):
    """A week of ISO 8601: its year, its number, its Monday and its Sunday."""

    year: int
    week: int
    start: date
    end: date


def _check_month(start_month: int) -> None:
    if not 1 <= start_month <= 12:
        raise ValueError(f"no such month: {start_month!r}")


def season_of(day: date, start_month: int) -> int:
    """The year in which the season that holds `day` begins; `start_month` is 1 to 12."""
    _check_month(start_month)
    return day.year if day.month >= start_month else day.year - 1


def season_span(year: int, start_month: int) -> tuple[date, date]:
    """First and last day of the season that begins in `year`, both included."""
    _check_month(start_month)
    if start_month == 1:
        return date(year, 1, 1), date(year, 12, 31)
    return date(year, start_month, 1), date(year + 1, start_month, 1) - timedelta(days=1)


def week_of(day: date) -> Week:
    """The week that holds `day`."""
    year, week, weekday = day.isocalendar()
    monday = day - timedelta(days=weekday - 1)
    return Week(year, week, monday, monday + timedelta(days=6))
