"""The home page: a week's finds by site, and which of the member's own finds wait for something."""

import datetime as dt
from dataclasses import dataclass, field

from django.db.models import BooleanField, Case, F, Max, Prefetch, Q, Value, When

from society.finds.models import PUBLISHED, Find, FindDraft, Standing
from society.finds.queries import site_named_condition
from society.lists.queries.find_lines import FindLine, find_lines, latest_finds
from society.lists.queries.listed import TAXON_NOW
from society.members.permissions import Viewer
from society.review.models import Verdict, VerdictKind, Waits, Wanted
from society.science.names import render_parts

WEEK = dt.timedelta(days=6)
NAMES_A_SITE = 8
LATEST = 8
WAITING = 100


@dataclass(frozen=True, slots=True)
class NameFound:
    """A name among a site's finds of the week, and whether any find of it stands."""

    parts: list[tuple[str, bool]]
    taxon_id: int | None
    stands: bool


@dataclass(slots=True)
class WeekRow:
    """A site's finds of the week; no slug for finds whose site is not named to the viewer."""

    name: str
    slug: str
    finds: int = 0
    unconfirmed: int = 0
    names: dict[str, NameFound] = field(default_factory=dict)

    @property
    def names_shown(self) -> list[NameFound]:
        return [name for _, name in sorted(self.names.items())][:NAMES_A_SITE]

    @property
    def names_more(self) -> int:
        return max(0, len(self.names) - NAMES_A_SITE)


@dataclass(frozen=True, slots=True)
class Week:
    """The last seven days, or the latest seven with finds (``is_this_week`` False)."""

    first: dt.date
    last: dt.date
    is_this_week: bool
    rows: list[WeekRow]
    finds: int


def week_found(viewer: Viewer, today: dt.date) -> Week | None:
    """Return what was found in the last seven days, by site; None before the first find.

    Two queries. The site of a find that is secret to the viewer is never its row's name.
    """
    seen = Find.objects.visible_to(viewer).laid()
    latest = seen.filter(date_start__lte=today).aggregate(latest=Max("date_start"))["latest"]
    if latest is None:
        return None
    last = today if latest >= today - WEEK else latest
    first = last - WEEK
    named = Case(
        When(site_named_condition(viewer), then=Value(True)),
        default=Value(False),
        output_field=BooleanField(),
    )
    rows: dict[str, WeekRow] = {}
    finds = 0
    lines = (
        seen.filter(date_start__gte=first, date_start__lte=last)
        .order_by()
        .values_list(
            named,
            "site__name",
            "site__slug",
            "standing",
            TAXON_NOW,
            "standing_taxon__accepted__scientific_name",
            "standing_taxon__scientific_name",
            "standing_slip__name_written",
        )
    )
    for is_named, site, slug, standing, taxon_id, accepted, held, written in lines:
        key = slug if is_named else ""
        row = rows.setdefault(key, WeekRow(site if is_named else "", key))
        row.finds += 1
        row.unconfirmed += standing == Standing.UNCONFIRMED
        finds += 1
        name = accepted or held or written
        if name:
            before = row.names.get(name)
            stands = standing in PUBLISHED or (before is not None and before.stands)
            parts = render_parts(name) if taxon_id else [(name, False)]
            row.names[name] = NameFound(parts, taxon_id, stands)
    by_finds = sorted(rows.values(), key=lambda row: (not row.slug, -row.finds, row.name))
    return Week(first, last, last == today, by_finds, finds)


@dataclass(frozen=True, slots=True)
class FindWaiting:
    """One of the member's own finds, and what it waits for."""

    line: FindLine
    is_unnamed: bool
    is_disputed: bool
    asked: list[str]


def finds_waiting(viewer: Viewer) -> list[FindWaiting]:
    """Return the member's own finds that wait for the finder: evidence asked for, not named,
    disputed; the latest hundred. Four queries, however many finds: neither hosts nor pictures
    are read."""
    if viewer.person_id is None:
        return []
    waiting = (
        Find.objects.laid()
        .filter(finder_id=viewer.person_id)
        .filter(
            Q(desk_entry__waits=Waits.FOR_FINDER)
            | Q(standing_slip=None)
            | Q(standing=Standing.DISPUTED)
        )
        .annotate(waits=F("desk_entry__waits"))
        .prefetch_related(
            Prefetch(
                "verdicts",
                Verdict.objects.filter(kind=VerdictKind.ASK, withdrawn_by=None).only(
                    "find", "wanted", "evidence_version"
                ),
                to_attr="asks",
            )
        )
        .order_by("-date_start", "-pk")[:WAITING]
    )
    return [_waiting(line) for line in find_lines(viewer, waiting, with_hosts=False)]


def _waiting(line: FindLine) -> FindWaiting:
    find = line.find
    asked: list[str] = []
    if find.waits == Waits.FOR_FINDER:  # type: ignore[attr-defined]
        words = dict(Wanted.choices)
        asked = [
            str(words.get(verdict.wanted, verdict.wanted))
            for verdict in find.asks  # type: ignore[attr-defined]
            if verdict.evidence_version >= find.evidence_version
        ]
    return FindWaiting(
        line=line,
        is_unnamed=find.standing_slip_id is None,
        is_disputed=find.standing == Standing.DISPUTED,
        asked=asked,
    )


def drafts_of(viewer: Viewer) -> list[FindDraft]:
    """Return the member's own drafts, the latest first. One query."""
    return list(FindDraft.objects.filter(owner_id=viewer.account_id))


def latest_published(viewer: Viewer) -> list[FindLine]:
    """Return the latest finds whose name is settled. Six queries."""
    finds = Find.objects.visible_to(viewer).laid().filter(standing__in=PUBLISHED)
    return find_lines(viewer, latest_finds(finds, LATEST))
