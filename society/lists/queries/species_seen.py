"""What the society saw of a species: photographs by view and stage, colours by stage, hosts."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import Count, F, QuerySet, Window
from django.db.models.functions import Coalesce, RowNumber

from society.finds.models import (
    Find,
    ObservedCharacter,
    Photograph,
    PhotographState,
    Stage,
    View,
)
from society.finds.queries import places_given
from society.lists.queries.listed import HOST_PARTS
from society.members.permissions import Viewer
from society.names.queries import AccountBook

# Of one view on the page of all views (one of each stage, if there are more stages), and of one
# view at one stage where that view alone is asked for.
FEW, MANY = 4, 24
VIEWS = (*(view for view in View.values if view), "")
STAGES = (*(stage for stage in Stage.values if stage), "")


@dataclass(frozen=True, slots=True)
class PhotographShown:
    """A photograph; ``with_words`` False: its caption is held back with the place."""

    photograph: Photograph
    with_words: bool


@dataclass(frozen=True, slots=True)
class ViewShown:
    """Photographs of one view, from button to decayed, of a stage not said last.

    ``of`` counts all there are of this view.
    """

    view: str
    words: str
    photographs: list[PhotographShown]
    of: int

    @property
    def has_more(self) -> bool:
        return len(self.photographs) < self.of


def photographs_by_view(
    viewer: Viewer, settled: QuerySet[Find], view: str | None
) -> list[ViewShown]:
    """Return photographs of settled finds by view, then by stage, the latest of each stage first.

    ``view`` is the code of the only one asked for, None for all. Two queries; how many photographs
    there are at most is bounded by ``FEW`` and ``MANY``.
    """
    group = [F("view"), F("find__stage")]
    rows = Photograph.objects.filter(
        find__in=settled.order_by().values("pk"),
        removed_at=None,
        state=PhotographState.READY,
        **({} if view is None else {"view": view}),
    ).annotate(
        place_in_group=Window(
            RowNumber(),
            partition_by=group,
            order_by=[F("find__date_start").desc(), F("find_id").desc(), "position", "pk"],
        ),
        of_view=Window(Count("pk"), partition_by=[F("view")]),
    )
    kept = list(
        rows.filter(place_in_group__lte=FEW if view is None else MANY).select_related(
            "author", "find__site"
        )
    )
    places = places_given(viewer, {row.find_id: row.find for row in kept}.values())
    shown = []
    for code in VIEWS:
        of_view = [row for row in kept if row.view == code]
        if not of_view:
            continue
        chosen = _spread(of_view) if view is None else of_view
        chosen.sort(key=lambda row: (STAGES.index(row.find.stage), row.place_in_group))
        shown.append(
            ViewShown(
                view=code,
                words=str(View(code).label),
                photographs=[
                    PhotographShown(row, with_words=not places[row.find_id].holds_words_back)
                    for row in chosen
                ],
                of=of_view[0].of_view,
            )
        )
    return shown


def _spread(rows: list[Any]) -> list[Any]:
    """Choose a few of one view so that every stage is there, then the latest of each in turn."""
    stages = len({row.find.stage for row in rows})
    in_turn = sorted(rows, key=lambda row: (row.place_in_group, STAGES.index(row.find.stage)))
    return in_turn[: max(FEW, stages)]


@dataclass(frozen=True, slots=True)
class StageColours:
    """Colours of one part at one stage: (name of the state, finds), the most seen first."""

    stage: str
    colours: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class ColourByStage:
    """How the colour of one part was recorded from button to decayed."""

    code: str
    name: str
    stages: tuple[StageColours, ...]


def colours_by_stage(settled: QuerySet[Find], book: AccountBook) -> list[ColourByStage]:
    """Return what colours were recorded of settled finds at each stage, by character. One query."""
    codes = [code for code in book.words if code.endswith("_colour") and code != "print_colour"]
    rows = (
        ObservedCharacter.objects.filter(
            find__in=settled.order_by().values("pk"), character__code__in=codes
        )
        .order_by()
        .values_list("character__code", "find__stage", "state__name")
        .annotate(n=Count("find_id", distinct=True))
    )
    counted: dict[str, dict[str, list[tuple[str, int]]]] = {}
    for code, stage, name, n in rows:
        counted.setdefault(code, {}).setdefault(stage, []).append((name, n))
    return [
        ColourByStage(
            code=code,
            name=book.words[code].name,
            stages=tuple(
                StageColours(
                    str(Stage(stage).label),
                    tuple(sorted(counted[code][stage], key=lambda one: (-one[1], one[0]))),
                )
                for stage in STAGES
                if stage in counted[code]
            ),
        )
        for code in codes
        if code in counted
    ]


@dataclass(frozen=True, slots=True)
class HostCompared:
    """A tree or plant: how many finds here stood with or on it.

    ``is_held``: its genus is held as a host of the species. A host seen here carries
    its own name, one that is held alone its genus.
    """

    name: str
    finds: int
    is_held: bool


@dataclass(frozen=True, slots=True)
class HostsCompared:
    """Hosts of the finds that stand against the genera held of it, the most seen first.

    ``finds`` of ``of`` that stand have a host recorded; a find may have several. ``is_known``:
    hosts are held of it at all.
    """

    rows: list[HostCompared]
    finds: int
    of: int
    is_known: bool


def hosts_compared(stands: QuerySet[Find], genera: Iterable[str], of: int) -> HostsCompared:
    """Return hosts here against those held. Two queries."""
    known = list(genera)
    hosted = stands.order_by().filter(
        organisms__part__in=HOST_PARTS,
        organisms__removed_at=None,
        organisms__taxon__isnull=False,
    )
    rows = hosted.values_list(
        Coalesce(
            "organisms__taxon__accepted__scientific_name", "organisms__taxon__scientific_name"
        ),
        Coalesce("organisms__taxon__accepted__genus", "organisms__taxon__genus"),
    ).annotate(n=Count("pk", distinct=True))
    found = sorted(rows, key=lambda row: (-row[2], row[0]))
    seen = {genus for _name, genus, _n in found}
    compared = [HostCompared(name, n, genus in known) for name, genus, n in found]
    compared += [HostCompared(genus, 0, True) for genus in known if genus not in seen]
    return HostsCompared(
        rows=compared,
        finds=hosted.values("pk").distinct().count(),
        of=of,
        is_known=bool(known),
    )
