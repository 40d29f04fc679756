"""Counting the finds of a list by name and standing, in the database."""

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass, field
from typing import Any

from django.db.models import Count, F, Max, Min, Q, QuerySet
from django.db.models.functions import Coalesce

from society.finds.models import Find
from society.lists.queries.listed import HOST_PARTS, QUALIFIER_NOW, TAXON_NOW
from society.science.names import fold

# A name in a list: the accepted name's id, the qualifier that stands with it, and the folded words
# of a name that the checklist does not hold.
Key = tuple[int | None, str, str]


@dataclass(slots=True)
class Counted:
    """What the database counted for one name: finds, extreme dates and hosts."""

    written: str = ""
    written_rank: str = ""
    finds: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    dates: list[tuple[str, dt.date, dt.date]] = field(default_factory=list)
    hosts: dict[int, int] = field(default_factory=lambda: defaultdict(int))

    def add(
        self,
        standing: str,
        finds: int,
        first: dt.date,
        last: dt.date,
        known_first: dt.date | None,
        known_last: dt.date | None,
    ) -> None:
        """Add a group of finds; its dates become spans that bear the same first and last."""
        self.finds[standing] += finds
        if known_first is not None and known_last is not None:
            self.dates.append((standing, known_first, known_first))
            if known_last != known_first:
                self.dates.append((standing, known_last, known_last))
        if (known_first, known_last) != (first, last):
            self.dates.append((standing, first, last))


def finds_counted(finds: QuerySet[Find]) -> dict[Key, Counted]:
    """Count finds by name, qualifier and standing.

    Two queries: names of the checklist, names as written.
    """
    day_known = Q(date_start=F("date_end"))
    measures: dict[str, Any] = {
        "n": Count("pk"),
        "first": Min("date_start"),
        "last": Max("date_end"),
        "known_first": Min("date_start", filter=day_known),
        "known_last": Max("date_end", filter=day_known),
    }
    found: dict[Key, Counted] = defaultdict(Counted)
    held = finds.exclude(standing_taxon=None).order_by()
    names = {"taxon_now": TAXON_NOW, "qualifier_now": QUALIFIER_NOW}
    for taxon_id, qualifier, standing, *row in held.values_list(
        *_named(names), "standing"
    ).annotate(**measures):
        found[taxon_id, qualifier, ""].add(standing, *row)
    written = finds.filter(standing_taxon=None).order_by()
    for name, rank, standing, *row in written.values_list(
        "standing_slip__name_written", "standing_slip__rank", "standing"
    ).annotate(**measures):
        entry = found[None, "", fold(name)]
        entry.written, entry.written_rank = entry.written or name, entry.written_rank or rank
        entry.add(standing, *row)
    return dict(found)


def hosts_counted(counted: dict[Key, Counted], finds: QuerySet[Find]) -> None:
    """Add to each name the hosts its finds were recorded with. Two queries."""
    with_host = finds.filter(
        organisms__part__in=HOST_PARTS,
        organisms__removed_at=None,
        organisms__taxon__isnull=False,
    ).order_by()
    host = {"host": Coalesce("organisms__taxon__accepted_id", "organisms__taxon_id")}
    number = Count("pk", distinct=True)
    names = {"taxon_now": TAXON_NOW, "qualifier_now": QUALIFIER_NOW, **host}
    held = with_host.exclude(standing_taxon=None)
    for taxon_id, qualifier, host_id, n in held.values_list(*_named(names)).annotate(n=number):
        counted[taxon_id, qualifier, ""].hosts[host_id] += n
    written = with_host.filter(standing_taxon=None)
    for name, host_id, n in written.values_list(
        "standing_slip__name_written", *_named(host)
    ).annotate(n=number):
        counted[None, "", fold(name)].hosts[host_id] += n


def _named(expressions: dict[str, Any]) -> tuple[Any, ...]:
    return tuple(expressions.values())
