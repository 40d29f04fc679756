"""Dates, times, seasons and weeks as a field society writes and reckons them.

In plain words: a find's date is a day, or a span of days where the day is not known. The
reader takes what people write: `2026-10-12`, `12.10.2026`, `12/10/26`, `12 Oct 2026`,
`12.x.26` with the month in Roman figures as on old labels, a month or a year alone, and
spans such as `12-14 Oct 2026`. It answers 'ok', 'ask' (with its best reading, and a code
for the question) or 'refused' (with a code for the reason). Today is an argument.

Sources: ISO 8601 for the standard forms and for weeks (Monday first, week 1 holds the
year's first Thursday). Roman months, day before month, and months alone are common
practice on labels. A season is the twelve months from a month the society chooses, named
after the year in which it begins: the society's own reckoning.

>>> from datetime import date
>>> today = date(2026, 11, 25)
>>> read = read_date("12.x.26", today=today)
>>> str(read.start), str(read.end), read.outcome, read.code
('2026-10-12', '2026-10-12', 'ok', None)
>>> read_date("31 June 2026", today=today).code
'no_such_day'
>>> season_of(date(2026, 2, 1), 4), season_span(2025, 4)
(2025, (datetime.date(2025, 4, 1), datetime.date(2026, 3, 31)))
"""

from society.science.dates.clock import TimeRead, read_time
from society.science.dates.reading import DateRead, read_date
from society.science.dates.seasons import Week, season_of, season_span, week_of

__all__ = [
    "DateRead",
    "TimeRead",
    "Week",
    "read_date",
    "read_time",
    "season_of",
    "season_span",
    "week_of",
]
