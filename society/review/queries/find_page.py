"""Everything a find's page shows, read in a constant number of queries."""

import itertools
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import Prefetch, Q

from society.core.models import Change
from society.finds.models import (
    COUNTED,
    AssociatedOrganism,
    DeterminationSlip,
    EatingNote,
    Find,
    ObservedCharacter,
    Photograph,
    Reading,
    Standing,
)
from society.finds.permissions import may_edit, may_lay_slip
from society.finds.queries import PlaceGiven, places_given
from society.members.models import Person
from society.members.permissions import Viewer
from society.names.models import Character, Taxon
from society.names.queries import dangerous_look_alikes, english_names
from society.review.models import Comment, DeskEntry, Verdict, VerdictKind, Waits
from society.review.permissions import may_comment, may_confirm
from society.review.queries.contrast import LooksWanted, looks_wanted
from society.review.queries.evidence import askable, missing, taxon_of
from society.review.queries.naming import (
    Parts,
    SplitRead,
    headline,
    rows_written,
    slip_parts,
    split_read,
)
from society.safety.gate import NoticeContext, notice_context, speaks_of_eating
from society.science import evidence

NOT_SETTLED = (Standing.UNCONFIRMED, Standing.DISPUTED, Standing.LEFT_OPEN)


@dataclass(frozen=True, slots=True)
class VerdictShown:
    """A verdict; ``is_outdated`` where evidence was added or changed after it."""

    verdict: Verdict
    is_withdrawn: bool
    is_outdated: bool
    may_withdraw: bool


@dataclass(frozen=True, slots=True)
class SlipShown:
    """A slip with its name ready to print, the verdicts on it, and whether it stands."""

    slip: DeterminationSlip
    parts: Parts
    english: str
    accepted_parts: Parts | None
    verdicts: list[VerdictShown]
    stands: bool
    may_settle: bool


@dataclass(frozen=True, slots=True)
class ReadingSeries:
    """Readings of one thing exposed, in order of minutes."""

    exposed: str
    reagent: str
    readings: list[Reading]


@dataclass(frozen=True, slots=True)
class FindPage:
    """A find as one viewer may have it.

    ``dangers`` are the dangerous names among all that were ever laid on it or that its name was
    split into, ``dangerous`` those taken for one of them: a name that no longer stands is not ruled
    out by that. ``split`` tells why the name reads as 's.l.' where a split made it so. ``asked``
    are the requests for evidence that wait for the finder.
    """

    find: Find
    place: PlaceGiven
    name_parts: Parts
    split: SplitRead | None
    english: str
    taxon: Taxon | None
    dangers: list[Taxon]
    dangerous: list[Taxon]
    organisms: list[AssociatedOrganism]
    photographs: list[Photograph]
    series: list[ReadingSeries]
    characters: list[tuple[Character, list[str]]]
    eating_notes: list[EatingNote]
    slips: list[SlipShown]
    loose_verdicts: list[VerdictShown]
    asked: list[Verdict]
    comments: list[Comment]
    history: list[tuple[Change, str]]
    missing: list[evidence.Wanted]
    looks: LooksWanted | None
    askable: tuple[str, ...]
    entry: DeskEntry | None
    notice: NoticeContext
    speaks_of_eating: bool
    may_edit: bool
    may_lay_slip: bool
    may_comment: bool
    may_settle: bool
    is_finder: bool

    @property
    def slips_to_settle(self) -> list[DeterminationSlip]:
        return [row.slip for row in self.slips if row.may_settle]


def find_page(viewer: Viewer, find: Find) -> FindPage:
    """Read the page of a find the viewer may see: at most eighteen queries, whatever it holds;
    one more where a slip bears another name than its row, two where its species was split.

    What was written between finder and referees, and the history, are for members.
    """
    find = _with_all(find.pk, with_comments=viewer.is_member)
    place = places_given(viewer, [find])[find.pk]
    slips = list(find.slips.all())
    current = next((slip for slip in slips if slip.pk == find.standing_slip_id), None)
    current = current or (slips[-1] if slips else None)
    taxon = find.standing_taxon.current if find.standing_taxon else taxon_of(current)
    laid = {row.pk: row for row in (*map(taxon_of, slips), taxon) if row is not None}
    english = english_names(set(laid))
    shown = _verdicts_shown(viewer, find)
    written = rows_written(slips)
    rows = [_slip_shown(viewer, find, slip, written.get(slip.pk), english, shown) for slip in slips]
    split = split_read(find, current, taxon)
    may_be = {**laid, **{row.pk: row for row in (split.taxa if split else ())}}
    dangerous = _look_alikes(may_be)
    entry = DeskEntry.objects.filter(find=find).first()
    comments = list(find.comments.all()) if viewer.is_member else []
    return FindPage(
        find=find,
        place=place,
        name_parts=headline(find, current, taxon),
        split=split,
        english=english.get(taxon.pk, "") if taxon else "",
        taxon=taxon,
        dangers=[row for row in may_be.values() if row.is_dangerous],
        dangerous=dangerous,
        organisms=list(find.organisms.all()),
        photographs=list(find.photographs.all()),
        series=_series(find.readings.all()),
        characters=_characters(find.observed_characters.all()),
        eating_notes=list(find.eating_notes.all()),
        slips=rows,
        loose_verdicts=[row for row in shown if row.verdict.slip_id is None],
        asked=_asked(shown, entry),
        comments=comments,
        history=_history(find) if viewer.is_member else [],
        missing=missing(find, taxon) if find.standing in NOT_SETTLED else [],
        looks=looks_wanted(find, list(laid.values()))
        if viewer.is_member and find.standing in NOT_SETTLED
        else None,
        askable=askable(find, taxon_of(current)),
        entry=entry,
        notice=notice_context(taxon, standing=find.standing, dangerous=dangerous),
        speaks_of_eating=_speaks_of_eating(find, comments),
        may_edit=may_edit(viewer, find),
        may_lay_slip=may_lay_slip(viewer, find),
        may_comment=may_comment(viewer, find),
        may_settle=any(row.may_settle for row in rows)
        or (not rows and may_confirm(viewer, find, None)),
        is_finder=viewer.person_id == find.finder_id,
    )


def _with_all(find_id: int, *, with_comments: bool) -> Find:
    kept = Q(removed_at=None)
    comments = Comment.objects.filter(kept).select_related("by")
    rows: list[Prefetch[Any]] = [
        Prefetch(
            "organisms",
            AssociatedOrganism.objects.filter(kept).select_related("taxon__accepted"),
        ),
        Prefetch("photographs", Photograph.objects.filter(kept)),
        Prefetch("readings", Reading.objects.filter(kept)),
        Prefetch(
            "observed_characters",
            ObservedCharacter.objects.select_related("character", "state"),
        ),
        Prefetch("eating_notes", EatingNote.objects.filter(kept)),
        Prefetch(
            "slips",
            DeterminationSlip.objects.select_related("taxon__accepted", "by", "entered_by"),
        ),
        Prefetch("verdicts", Verdict.objects.select_related("by", "other_slip", "withdraws")),
        *([Prefetch("comments", comments)] if with_comments else []),
    ]
    finds = Find.objects.select_related(
        "site", "visit", "finder", "entered_by", "standing_taxon__accepted"
    )
    return finds.prefetch_related("companions", *rows).get(pk=find_id)


def _slip_shown(
    viewer: Viewer,
    find: Find,
    slip: DeterminationSlip,
    written: Taxon | None,
    english: dict[int, str],
    verdicts: list[VerdictShown],
) -> SlipShown:
    taxon = taxon_of(slip)
    parts, accepted_parts = slip_parts(slip, written)
    return SlipShown(
        slip=slip,
        parts=parts,
        english=english.get(taxon.pk, "") if taxon is not None else "",
        accepted_parts=accepted_parts,
        verdicts=[row for row in verdicts if row.verdict.slip_id == slip.pk],
        stands=find.standing_slip_id == slip.pk and find.standing in COUNTED,
        may_settle=may_confirm(viewer, find, slip.taxon),
    )


def _verdicts_shown(viewer: Viewer, find: Find) -> list[VerdictShown]:
    verdicts = list(find.verdicts.all())
    withdrawn = {row.withdraws_id for row in verdicts if row.withdraws_id is not None}
    return [
        VerdictShown(
            verdict=row,
            is_withdrawn=row.pk in withdrawn,
            is_outdated=row.evidence_version < find.evidence_version
            and row.kind in (VerdictKind.CONFIRM, VerdictKind.DISPUTE, VerdictKind.LEAVE_OPEN),
            may_withdraw=(
                row.by_id == viewer.person_id
                and row.kind != VerdictKind.WITHDRAW
                and row.pk not in withdrawn
            ),
        )
        for row in verdicts
    ]


def _asked(shown: list[VerdictShown], entry: DeskEntry | None) -> list[Verdict]:
    if entry is None or entry.waits != Waits.FOR_FINDER:
        return []
    return [
        row.verdict
        for row in shown
        if row.verdict.kind == VerdictKind.ASK
        and not row.is_withdrawn
        and row.verdict.evidence_version >= row.verdict.find.evidence_version
    ]


def _look_alikes(laid: dict[int, Taxon]) -> list[Taxon]:
    """Return the dangerous fungi taken for one of these names, which are not among them."""
    found = dangerous_look_alikes(set(laid)) if laid else {}
    others = {other.pk: other for rows in found.values() for other in rows}
    return [other for pk, other in others.items() if pk not in laid]


def _series(readings: Iterable[Reading]) -> list[ReadingSeries]:
    def exposed(reading: Reading) -> tuple[str, str]:
        return reading.exposed, reading.reagent

    return [
        ReadingSeries(
            exposed=str(rows[0].get_exposed_display()), reagent=rows[0].reagent, readings=rows
        )
        for rows in (
            list(group) for _, group in itertools.groupby(sorted(readings, key=_time), exposed)
        )
    ]


def _time(reading: Reading) -> tuple[Any, ...]:
    return reading.exposed, reading.reagent, reading.minutes, reading.pk


def _characters(observed: Iterable[ObservedCharacter]) -> list[tuple[Character, list[str]]]:
    rows: dict[Character, list[str]] = {}
    for row in observed:
        rows.setdefault(row.character, []).append(row.state.name)
    return list(rows.items())


def _history(find: Find) -> list[tuple[Change, str]]:
    """Return what happened to the find, oldest first, with the names of those who did it."""
    changes = list(
        Change.objects.filter(object_kind=Find._meta.label_lower, object_id=find.pk).order_by("pk")
    )
    names = dict(
        Person.objects.filter(pk__in={change.actor_id for change in changes}).values_list(
            "pk", "display_name"
        )
    )
    return [(change, names.get(change.actor_id or 0, "")) for change in changes]


def _speaks_of_eating(find: Find, comments: list[Comment]) -> bool:
    """Whether anything written on the page speaks of eating, so that it bears the full notice."""
    return bool(find.eating_notes.all()) or speaks_of_eating(
        [
            find.notes,
            *(slip.remarks for slip in find.slips.all()),
            *(verdict.reason for verdict in find.verdicts.all()),
            *(comment.text for comment in comments),
            *(photo.caption for photo in find.photographs.all()),
        ]
    )
