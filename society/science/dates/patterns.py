"""The words and the forms in which dates are written, as tables and patterns.

In plain words: month names in English, whole or of three letters (and 'sept'), months in
Roman figures, and the orders in which year, month and day stand. Text reaches the
patterns in lower case with single blanks and one kind of dash.

Sources: ISO 8601; common practice on labels.

>>> found = [form.fullmatch("12.x.26") for form in WHOLE]
>>> [match["roman"] for match in found if match]
['x']
"""

from __future__ import annotations

import re

# Written out: the standard library's names follow the machine's locale.
MONTHS = (
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
)
NAMES = {name: number for number, month in enumerate(MONTHS, 1) for name in (month, month[:3])} | {
    "sept": 9
}
ROMAN = {
    figure: number
    for number, figure in enumerate(
        ("i", "ii", "iii", "iv", "v", "vi", "vii", "viii", "ix", "x", "xi", "xii"), 1
    )
}
WEEKDAYS = {
    "monday": 0,
    "tuesday": 1,
    "wednesday": 2,
    "thursday": 3,
    "friday": 4,
    "saturday": 5,
    "sunday": 6,
}
SEASONS = {"spring": 3, "summer": 6, "autumn": 9, "fall": 9, "winter": 12}

NAME = "(?P<name>" + "|".join(sorted(NAMES, key=len, reverse=True)) + r")\.?"
_FIGURE = "(?P<roman>" + "|".join(sorted(ROMAN, key=len, reverse=True)) + r")\.?"
_DAY, _MONTH = "(?P<day>[0-9]{1,2})", "(?P<month>[0-9]{1,2})"
_LONG_YEAR, _YEAR = "(?P<year>[0-9]{4})", "(?P<year>[0-9]{4}|'?[0-9]{2})"
_GAP = r"(?: ?[./,-] ?| )"
_CLOCK = r"(?:[t ][0-9]{1,2}:[0-9]{2}(?::[0-9]{2}(?:\.[0-9]+)?)?(?:z|[+-][0-9]{2}:?[0-9]{2})?)?"

# One date, whole or in part; each form's groups say what it holds.
WHOLE = [
    re.compile(form)
    for form in (
        rf"{_LONG_YEAR}(?P<sep>[-/. ]){_MONTH}(?P=sep){_DAY}{_CLOCK}",
        r"(?P<year>[0-9]{4})(?P<month>[0-9]{2})(?P<day>[0-9]{2})",
        rf"{_LONG_YEAR}{_GAP}{NAME}(?:{_GAP}{_DAY})?",
        rf"{_LONG_YEAR}[-/.]{_MONTH}",
        rf"(?P<first>[0-9]{{1,2}}) ?(?P<sep>[-/. ]) ?(?P<second>[0-9]{{1,2}}) ?(?P=sep) ?{_YEAR}",
        rf"{_DAY}{_GAP}?{NAME}{_GAP}?{_YEAR}",
        rf"{_DAY}{_GAP}{_FIGURE}{_GAP}?{_YEAR}",
        rf"{NAME} ?{_DAY}(?:, ?| ){_LONG_YEAR}",
        rf"{NAME}{_GAP}?(?P<year>[0-9]{{4}}|'[0-9]{{2}}|3[2-9]|[4-9][0-9])",
        rf"{_FIGURE}{_GAP}?{_YEAR}",
        rf"{_MONTH} ?[-/. ] ?{_LONG_YEAR}",
        _LONG_YEAR,
    )
]
# A date without its year; which year is asked, or taken from the right side of a span.
YEARLESS = [
    re.compile(form)
    for form in (
        rf"{_DAY}{_GAP}?{NAME}",
        rf"{_DAY}{_GAP}{_FIGURE}",
        rf"{NAME} ?{_DAY}",
        r"(?P<first>[0-9]{1,2})(?P<sep>[./])(?P<second>[0-9]{1,2})",
    )
]
# What may stand on the left of a span and nowhere else.
STUMPS = [re.compile(form) for form in (NAME, _FIGURE, "(?P<bare>[0-9]{1,2})")]
SPAN_CUT = re.compile(r" (?:to|until|till|and) | ?[-/&+] ?")
ISO_SPAN = re.compile(
    r"(?P<head>[0-9]{4}-)(?P<month>[0-9]{2}-)?(?P<day>[0-9]{2})/(?P<tail>(?:[0-9]{2}-)?[0-9]{2})"
)
YEARS = re.compile(r"(?P<first>[0-9]{4}) ?[-/] ?(?P<last>[0-9]{4}|[0-9]{2})")
SEASON = re.compile(
    r"(?P<season>[a-z]+) (?P<year>[0-9]{4})(?: ?[-/] ?(?P<next>[0-9]{4}|[0-9]{2}))?"
)
