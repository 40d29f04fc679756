"""Times of day as people write them.

In plain words: hours and minutes with a colon, a full stop or an h between them, or four
figures run together, on the clock of 24 hours, or with am and pm; noon and midnight. A
single figure from 1 to 5 without am or pm is asked about, for few look for fungi then.
Source: ISO 8601 for `14:05` and `1405`; the rest is common practice.

>>> read_time("2.05 pm").time, read_time("14h05").time
(datetime.time(14, 5), datetime.time(14, 5))
>>> read_time("2.05").code, read_time("25:10").code
('am_or_pm', 'no_such_time')
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from datetime import time
from typing import Literal

TimeCode = Literal["empty", "too_long", "not_understood", "no_such_time", "am_or_pm"]

LONGEST_TEXT = 60

_WORDS = {"noon": time(12), "midday": time(12), "midnight": time(0)}
_HALF = r"(?: ?(?P<half>[ap])\.? ?m\.?)?"
_SPACED = re.compile(
    r"(?P<hour>[0-9]{1,2})(?: ?[:.h] ?(?P<minute>[0-9]{2})(?::(?P<second>[0-9]{2}))?| ?h)?" + _HALF
)
_JOINED = re.compile(
    r"(?P<hour>[0-9]{1,2})(?P<minute>[0-9]{2})(?P<second>)(?: ?h(?:rs|ours)?)?" + _HALF
)


@dataclass(frozen=True)
class TimeRead:
    """What was read: a local time of day, or None when refused; 'ask' keeps it as written."""

    time: time | None
    outcome: Literal["ok", "ask", "refused"]
    code: TimeCode | None = None


def _refused(code: TimeCode) -> TimeRead:
    return TimeRead(None, "refused", code)


def _hour_of_day(hour: int, half: str | None) -> int | None:
    """Hour on the clock of 24 hours; None where am or pm contradicts it."""
    if half is None:
        return hour
    if half == "a":
        return hour % 12 if 1 <= hour <= 12 else None
    if hour == 0:
        return None
    return hour if hour >= 12 else hour + 12


def read_time(text: str) -> TimeRead:
    """Read one time of day; no zone is known here, it is the clock on the spot."""
    if len(text) > LONGEST_TEXT:
        return _refused("too_long")
    plain = re.sub(r"\s+", " ", unicodedata.normalize("NFKC", text)).strip().lower()
    if not plain:
        return _refused("empty")
    if plain in _WORDS:
        return TimeRead(_WORDS[plain], "ok")
    found = _SPACED.fullmatch(plain) or _JOINED.fullmatch(plain)
    if found is None or (plain.isdigit() and len(plain) < 3):
        return _refused("not_understood")
    hour = _hour_of_day(int(found["hour"]), found["half"])
    minute, second = int(found["minute"] or 0), int(found["second"] or 0)
    if hour is None or hour > 23 or minute > 59 or second > 59:
        return _refused("no_such_time")
    read = time(hour, minute, second)
    if found["half"] is None and len(found["hour"]) == 1 and 1 <= hour <= 5:
        return TimeRead(read, "ask", "am_or_pm")
    return TimeRead(read, "ok")
