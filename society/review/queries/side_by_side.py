"""Two to four finds and accounts in columns: what differs first, readings on one time axis."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, field

from django.db.models import Prefetch, Q
from django.utils.translation import gettext as _

from society.finds.models import (
    Find,
    Photograph,
    PhotographState,
)
from society.finds.queries import PlaceGiven, places_given
from society.members.permissions import Viewer
from society.names.models import Taxon
from society.names.queries import AccountBook, account_book, danger_words, facts_of, name_index
from society.review.queries.evidence import taxon_of
from society.review.queries.naming import qualified_parts
from society.review.queries.observed import observed_of, readings_written, with_evidence
from society.review.queries.time_line import TimeLine, time_lines
from society.safety.gate import NoticeContext
from society.science import contrast as science
from society.science.names import render_parts

MOST = 4
LONGEST_KEY = 120
_FIND = re.compile(r"(?:find-)?(\d{4})\s*[-/]\s*(\d{1,7})\Z")
_ACCOUNT = re.compile(r"account-(\d{1,9})\Z")


@dataclass(frozen=True, slots=True)
class Column:
    """A find or an account. ``key`` is how the address names it: 'find-2026-12', 'account-34'."""

    key: str
    parts: list[tuple[str, bool]]
    danger: str
    find: Find | None = None
    place: PlaceGiven | None = None
    taxon: Taxon | None = None
    has_account: bool = False
    photographs: list[Photograph] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class Asked:
    """What the address asks for: the columns there are, and what could not be found.

    ``not_found`` are words as somebody would write them, each with names that may have been meant.
    """

    columns: list[Column]
    not_found: list[tuple[str, list[Taxon]]]
    too_many: bool

    @property
    def may_add(self) -> bool:
        return len(self.columns) < MOST


@dataclass(frozen=True, slots=True)
class SideBySide:
    columns: list[Column]
    views: list[tuple[str, list[list[Photograph]]]]
    rows: list[science.SideRow]
    one_sided: list[science.SideRow]
    time_lines: list[TimeLine]
    book: AccountBook
    context: NoticeContext


def columns_asked_for(viewer: Viewer, keys: Iterable[str], add: str = "") -> Asked:
    """Return the columns that an address names, finds as far as the viewer may see them.

    ``add`` is a find's number or a name as somebody typed it. Twelve queries at most.
    """
    typed = [add.strip()[:LONGEST_KEY]] if add.strip() else []
    every = list(dict.fromkeys([*(key.strip()[:LONGEST_KEY] for key in keys), *typed]))
    wanted = [key for key in every if key][: 2 * MOST]
    finds = _finds(viewer, wanted)
    taxa = _taxa(wanted)
    places = places_given(viewer, list(finds.values()))
    book = account_book()
    columns: dict[str, Column] = {}
    not_found = []
    for key in wanted:
        if key in finds:
            column = _find_column(finds[key], places[finds[key].pk])
        elif key in taxa:
            column = _account_column(taxa[key], book)
        else:
            not_found.append((_spoken(key), _meant(key)))
            continue
        columns.setdefault(column.key, column)
    kept = list(columns.values())
    return Asked(kept[:MOST], not_found, too_many=len(kept) > MOST or len(every) > 2 * MOST)


def _spoken(key: str) -> str:
    """Return a key of the address as people say it."""
    match = _FIND.match(key)
    if match is not None:
        return f"{match[1]}/{match[2]}"
    return _("a name no longer held") if _ACCOUNT.match(key) else key


def _meant(key: str) -> list[Taxon]:
    """Return accepted fungi that a written name may have meant, best first. Two queries."""
    if _FIND.match(key) or _ACCOUNT.match(key):
        return []
    keys = [match.accepted_key for match in name_index().search(key, MOST, groups=("fungus",))]
    rows = Taxon.objects.in_bulk(keys)
    return [rows[pk] for pk in dict.fromkeys(keys) if pk in rows]


def _finds(viewer: Viewer, wanted: list[str]) -> dict[str, Find]:
    numbers = {key: match for key in wanted if (match := _FIND.match(key))}
    if not numbers:
        return {}
    condition = Q()
    for match in numbers.values():
        condition |= Q(year=int(match[1]), number=int(match[2]))
    rows = (
        Find.objects.visible_to(viewer)
        .filter(condition)
        .select_related("site", "finder", "standing_taxon__accepted")
    )
    ready = Photograph.objects.filter(removed_at=None, state=PhotographState.READY)
    finds = with_evidence(rows).prefetch_related(Prefetch("photographs", ready))
    held = {(find.year, find.number): find for find in finds}
    return {
        key: held[int(match[1]), int(match[2])]
        for key, match in numbers.items()
        if (int(match[1]), int(match[2])) in held
    }


def _taxa(wanted: list[str]) -> dict[str, Taxon]:
    """Return the accepted names that the keys lead to: by id, or as somebody wrote them."""
    ids = {key: int(match[1]) for key in wanted if (match := _ACCOUNT.match(key))}
    for key in wanted:
        if key not in ids and not _FIND.match(key):
            found = name_index().resolve(key, groups=("fungus",))
            if found.match is not None:
                ids[key] = found.match.accepted_key
    if not ids:
        return {}
    rows = Taxon.objects.fungi().select_related("accepted").in_bulk(set(ids.values()))
    return {key: rows[pk].current for key, pk in ids.items() if pk in rows}


def _find_column(find: Find, place: PlaceGiven) -> Column:
    slips = list(find.slips.all())
    current = next((slip for slip in slips if slip.pk == find.standing_slip_id), None)
    current = current or (slips[-1] if slips else None)
    taxon = find.standing_taxon.current if find.standing_taxon else taxon_of(current)
    parts = [(current.name_written, False)] if current else []
    if taxon is not None:
        parts = qualified_parts(taxon.scientific_name, "", "s.l." if find.reads_wide else "")
    return Column(
        key=f"find-{find.year}-{find.number}",
        parts=parts,
        danger=danger_words(taxon) if taxon is not None and taxon.danger else "",
        find=find,
        place=place,
        taxon=taxon,
        photographs=list(find.photographs.all()),
    )


def _account_column(taxon: Taxon, book: AccountBook) -> Column:
    return Column(
        key=f"account-{taxon.pk}",
        parts=render_parts(taxon.scientific_name, taxon.authorship),
        danger=danger_words(taxon) if taxon.danger else "",
        taxon=taxon,
        has_account=taxon.pk in book.facts,
    )


def side_by_side(viewer: Viewer, columns: list[Column]) -> SideBySide:
    """Lay columns side by side; one query, and those of the accounts when they have changed."""
    book = account_book()
    taxa = [column.taxon for column in columns if column.taxon is not None]
    observed = [observed_of(column.find, book) if column.find else None for column in columns]
    rows = science.side_by_side(
        [
            seen if seen is not None else _facts(column, book)
            for column, seen in zip(columns, observed, strict=True)
        ],
        book.characters.values(),
    )
    spoken = [row for row in rows if row.kind != "reading"]
    return SideBySide(
        columns=columns,
        views=_by_view(columns),
        rows=[row for row in spoken if not _is_one_sided(row)],
        one_sided=[row for row in spoken if _is_one_sided(row)],
        time_lines=time_lines(
            [
                (
                    readings_written(column.find) if column.find is not None else (),
                    _facts(column, book) if column.find is None else None,
                )
                for column in columns
            ]
        ),
        book=book,
        context=NoticeContext(
            shown=tuple(dict.fromkeys(row.scientific_name for row in taxa if row.is_dangerous))
        ),
    )


def _is_one_sided(row: science.SideRow) -> bool:
    """Whether one of several columns alone speaks of a thing, so that nothing is compared."""
    return len(row.cells) > 1 and sum(map(bool, row.cells)) == 1


def _facts(column: Column, book: AccountBook) -> science.AccountFacts:
    """Return the account of a column; what the checklist says of a name that has none."""
    if column.taxon is None:
        raise ValueError(f"no account in column {column.key}")
    return book.facts.get(column.taxon.pk) or facts_of(column.taxon)


def _by_view(columns: list[Column]) -> list[tuple[str, list[list[Photograph]]]]:
    """Return photographs by what they show, a list for each column; views of no column left out."""
    views: dict[str, list[list[Photograph]]] = {}
    order: dict[str, str] = {}
    for at, column in enumerate(columns):
        for photograph in column.photographs:
            order.setdefault(photograph.view, str(photograph.get_view_display()))
            views.setdefault(photograph.view, [[] for _ in columns])[at].append(photograph)
    return [(order[view], views[view]) for view in order]
