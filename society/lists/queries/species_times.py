"""What milk, flesh and bruises turn to: the account by the minute, and the society's own looks."""

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from django.db.models import QuerySet

from society.finds.models import Find, Reading
from society.names.models import TurnedColour
from society.names.queries import ReadingShown
from society.review.queries.time_line import USUAL_MINUTES, Instant, TimeLine, time_lines
from society.science import contrast as science
from society.science.colours import CODES, read_colour
from society.science.reagents import read_reagent

# Columns beside the usual minutes: more would not be read, and are said to be left out.
MOST_OTHER_MINUTES = 5

Exposure = tuple[str, str]


@dataclass(frozen=True, slots=True)
class ColourSeen:
    """In how many finds a colour was read; ``codes`` are several where either may be meant."""

    codes: tuple[str, ...]
    words: tuple[str, ...]
    finds: int


@dataclass(frozen=True, slots=True)
class MinuteSeen:
    """What was read at one minute: colours, words not readable, and finds nobody looked at."""

    colours: tuple[ColourSeen, ...]
    unread: int
    not_looked: int


@dataclass(frozen=True, slots=True)
class TimesShown:
    """One exposure: what the account expects at each minute, and what was seen here.

    ``line.minutes`` are the columns of both; ``expects`` is empty where no account speaks of it,
    ``seen`` where no find does. ``finds`` were read at all, ``left_out`` looks fall on minutes that
    are not shown.
    """

    line: TimeLine
    expects: list[Instant]
    seen: list[MinuteSeen]
    finds: int
    left_out: int
    source: str


@dataclass(slots=True)
class _Looks:
    """Finds by minute and colour, of one exposure."""

    written: Counter[str] = field(default_factory=Counter)
    finds: set[int] = field(default_factory=set)
    at: dict[float, dict[tuple[str, ...], set[int]]] = field(
        default_factory=lambda: defaultdict(lambda: defaultdict(set))
    )
    missed: dict[float, set[int]] = field(default_factory=lambda: defaultdict(set))

    def minutes(self) -> set[float]:
        return {*self.at, *self.missed}

    def looks_at(self, minute: float) -> int:
        return sum(map(len, self.at.get(minute, {}).values()))


def times_shown(
    settled: QuerySet[Find],
    facts: science.AccountFacts,
    readings: Iterable[ReadingShown],
) -> list[TimesShown]:
    """Return a time line for each exposure that the account or a settled find speaks of. One
    query.

    ``settled`` are the finds that stand under the name; ``readings`` those of its account.
    """
    looks = _looks(settled)
    sources = _sources(readings)
    minutes = {exposure: _other_minutes(one) for exposure, one in looks.items()}
    for row in facts.readings:
        if row.minute_from > max(USUAL_MINUTES):
            minutes.setdefault((row.exposed, row.reagent), set()).add(row.minute_from)
    axis = [
        (science.ReadingSeen(*exposure, minute, None), "")
        for exposure in {**dict.fromkeys(looks), **minutes}
        for minute in minutes.get(exposure, set()) | {USUAL_MINUTES[0]}
    ]
    lines = time_lines([((), facts), (axis, None)])
    return [_shown(line, looks.get((line.exposed, line.reagent)), sources) for line in lines]


def _looks(settled: QuerySet[Find]) -> dict[Exposure, _Looks]:
    found: dict[Exposure, _Looks] = defaultdict(_Looks)
    colours: dict[str, tuple[str, ...]] = {}
    rows = (
        Reading.objects.filter(find__in=settled.order_by().values("pk"), removed_at=None)
        .order_by("pk")
        .values_list("find_id", "exposed", "reagent", "minutes", "looked", "seen")
    )
    for find_id, exposed, reagent, minutes, looked, seen in rows:
        one = found[exposed, read_reagent(reagent)]
        one.written[reagent] += 1
        if not looked:
            one.missed[float(minutes)].add(find_id)
            continue
        one.finds.add(find_id)
        if seen not in colours:
            read = read_colour(seen) or frozenset()
            colours[seen] = tuple(code for code in CODES if code in read)
        one.at[float(minutes)][colours[seen]].add(find_id)
    return found


def _other_minutes(looks: _Looks) -> set[float]:
    """Return the minutes most looked at beside the usual ones."""
    others = looks.minutes() - set(USUAL_MINUTES)
    ranked = sorted(others, key=lambda minute: (-looks.looks_at(minute), minute))
    return set(ranked[:MOST_OTHER_MINUTES])


def _sources(readings: Iterable[ReadingShown]) -> dict[Exposure, str]:
    found: dict[Exposure, dict[str, None]] = defaultdict(dict)
    for row in readings:
        if row.source:
            found[row.exposed, row.reagent][row.source] = None
    return {exposure: "; ".join(said) for exposure, said in found.items()}


def _shown(line: TimeLine, looks: _Looks | None, sources: dict[Exposure, str]) -> TimesShown:
    account = line.lines[0]
    seen = [_minute(looks, minute) for minute in line.minutes] if looks is not None else []
    # A minute of which neither says anything is no column.
    kept = [
        at
        for at, minute in enumerate(line.minutes)
        if account[at].expects or (looks is not None and minute in looks.minutes())
    ]
    minutes = tuple(line.minutes[at] for at in kept)
    hidden = looks.minutes() - set(minutes) if looks is not None else set()
    return TimesShown(
        line=replace(line, reagent=_reagent_words(line.reagent, looks), minutes=minutes),
        expects=[account[at] for at in kept] if any(one.expects for one in account) else [],
        seen=[seen[at] for at in kept] if looks is not None else [],
        finds=len(looks.finds) if looks is not None else 0,
        left_out=sum(looks.looks_at(minute) for minute in hidden) if looks is not None else 0,
        source=sources.get((line.exposed, line.reagent), ""),
    )


def _reagent_words(code: str, looks: _Looks | None) -> str:
    written = looks.written.most_common(1)[0][0] if looks is not None else ""
    return written or code.replace("_", " ")


def _minute(looks: _Looks, minute: float) -> MinuteSeen:
    at = looks.at.get(minute, {})
    colours = [
        ColourSeen(codes, tuple(str(TurnedColour(code).label) for code in codes), len(finds))
        for codes, finds in at.items()
        if codes
    ]
    return MinuteSeen(
        colours=tuple(sorted(colours, key=lambda colour: (-colour.finds, colour.codes))),
        unread=len(at.get((), ())),
        not_looked=len(looks.missed.get(minute, ())),
    )
