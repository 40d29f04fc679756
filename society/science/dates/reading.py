"""A date or a span of dates from one line of text.

In plain words: the text is tried as one date in each form below; failing that it is cut
at a dash, a slash or 'to', and what the left side lacks is taken from the right, so that
`12-14 Oct 2026` is three days and `30 Dec - 2 Jan 2026` begins in 2025. Day comes before
month unless the society says otherwise; ISO forms begin with the year. A year of two
figures is the latest such year that has begun. A month, a season of the year or a year
that is still running ends today.

Asked: a day and month that only make sense the other way round; a missing year; a weekday
that does not fit; a century that may be mistyped; a winter that may be either of two; a
year before the society's earliest. Refused: days that do not exist, days after tomorrow
(tomorrow, since the society's zone and the writer's may differ), spans back to front.

Sources: ISO 8601; common practice on labels for the rest. Seasons of the year are those
of the northern half of the earth, in whole months from March (common practice).

>>> today = date(2026, 11, 25)
>>> read = read_date("12-14 Oct 2026", today=today)
>>> read.start, read.end
(datetime.date(2026, 10, 12), datetime.date(2026, 10, 14))
>>> read_date("10/13/2026", today=today).code
'order_unclear'
>>> read_date("3 Oct 2027", today=today).code
'future'
"""

from __future__ import annotations

import calendar
import re
import unicodedata
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Literal

from society.science.dates.patterns import (
    ISO_SPAN,
    NAME,
    NAMES,
    ROMAN,
    SEASON,
    SEASONS,
    SPAN_CUT,
    STUMPS,
    WEEKDAYS,
    WHOLE,
    YEARLESS,
    YEARS,
)

Outcome = Literal["ok", "ask", "refused"]
DateCode = Literal[
    "empty",
    "too_long",
    "not_understood",
    "no_such_day",
    "no_such_month",
    "no_such_year",
    "future",
    "reversed",
    "order_unclear",
    "year_missing",
    "day_or_year",
    "month_or_years",
    "century_unclear",
    "weekday_differs",
    "which_winter",
    "before_earliest_year",
]

LONGEST_TEXT = 120
CENTURY_DOUBT_YEARS = 10


@dataclass(frozen=True)
class DateRead:
    """A span of local days, both included, or None when refused; 'ask' holds the best reading."""

    start: date | None
    end: date | None
    outcome: Outcome
    code: DateCode | None = None


@dataclass(frozen=True)
class _Part:
    """A date as far as it was written, with a question it may raise."""

    year: int | None = None
    month: int | None = None
    day: int | None = None
    question: DateCode | None = None
    bare: int | None = None


@dataclass(frozen=True)
class _Span:
    """First and last day; `open_end` when the last was reckoned from a month or year."""

    start: date
    end: date
    open_end: bool
    question: DateCode | None = None


def _refused(code: DateCode) -> DateRead:
    return DateRead(None, None, "refused", code)


def _plain(text: str) -> str:
    """Lower case, one kind of dash, single blanks, no ordinal endings."""
    text = unicodedata.normalize("NFKC", text).lower()
    text = re.sub("[−–—‒‐‑]", "-", text)
    text = re.sub("[’‘`´]", "'", text)
    text = re.sub(r"(?<=[0-9])(?:st|nd|rd|th)\b", "", text)
    text = re.sub(r"\bof\b", " ", text)
    return re.sub(r"\s+", " ", text).strip(" .,;")


def _without_weekdays(text: str) -> tuple[str, list[int]]:
    """Text without names of weekdays, and the weekdays named (Monday is 0)."""
    named: list[int] = []

    def drop(found: re.Match[str]) -> str:
        named.extend(n for day, n in WEEKDAYS.items() if day.startswith(found[1][:3]))
        return ""

    names = "|".join(f"{day}|{day[:3]}" for day in WEEKDAYS) + "|tues|thurs|thur|weds"
    return re.sub(rf"\b({names})\b[.,]? ?", drop, text).strip(" .,"), named


def _full_year(written: str, today: date) -> tuple[int, DateCode | None]:
    """Year of four figures; two figures mean the latest such year that has begun."""
    figures = written.lstrip("'")
    if len(figures) == 4:
        return int(figures), None
    year = 2000 + int(figures)
    newest = (today + timedelta(days=1)).year
    if year <= newest:
        return year, None
    return year - 100, "century_unclear" if year - newest <= CENTURY_DOUBT_YEARS else None


def _ordered(first: int, second: int, day_first: bool) -> tuple[int, int, DateCode | None]:
    """Day and month from two numbers, with a question where only the other order makes sense."""
    day, month = (first, second) if day_first else (second, first)
    if month > 12 >= day >= 1 and month <= 31:
        return month, day, "order_unclear"
    return day, month, None


def _part(found: re.Match[str], *, today: date, day_first: bool) -> _Part:
    """The date that a matched form holds."""
    held = {name: value for name, value in found.groupdict().items() if value is not None}
    year = question = None
    if "year" in held:
        year, question = _full_year(held["year"], today)
    if "first" in held:
        # A form that begins with the year never gets here, so only day and month are open.
        day, month, unclear = _ordered(int(held["first"]), int(held["second"]), day_first)
        return _Part(year, month, day, unclear or question)
    month_number = None
    if "name" in held:
        month_number = NAMES[held["name"]]
    elif "roman" in held:
        month_number = ROMAN[held["roman"]]
    elif "month" in held:
        month_number = int(held["month"])
    day_number = int(held["day"]) if "day" in held else None
    bare = int(held["bare"]) if "bare" in held else None
    return _Part(year, month_number, day_number, question, bare)


def _matched(
    text: str, forms: list[re.Pattern[str]], *, today: date, day_first: bool
) -> _Part | None:
    for form in forms:
        found = form.fullmatch(text)
        if found is not None:
            return _part(found, today=today, day_first=day_first)
    return None


def _days_of(part: _Part) -> _Span | DateCode:
    """First and last day of a date with a year, or why there are none."""
    if part.year is None or part.year < 1:
        return "no_such_year"
    if part.month is None:
        return _Span(date(part.year, 1, 1), date(part.year, 12, 31), True, part.question)
    if not 1 <= part.month <= 12:
        return "no_such_month"
    last = calendar.monthrange(part.year, part.month)[1]
    if part.day is None:
        first_day, last_day = date(part.year, part.month, 1), date(part.year, part.month, last)
        return _Span(first_day, last_day, True, part.question)
    if not 1 <= part.day <= last:
        return "no_such_day"
    day = date(part.year, part.month, part.day)
    return _Span(day, day, False, part.question)


def _latest_year(part: _Part, today: date) -> _Part:
    """A day without a year put into the last year in which it has been."""
    tomorrow = today + timedelta(days=1)
    year = tomorrow.year
    if (part.month or 0, part.day or 0) > (tomorrow.month, tomorrow.day):
        year -= 1
    if (part.month, part.day) == (2, 29):
        while not calendar.isleap(year):
            year -= 1
    return replace(part, year=year, question=part.question or "year_missing")


def _filled(left: _Part, right: _Part) -> _Part | None:
    """The left side of a span with what it lacks taken from the right; None if they do not fit."""
    if left.bare is not None:
        if right.day is not None:
            left = _Part(month=right.month, day=left.bare)
        elif right.month is not None:
            left = _Part(month=left.bare)
        else:
            return None
    if (left.day is None) != (right.day is None):
        return None
    if left.year is not None or right.year is None:
        return left
    over_new_year = (left.month or 0) > (right.month or 0)
    return replace(left, year=right.year - 1 if over_new_year else right.year)


def _joined(left: _Part, right: _Part) -> _Span | DateCode | None:
    """The span between two dates, or why there is none; None if they do not fit together."""
    filled = _filled(left, right)
    if filled is None or filled.year is None or right.year is None:
        return None
    begin, finish = _days_of(filled), _days_of(right)
    if not isinstance(begin, _Span):
        return begin
    if not isinstance(finish, _Span):
        return finish
    question = begin.question or finish.question
    return _Span(begin.start, finish.end, finish.open_end, question)


def _read_span(text: str, *, today: date, day_first: bool) -> _Span | DateCode | None:
    """A text cut at a dash, a slash or a word into two dates; None when no cut makes sense."""
    if found := ISO_SPAN.fullmatch(text):
        head = found["head"] + (found["month"] or "")
        tail = found["tail"]
        begun = head if len(tail) == 2 else found["head"]
        text = f"{head}{found['day']} to {begun}{tail}"
    for cut in SPAN_CUT.finditer(text):
        right = _matched(text[cut.end() :].strip(" .,"), WHOLE, today=today, day_first=day_first)
        left = _matched(
            text[: cut.start()].strip(" .,"),
            [*WHOLE, *YEARLESS, *STUMPS],
            today=today,
            day_first=day_first,
        )
        joined = None if left is None or right is None else _joined(left, right)
        if joined is not None:
            return joined
    return None


def _read_years(text: str) -> _Span | DateCode | None:
    """Spans of years: '1998-2001', '1998-99', '1970s'; None for anything else."""
    if found := re.fullmatch(r"([0-9]{3}0)'?s", text):
        first = int(found[1])
        return _Span(date(first, 1, 1), date(first + 9, 12, 31), True) if first else "no_such_year"
    found = YEARS.fullmatch(text)
    if found is None:
        return None
    first, last, slash = int(found["first"]), int(found["last"]), "/" in text
    if len(found["last"]) == 2:
        if first % 100 >= last or (last <= 12 and not slash):
            return None  # a month
        if last <= 12:
            return _days_of(_Part(first, last, question="month_or_years"))
    last = last if len(found["last"]) == 4 else first // 100 * 100 + last
    if first < 1 or last < 1:
        return "no_such_year"
    return _Span(date(first, 1, 1), date(last, 12, 31), True)


def _read_season(text: str) -> _Span | DateCode | None:
    """'autumn 2026', 'winter 2025/26'; None for anything else."""
    found = SEASON.fullmatch(text)
    if found is None or found["season"] not in SEASONS:
        return None
    year, month = int(found["year"]), SEASONS[found["season"]]
    winter = month == 12
    if year < 1 or year > 9998:
        return "no_such_year"
    if found["next"] is not None and (not winter or int(found["next"][-2:]) != (year + 1) % 100):
        return "not_understood"
    question: DateCode | None = None
    if winter and found["next"] is None:
        year, question = year - 1, "which_winter"
        if year < 1:
            return "no_such_year"
    end = date(year + 1, 3, 1) if winter else date(year, month + 3, 1)
    return _Span(date(year, month, 1), end - timedelta(days=1), True, question)


def _read_days(text: str, *, today: date, day_first: bool) -> _Span | DateCode:
    """The span that a plain text names, or why it names none."""
    for reader in (_read_years, _read_season):
        found = reader(text)
        if found is not None:
            return found
    part = _matched(text, WHOLE, today=today, day_first=day_first)
    if part is not None:
        return _days_of(part)
    span = _read_span(text, today=today, day_first=day_first)
    if span is not None:
        return span
    part = _matched(text, YEARLESS, today=today, day_first=day_first)
    if part is None:
        return "not_understood"
    if re.match(NAME, text) and part.day is not None:
        part = replace(part, question="day_or_year")  # 'Oct 26'
    return _days_of(_latest_year(part, today))


def read_date(
    text: str, *, today: date, day_first: bool = True, earliest_year: int | None = None
) -> DateRead:
    """Read one line as a day or a span of days, local to the writer.

    `today` is the society's; `earliest_year` is the first in which it kept records, if told.
    """
    if len(text) > LONGEST_TEXT:
        return _refused("too_long")
    plain, weekdays = _without_weekdays(_plain(text))
    if not plain:
        return _refused("not_understood" if weekdays else "empty")
    days = _read_days(plain, today=today, day_first=day_first)
    if not isinstance(days, _Span):
        return _refused(days)
    if days.start > days.end:
        return _refused("reversed")
    tomorrow = today + timedelta(days=1)
    if days.start > tomorrow or (days.end > tomorrow and not days.open_end):
        return _refused("no_such_month" if days.question == "order_unclear" else "future")
    end = max(days.start, min(days.end, today)) if days.open_end else days.end
    question = days.question
    if question is None and weekdays and not _weekdays_fit(weekdays, days):
        question = "weekday_differs"
    if question is None and earliest_year is not None and days.start.year < earliest_year:
        question = "before_earliest_year"
    return DateRead(days.start, end, "ask" if question else "ok", question)


def _weekdays_fit(weekdays: list[int], days: _Span) -> bool:
    """Whether the weekdays named are those of the first (and last) day."""
    if len(weekdays) == 1:
        return weekdays[0] == days.start.weekday()
    return [weekdays[0], weekdays[-1]] == [days.start.weekday(), days.end.weekday()]
