"""Timed readings and what accounts expect, on one axis of minutes."""

from collections.abc import Sequence
from dataclasses import dataclass

from society.science import contrast as science

# Minutes at which a milk or a bruise is looked at by custom; those really seen are added.
USUAL_MINUTES = (0.0, 5.0, 10.0, 30.0, 60.0)


@dataclass(frozen=True, slots=True)
class Instant:
    """What a line says of one minute: what was written of it, or expected and how usually.

    ``seen`` are the colours that ``words``, as somebody wrote them, were read as. ``looked`` False:
    a moment at which somebody was to look and did not.
    """

    minute: float
    words: str
    seen: tuple[str, ...]
    expects: tuple[science.Expected, ...]
    looked: bool = True


@dataclass(frozen=True, slots=True)
class TimeLine:
    """One exposure (and reagent): its minutes, and a line for each find or account."""

    exposed: str
    reagent: str
    minutes: tuple[float, ...]
    lines: list[list[Instant]]


Written = tuple[science.ReadingSeen, str]
Source = tuple[Sequence[Written], science.AccountFacts | None]


def time_lines(sources: Sequence[Source]) -> list[TimeLine]:
    """Return a time line for each exposure that any source speaks of.

    A source is a find (its readings, and None) or an account (no readings, and its facts).
    """
    exposures: dict[tuple[str, str], None] = {}
    for readings, account in sources:
        for reading, _words in readings:
            exposures[reading.exposed, reading.reagent] = None
        for expected in account.readings if account is not None else ():
            exposures[expected.exposed, expected.reagent] = None
    return [_time_line(exposed, reagent, sources) for exposed, reagent in exposures]


def _time_line(exposed: str, reagent: str, sources: Sequence[Source]) -> TimeLine:
    minutes = set(USUAL_MINUTES)
    for readings, _account in sources:
        minutes |= {
            row.minutes for row, _ in readings if (row.exposed, row.reagent) == (exposed, reagent)
        }
    axis = tuple(sorted(minutes))
    return TimeLine(
        exposed,
        reagent,
        axis,
        [[_instant(exposed, reagent, minute, source) for minute in axis] for source in sources],
    )


def _instant(exposed: str, reagent: str, minute: float, source: Source) -> Instant:
    readings, account = source
    if account is not None:
        expects = science.expected_at(account, exposed, reagent, minute)
        return Instant(minute, "", (), tuple(expects))
    for row, words in readings:
        if (row.exposed, row.reagent, row.minutes) == (exposed, reagent, minute):
            if row.colours is None:
                return Instant(minute, "", (), (), looked=False)
            return Instant(minute, words, tuple(sorted(row.colours)), ())
    return Instant(minute, "", (), ())
