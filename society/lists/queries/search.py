"""One box: names however written, sites, finds by number."""

import re
from dataclasses import dataclass, field

from django.db.models import Q, QuerySet

from society.finds.models import Find
from society.lists.queries.find_lines import FindLine, find_lines
from society.members.permissions import Viewer
from society.names.models import Group
from society.names.queries import NameRow, names_found
from society.places.models import Site
from society.science.names import fold

NAMES = 15
OTHERS = 10
_NUMBER = re.compile(r"(?:(?P<year>\d{4})\s*/\s*)?(?P<number>\d{1,9})")


@dataclass(frozen=True, slots=True)
class SearchFound:
    """What fits the words, by kind. ``finds`` are found by number, ``written`` by a name as written
    that the checklist does not hold. ``is_cut``: more names fit than are given."""

    text: str
    fungi: list[NameRow] = field(default_factory=list)
    hosts: list[NameRow] = field(default_factory=list)
    sites: list[Site] = field(default_factory=list)
    finds: list[FindLine] = field(default_factory=list)
    written: list[FindLine] = field(default_factory=list)
    is_cut: bool = False

    @property
    def is_empty(self) -> bool:
        return not (self.fungi or self.hosts or self.sites or self.finds or self.written)


def everything_found(viewer: Viewer, text: str) -> SearchFound:
    """Return what fits the words. At most fifteen queries."""
    text = " ".join(text.replace("\x00", " ").split())[:200]
    if not text:
        return SearchFound("")
    names = names_found(text, limit=NAMES + 1) if re.search(r"[^\W\d_]", text) else []
    is_cut = len(names) > NAMES
    names = names[:NAMES]
    seen = Find.objects.visible_to(viewer).laid()
    return SearchFound(
        text=text,
        fungi=[row for row in names if row.group == Group.FUNGUS],
        hosts=[row for row in names if row.group != Group.FUNGUS],
        sites=_sites(viewer, fold(text)),
        finds=find_lines(viewer, _by_number(seen, text)),
        written=find_lines(viewer, _as_written(seen, text)) if len(text) > 1 else [],
        is_cut=is_cut,
    )


def _sites(viewer: Viewer, folded: str) -> list[Site]:
    if not folded:
        return []
    return list(Site.objects.visible_to(viewer).filter(folded__contains=folded)[:OTHERS])


def _by_number(seen: QuerySet[Find], text: str) -> QuerySet[Find]:
    """Return finds by the society's number ('2026/417', or '417' of any year) and by the
    collector's own."""
    condition = Q(collector_number__iexact=text)
    numbered = _NUMBER.fullmatch(text.removeprefix("#").strip())
    if numbered is not None:
        by_number = Q(number=int(numbered["number"]))
        if numbered["year"]:
            by_number &= Q(year=int(numbered["year"]))
        condition |= by_number
    return seen.filter(condition).order_by("-year", "-number")[:OTHERS]


def _as_written(seen: QuerySet[Find], text: str) -> QuerySet[Find]:
    return seen.filter(
        standing_slip__taxon=None, standing_slip__name_written__icontains=text
    ).order_by("-date_start", "-pk")[:OTHERS]
