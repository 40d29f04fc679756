"""A member's own book: finds by day and place, and the names in it."""

import datetime as dt
import itertools
from collections.abc import Iterable
from dataclasses import dataclass, field

from django.db.models import Count, Max, QuerySet

from society.core.free_text import FreeText
from society.finds.models import COUNTED, Find
from society.lists.queries.find_lines import FindLine
from society.lists.queries.listed import TAXON_NOW
from society.members.permissions import Viewer
from society.names.queries import english_names
from society.science.names import fold, render_parts


def own_finds(viewer: Viewer) -> QuerySet[Find]:
    """Return the finds the viewer found or was a companion at, the latest day first.

    Their numbers are gathered from two indexes: joined by an "or", every find would be read.
    """
    if viewer.person_id is None:
        return Find.objects.none()
    found = Find.objects.filter(finder_id=viewer.person_id).order_by().values("pk")
    joined = Find.companions.through.objects.filter(person_id=viewer.person_id).values("find_id")
    return (
        Find.objects.laid()
        .filter(pk__in=found.union(joined))
        .order_by("-date_start", "-date_end", "site__folded", "-pk")
    )


def withdrawn_finds(viewer: Viewer) -> QuerySet[Find]:
    """Return the viewer's own finds that were withdrawn, and can be put back."""
    return (
        Find.objects.filter(finder_id=viewer.person_id)
        .exclude(withdrawn_at=None)
        .order_by("-withdrawn_at", "-pk")
    )


@dataclass(frozen=True, slots=True)
class DayAndPlace:
    """A day (or a span where the day is not known) at one place, and what was found there."""

    first: dt.date
    last: dt.date
    site_name: str
    site_slug: str
    place_words: FreeText | str
    lines: list[FindLine]


def by_day_and_place(lines: Iterable[FindLine]) -> list[DayAndPlace]:
    """Gather lines in their order into days and places. Asks nothing."""

    def page(line: FindLine) -> tuple[dt.date, dt.date, int | None, str]:
        find = line.find
        words = "" if find.site_id else FreeText(find.place_verbatim).raw
        return find.date_start, find.date_end, find.site_id, words

    days = []
    for (first, last, _site, _words), held in itertools.groupby(lines, page):
        gathered = list(held)
        find = gathered[0].find
        days.append(
            DayAndPlace(
                first=first,
                last=last,
                site_name=find.site.name if find.site is not None else "",
                site_slug=find.site.slug if find.site is not None else "",
                place_words=find.place_verbatim if find.site is None else "",
                lines=gathered,
            )
        )
    return days


@dataclass(slots=True)
class NameInBook:
    """A name in a member's book. ``sites`` are (name, slug) with the finds at each; finds without a
    site are in ``elsewhere``."""

    name: str
    parts: list[tuple[str, bool]]
    taxon_id: int | None
    english: str = ""
    finds: int = 0
    standing: int = 0
    elsewhere: int = 0
    last: dt.date = dt.date.min
    sites: dict[tuple[str, str], int] = field(default_factory=dict)

    @property
    def letter(self) -> str:
        return fold(self.name)[:1].upper()


def names_in_book(viewer: Viewer) -> list[NameInBook]:
    """Return the names of a member's own finds in the order of the alphabet. Two queries.

    Names count as they stand today, the unconfirmed with them: it is the member's own book.
    """
    rows = (
        Find.objects.laid()
        .filter(finder_id=viewer.person_id, standing_slip__isnull=False)
        .order_by()
        .values_list(
            TAXON_NOW,
            "standing_taxon__accepted__scientific_name",
            "standing_taxon__scientific_name",
            "standing_slip__name_written",
            "standing",
            "site__name",
            "site__slug",
        )
        .annotate(n=Count("pk"), last=Max("date_end"))
    )
    names: dict[tuple[int | None, str], NameInBook] = {}
    for taxon_id, accepted, held, written, standing, site, slug, n, last in rows:
        name = accepted or held or written
        key = (taxon_id, "" if taxon_id else fold(written))
        entry = names.get(key)
        if entry is None:
            parts = render_parts(name) if taxon_id else [(name, False)]
            entry = names[key] = NameInBook(name, parts, taxon_id)
        entry.finds += n
        entry.standing += n if standing in COUNTED else 0
        entry.last = max(entry.last, last)
        if slug is None:
            entry.elsewhere += n
        else:
            entry.sites[site, slug] = entry.sites.get((site, slug), 0) + n
    english = english_names({taxon_id for taxon_id, _ in names if taxon_id is not None})
    for entry in names.values():
        entry.english = english.get(entry.taxon_id or 0, "")
        entry.sites = dict(sorted(entry.sites.items()))
    return sorted(names.values(), key=lambda entry: fold(entry.name))
