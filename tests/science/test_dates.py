"""Reading dates and times, and reckoning seasons and weeks."""

import calendar
import doctest
from datetime import date, time, timedelta

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from society.science import dates
from society.science.dates import (
    DateRead,
    clock,
    patterns,
    read_date,
    read_time,
    reading,
    season_of,
    season_span,
    seasons,
    week_of,
)

TODAY = date(2026, 11, 25)
ROMAN = ["i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x", "xi", "xii"]
DAYS = st.dates(date(1927, 1, 1), TODAY + timedelta(days=1))


def span(text: str, **options: object) -> tuple[str, str]:
    read = read_date(text, today=TODAY, **options)  # type: ignore[arg-type]
    assert read.outcome == "ok", read
    return str(read.start), str(read.end)


@pytest.mark.parametrize(
    "module", [dates, reading, patterns, clock, seasons], ids=lambda m: m.__name__
)
def test_the_worked_examples_in_the_modules_are_true(module: object) -> None:
    found = doctest.testmod(module)  # type: ignore[arg-type]
    assert found.attempted > 0
    assert found.failed == 0


@pytest.mark.parametrize(
    "text",
    [
        "2026-10-12",
        "20261012",
        "2026/10/12",
        "2026.10.12",
        "2026-10-12T14:05Z",
        "2026-10-12 00:00:00",
        "12.10.2026",
        "12.10.26",
        "12/10/26",
        "12/10/2026",
        "12-10-2026",
        "12 10 2026",
        "12. 10. 2026",
        " 12 Oct 2026 ",
        "12 OCTOBER 2026",
        "12 Oct. 2026",
        "12 Oct '26",
        "12 Oct 26",
        "12Oct2026",
        "12-Oct-2026",
        "12th of October 2026",
        "Oct 12, 2026",
        "October 12th 2026",
        "2026 Oct 12",
        "12.x.26",
        "12.X.2026",
        "12/x/26",
        "12-x-2026",
        "12 x 2026",
        "12. x. 2026",
        "Mon 12 Oct 2026",
        "Monday, 12 October 2026",
    ],
)
def test_one_day_is_read_in_every_usual_form(text: str) -> None:
    assert span(text) == ("2026-10-12", "2026-10-12")


@pytest.mark.parametrize(
    ("text", "start", "end"),
    [
        ("2026-10", "2026-10-01", "2026-10-31"),
        ("10.2026", "2026-10-01", "2026-10-31"),
        ("10/2026", "2026-10-01", "2026-10-31"),
        ("October 2026", "2026-10-01", "2026-10-31"),
        ("Oct '26", "2026-10-01", "2026-10-31"),
        ("Oct 87", "1987-10-01", "1987-10-31"),
        ("x.2026", "2026-10-01", "2026-10-31"),
        ("X 26", "2026-10-01", "2026-10-31"),
        ("Feb 2024", "2024-02-01", "2024-02-29"),
        ("1987", "1987-01-01", "1987-12-31"),
        ("1970s", "1970-01-01", "1979-12-31"),
        ("1998-2001", "1998-01-01", "2001-12-31"),
        ("1998-99", "1998-01-01", "1999-12-31"),
        ("2005-06", "2005-06-01", "2005-06-30"),
        ("spring 2026", "2026-03-01", "2026-05-31"),
        ("Summer 2026", "2026-06-01", "2026-08-31"),
        ("autumn 2025", "2025-09-01", "2025-11-30"),
        ("winter 2025/26", "2025-12-01", "2026-02-28"),
        ("winter 2023-2024", "2023-12-01", "2024-02-29"),
    ],
)
def test_months_seasons_and_years_are_spans(text: str, start: str, end: str) -> None:
    assert span(text) == (start, end)


@pytest.mark.parametrize(
    ("text", "start", "end"),
    [
        ("12-14 Oct 2026", "2026-10-12", "2026-10-14"),
        ("12 – 14 Oct 2026", "2026-10-12", "2026-10-14"),
        ("12 to 14 October 2026", "2026-10-12", "2026-10-14"),
        ("12 and 13 Oct 2026", "2026-10-12", "2026-10-13"),
        ("12/13 Oct 2026", "2026-10-12", "2026-10-13"),
        ("12.-14.10.2026", "2026-10-12", "2026-10-14"),
        ("12.10.-14.10.2026", "2026-10-12", "2026-10-14"),
        ("12.10.2026 - 14.10.2026", "2026-10-12", "2026-10-14"),
        ("12-14.x.26", "2026-10-12", "2026-10-14"),
        ("28.ix-2.x.26", "2026-09-28", "2026-10-02"),
        ("12 Oct - 3 Nov 2026", "2026-10-12", "2026-11-03"),
        ("30 Dec 2025 - 2 Jan 2026", "2025-12-30", "2026-01-02"),
        ("30 Dec - 2 Jan 2026", "2025-12-30", "2026-01-02"),
        ("2026-10-12/2026-10-14", "2026-10-12", "2026-10-14"),
        ("2026-10-12/14", "2026-10-12", "2026-10-14"),
        ("2026-09-28/10-02", "2026-09-28", "2026-10-02"),
        ("Sep-Oct 2026", "2026-09-01", "2026-10-31"),
        ("ix-x.2026", "2026-09-01", "2026-10-31"),
        ("9-10.2026", "2026-09-01", "2026-10-31"),
        ("Nov 2025 - Jan 2026", "2025-11-01", "2026-01-31"),
        ("Sat 10 - Sun 11 Oct 2026", "2026-10-10", "2026-10-11"),
    ],
)
def test_spans_take_what_the_left_side_lacks_from_the_right(
    text: str, start: str, end: str
) -> None:
    assert span(text) == (start, end)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "empty"),
        ("  ", "empty"),
        ("x" * 10_000, "too_long"),
        ("last week", "not_understood"),
        ("Saturday", "not_understood"),
        ("1.2.3", "not_understood"),
        ("12.10.126", "not_understood"),
        ("TG 514 131", "not_understood"),
        ("oct-12 nov 2026", "not_understood"),
        ("31 June 2026", "no_such_day"),
        ("31.06.2026", "no_such_day"),
        ("31/6/26", "no_such_day"),
        ("31.vi.26", "no_such_day"),
        ("29 Feb 2025", "no_such_day"),
        ("00.10.2026", "no_such_day"),
        ("32.10.2026", "no_such_day"),
        ("30-31 June 2026", "no_such_day"),
        ("13.13.2026", "no_such_month"),
        ("2026-13-01", "no_such_month"),
        ("2026-00-01", "no_such_month"),
        ("12.13.2026", "no_such_month"),  # 13 December has not been
        ("1998-97", "no_such_month"),
        ("0000", "no_such_year"),
        ("12.10.0000", "no_such_year"),
        ("27 Nov 2026", "future"),
        ("12/12/26", "future"),
        ("24-28 Nov 2026", "future"),
        ("Dec 2026", "future"),
        ("2027", "future"),
        ("14-12 Oct 2026", "reversed"),
        ("2001-1998", "reversed"),
    ],
)
def test_what_cannot_be_is_refused_with_its_reason(text: str, code: str) -> None:
    assert read_date(text, today=TODAY) == DateRead(None, None, "refused", code)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("text", "start", "code"),
    [
        ("09/13/2026", "2026-09-13", "order_unclear"),
        ("12 Oct", "2026-10-12", "year_missing"),
        ("25.12", "2025-12-25", "year_missing"),
        ("25 Dec", "2025-12-25", "year_missing"),
        ("29 Feb", "2024-02-29", "year_missing"),
        ("Oct 26", "2026-10-26", "day_or_year"),
        ("12.10.27", "1927-10-12", "century_unclear"),
        ("Sat 12 Oct 2026", "2026-10-12", "weekday_differs"),
        ("winter 2026", "2025-12-01", "which_winter"),
        ("2005/06", "2005-06-01", "month_or_years"),
    ],
)
def test_what_may_mean_two_things_is_asked_with_the_best_reading(
    text: str, start: str, code: str
) -> None:
    read = read_date(text, today=TODAY)
    assert (read.outcome, read.code, str(read.start)) == ("ask", code, start)
    assert read.end is not None


def test_a_date_before_the_earliest_year_asks_and_never_refuses() -> None:
    read = read_date("12 Oct 1899", today=TODAY, earliest_year=1900)
    day = date(1899, 10, 12)
    assert read == DateRead(day, day, "ask", "before_earliest_year")
    assert read_date("12 Oct 1900", today=TODAY, earliest_year=1900).outcome == "ok"
    assert read_date("12 Oct 1899", today=TODAY).outcome == "ok"


def test_tomorrow_is_taken_since_zones_differ_and_the_day_after_is_not() -> None:
    assert span("26 Nov 2026") == ("2026-11-26", "2026-11-26")
    assert read_date("27 Nov 2026", today=TODAY).code == "future"


def test_a_month_or_year_still_running_ends_today() -> None:
    assert span("Nov 2026") == ("2026-11-01", "2026-11-25")
    assert span("2026") == ("2026-01-01", "2026-11-25")
    read = read_date("Dec 2026", today=date(2026, 11, 30))
    assert (read.start, read.end) == (date(2026, 12, 1), date(2026, 12, 1))


def test_a_society_may_set_month_before_day() -> None:
    assert span("10/12/2026", day_first=False) == ("2026-10-12", "2026-10-12")
    assert span("10/11/2026", day_first=True) == ("2026-11-10", "2026-11-10")
    assert read_date("13/10/2026", today=TODAY, day_first=False).code == "order_unclear"
    assert span("12.x.2026", day_first=False) == ("2026-10-12", "2026-10-12")


def test_years_of_two_figures_are_the_latest_that_have_begun() -> None:
    assert span("1.1.26")[0] == "2026-01-01"
    assert span("1.1.99")[0] == "1999-01-01"
    assert span("1.1.45")[0] == "1945-01-01"
    read = read_date("1.1.27", today=date(2026, 12, 31))
    assert (read.start, read.outcome) == (date(2027, 1, 1), "ok")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("14:05", time(14, 5)),
        ("14.05", time(14, 5)),
        ("1405", time(14, 5)),
        ("1405 hrs", time(14, 5)),
        ("14h05", time(14, 5)),
        ("14 h", time(14)),
        ("2.05 pm", time(14, 5)),
        ("2:05PM", time(14, 5)),
        ("2.05 p.m.", time(14, 5)),
        ("2pm", time(14)),
        ("12 am", time(0)),
        ("12 pm", time(12)),
        ("9:30", time(9, 30)),
        ("02:05", time(2, 5)),
        ("14:05:30", time(14, 5, 30)),
        ("noon", time(12)),
        ("Midnight", time(0)),
    ],
)
def test_times_are_read_in_every_usual_form(text: str, expected: time) -> None:
    read = read_time(text)
    assert (read.time, read.outcome, read.code) == (expected, "ok", None)


@pytest.mark.parametrize(
    ("text", "outcome", "code"),
    [
        ("", "refused", "empty"),
        ("x" * 1_000, "refused", "too_long"),
        ("dusk", "refused", "not_understood"),
        ("14", "refused", "not_understood"),
        ("24:00", "refused", "no_such_time"),
        ("14:60", "refused", "no_such_time"),
        ("14 am", "refused", "no_such_time"),
        ("0:30 pm", "refused", "no_such_time"),
        ("2.05", "ask", "am_or_pm"),
    ],
)
def test_times_that_cannot_be_or_are_unclear(text: str, outcome: str, code: str) -> None:
    read = read_time(text)
    assert (read.outcome, read.code) == (outcome, code)
    assert (read.time is None) == (outcome == "refused")


def test_seasons_are_named_after_the_year_they_begin_in() -> None:
    assert season_of(date(2026, 3, 31), 4) == 2025
    assert season_of(date(2026, 4, 1), 4) == 2026
    assert season_span(2025, 4) == (date(2025, 4, 1), date(2026, 3, 31))
    assert season_span(2026, 1) == (date(2026, 1, 1), date(2026, 12, 31))
    assert season_span(2023, 3) == (date(2023, 3, 1), date(2024, 2, 29))


@pytest.mark.parametrize("month", [0, 13])
def test_a_season_cannot_begin_in_a_month_that_is_none(month: int) -> None:
    with pytest.raises(ValueError, match="month"):
        season_of(TODAY, month)
    with pytest.raises(ValueError, match="month"):
        season_span(2026, month)


# --- properties -------------------------------------------------------------------------


@given(DAYS)
@example(date(2024, 2, 29))
def test_every_written_form_of_a_day_reads_back(day: date) -> None:
    month = calendar.month_name[day.month]
    for text in (
        day.isoformat(),
        f"{day.day}.{day.month}.{day.year}",
        f"{day:%d/%m/%Y}",
        f"{day.day} {month} {day.year}",
        f"{day.day}.{ROMAN[day.month - 1]}.{day.year}",
        f"{month[:3]} {day.day}, {day.year}",
        f"{calendar.day_name[day.weekday()]} {day.day} {month[:3]} {day.year}",
    ):
        assert read_date(text, today=TODAY) == DateRead(day, day, "ok")
    swapped = read_date(f"{day:%m/%d/%Y}", today=TODAY, day_first=False)
    assert swapped == DateRead(day, day, "ok")


@given(DAYS, st.integers(0, 400))
def test_every_written_span_reads_back(start: date, length: int) -> None:
    end = min(start + timedelta(days=length), TODAY)
    start = min(start, end)
    forms = [
        f"{start.isoformat()}/{end.isoformat()}",
        " - ".join(f"{d.day} {calendar.month_abbr[d.month]} {d.year}" for d in (start, end)),
    ]
    if (start.year, start.month) == (end.year, end.month):
        forms.append(f"{start.day}-{end.day} {calendar.month_name[end.month]} {end.year}")
    for text in forms:
        assert read_date(text, today=TODAY) == DateRead(start, end, "ok")


@given(st.text(max_size=40) | st.text("0123456789 ./-'octxviwnter,tospring", max_size=24))
def test_any_text_whatever_gets_an_answer_that_holds_together(text: str) -> None:
    read = read_date(text, today=TODAY, earliest_year=1900)
    if read.outcome == "refused":
        assert read.start is None
        assert read.end is None
        assert read.code is not None
        return
    assert read.start is not None
    assert read.end is not None
    assert read.start <= read.end <= TODAY + timedelta(days=1)
    assert (read.code is None) == (read.outcome == "ok")
    assert read.outcome == "ask" or read.start.year >= 1900


@given(st.text(max_size=12) | st.text("0123456789:. hapm", max_size=10))
def test_any_text_whatever_gets_a_time_or_a_reason(text: str) -> None:
    read = read_time(text)
    assert (read.time is None) == (read.outcome == "refused")
    assert (read.code is None) == (read.outcome == "ok")


@given(st.times())
def test_a_time_on_the_clock_of_24_hours_reads_back(moment: time) -> None:
    assert read_time(f"{moment:%H:%M}").time == moment.replace(second=0, microsecond=0)


@given(st.dates(date(2, 1, 1), date(9998, 12, 31)), st.integers(1, 12))
def test_every_day_lies_in_its_season_and_seasons_follow_without_a_gap(
    day: date, start_month: int
) -> None:
    year = season_of(day, start_month)
    start, end = season_span(year, start_month)
    assert start <= day <= end
    assert season_span(year - 1, start_month)[1] + timedelta(days=1) == start


@given(st.dates(date(2, 1, 1), date(9998, 12, 31)))
def test_every_day_lies_in_its_week(day: date) -> None:
    week = week_of(day)
    assert week.start <= day <= week.end
    assert week.start.weekday() == 0
    assert week.end - week.start == timedelta(days=6)
    assert date.fromisocalendar(week.year, week.week, 1) == week.start
