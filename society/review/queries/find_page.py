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
)
from society.finds.permissions import may_edit, may_lay_slip
from society.finds.queries import PlaceGiven, places_given
from society.members.models import Person
from society.members.permissions import Viewer
from society.names.models import Taxon
from society.names.queries import dangerous_look_alikes, english_names
from society.review.models import Comment, DeskEntry, Verdict, VerdictKind
from society.review.permissions import may_comment, may_confirm
from society.safety.gate import NoticeContext, notice_context, speaks_of_eating
from society.science import evidence
from society.science.names import render_parts

# Milk caps; other genera bleed too, and there the milk is a character to be noted first.
GENERA_WITH_MILK = ("Lactarius", "Lactifluus")


@dataclass(frozen=True, slots=True)
class SlipShown:
    """A slip with its name ready to print, the verdicts on it, and whether it stands."""

    slip: DeterminationSlip
    parts: list[tuple[str, bool]]
    english: str
    accepted_parts: list[tuple[str, bool]] | None
    verdicts: list["VerdictShown"]
    stands: bool
    may_settle: bool


@dataclass(frozen=True, slots=True)
class VerdictShown:
    verdict: Verdict
    is_withdrawn: bool
    may_withdraw: bool


@dataclass(frozen=True, slots=True)
class ReadingSeries:
    """Readings of one thing exposed, in order of minutes."""

    exposed: str
    reagent: str
    readings: list[Reading]


@dataclass(frozen=True, slots=True)
class FindPage:
    find: Find
    place: PlaceGiven
    name_parts: list[tuple[str, bool]]
    name_qualifier: str
    english: str
    taxon: Taxon | None
    dangerous: list[Taxon]
    organisms: list[AssociatedOrganism]
    photographs: list[Photograph]
    series: list[ReadingSeries]
    characters: list[tuple[str, list[str]]]
    eating_notes: list[EatingNote]
    slips: list[SlipShown]
    loose_verdicts: list[VerdictShown]
    comments: list[Comment]
    history: list[tuple[Change, str]]
    missing: list[evidence.Wanted]
    entry: DeskEntry | None
    notice: NoticeContext
    speaks_of_eating: bool
    may_edit: bool
    may_lay_slip: bool
    may_comment: bool
    may_settle: bool
    is_finder: bool


def find_page(viewer: Viewer, find: Find) -> FindPage:
    """Read the page of a find the viewer may see. Seventeen queries at most, whatever it holds."""
    find = _with_all(find.pk)
    place = places_given(viewer, [find])[find.pk]
    slips = list(find.slips.all())
    verdicts = list(find.verdicts.all())
    current = find.standing_slip or (slips[-1] if slips else None)
    taxon = find.standing_taxon or _taxon(current)
    english = english_names({t.pk for t in map(_taxon, slips) if t is not None} | _keys(taxon))
    shown = _verdicts_shown(viewer, verdicts)
    dangerous = dangerous_look_alikes({taxon.pk}).get(taxon.pk, []) if taxon else []
    return FindPage(
        find=find,
        place=place,
        name_parts=_headline(find, current, taxon),
        name_qualifier=current.qualifier if current is not None and current.taxon else "",
        english=english.get(taxon.pk, "") if taxon else "",
        taxon=taxon,
        dangerous=dangerous,
        organisms=list(find.organisms.all()),
        photographs=list(find.photographs.all()),
        series=_series(find.readings.all()),
        characters=_characters(find.observed_characters.all()),
        eating_notes=list(find.eating_notes.all()),
        slips=[_slip_shown(viewer, find, slip, english, shown) for slip in slips],
        loose_verdicts=[row for row in shown if row.verdict.slip_id is None],
        comments=list(find.comments.all()),
        history=_history(find) if viewer.is_member else [],
        missing=_missing(find, taxon),
        entry=DeskEntry.objects.filter(find=find).first(),
        notice=notice_context(taxon, standing=find.standing, dangerous=dangerous),
        speaks_of_eating=_speaks_of_eating(find),
        may_edit=may_edit(viewer, find),
        may_lay_slip=may_lay_slip(viewer, find),
        may_comment=may_comment(viewer, find),
        may_settle=may_confirm(viewer, find, _taxon(current)),
        is_finder=viewer.person_id == find.finder_id,
    )


def _with_all(find_id: int) -> Find:
    kept = Q(removed_at=None)
    return (
        Find.objects.select_related(
            "site", "visit__site", "finder", "entered_by", "standing_taxon", "standing_slip__taxon"
        )
        .prefetch_related(
            "companions",
            Prefetch(
                "organisms",
                AssociatedOrganism.objects.filter(kept).select_related("taxon__accepted"),
            ),
            Prefetch("photographs", Photograph.objects.filter(kept).select_related("author")),
            Prefetch("readings", Reading.objects.filter(kept)),
            Prefetch(
                "observed_characters",
                ObservedCharacter.objects.select_related("character", "state"),
            ),
            Prefetch("eating_notes", EatingNote.objects.filter(kept).select_related("by")),
            Prefetch(
                "slips",
                DeterminationSlip.objects.select_related("taxon__accepted", "by", "entered_by"),
            ),
            Prefetch(
                "verdicts", Verdict.objects.select_related("by", "scope", "other_slip", "withdraws")
            ),
            Prefetch("comments", Comment.objects.filter(kept).select_related("by")),
        )
        .get(pk=find_id)
    )


def _taxon(slip: DeterminationSlip | None) -> Taxon | None:
    return slip.taxon.current if slip is not None and slip.taxon is not None else None


def _keys(taxon: Taxon | None) -> set[int]:
    return {taxon.pk} if taxon else set()


def _headline(
    find: Find, current: DeterminationSlip | None, taxon: Taxon | None
) -> list[tuple[str, bool]]:
    """Return the name the page is headed by: the accepted one that stands, else as written."""
    if taxon is not None:
        return render_parts(taxon.scientific_name, taxon.authorship)
    if current is not None:
        return [(current.name_written, False)]
    return []


def _slip_shown(
    viewer: Viewer,
    find: Find,
    slip: DeterminationSlip,
    english: dict[int, str],
    verdicts: list[VerdictShown],
) -> SlipShown:
    taxon = _taxon(slip)
    pointed = slip.taxon
    return SlipShown(
        slip=slip,
        parts=(
            render_parts(pointed.scientific_name, pointed.authorship)
            if pointed is not None
            else [(slip.name_written, False)]
        ),
        english=english.get(taxon.pk, "") if taxon else "",
        accepted_parts=(
            render_parts(taxon.scientific_name, taxon.authorship)
            if taxon is not None and pointed is not None and pointed.pk != taxon.pk
            else None
        ),
        verdicts=[row for row in verdicts if row.verdict.slip_id == slip.pk],
        stands=find.standing_slip_id == slip.pk and find.standing in COUNTED,
        may_settle=may_confirm(viewer, find, taxon),
    )


def _verdicts_shown(viewer: Viewer, verdicts: list[Verdict]) -> list[VerdictShown]:
    withdrawn = {row.withdraws_id for row in verdicts if row.withdraws_id is not None}
    return [
        VerdictShown(
            verdict=row,
            is_withdrawn=row.pk in withdrawn,
            may_withdraw=(
                row.by_id == viewer.person_id
                and row.kind != VerdictKind.WITHDRAW
                and row.pk not in withdrawn
            ),
        )
        for row in verdicts
    ]


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


def _characters(observed: Iterable[ObservedCharacter]) -> list[tuple[str, list[str]]]:
    rows: dict[str, list[str]] = {}
    for row in observed:
        rows.setdefault(row.character.name, []).append(row.state.name)
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


def _speaks_of_eating(find: Find) -> bool:
    """Whether anything written on the page speaks of eating, so that it bears the full notice."""
    return bool(find.eating_notes.all()) or speaks_of_eating(
        [
            find.notes,
            *(slip.remarks for slip in find.slips.all()),
            *(verdict.reason for verdict in find.verdicts.all()),
            *(comment.text for comment in find.comments.all()),
            *(photo.caption for photo in find.photographs.all()),
        ]
    )


def evidence_facts(find: Find, taxon: Taxon | None) -> tuple[str, evidence.EvidenceFacts, bool]:
    """Return the find's form, what it has, and whether its site and name allow lifting and cutting.

    The find's rows are read where they were not prefetched.
    """
    form = (taxon.form if taxon is not None else "") or find.form
    allowed = (find.site is None or find.site.may_lift_and_cut) and (
        taxon is None or not taxon.no_lifting
    )
    kept = [photo for photo in find.photographs.all() if photo.removed_at is None]
    readings = [row for row in find.readings.all() if row.removed_at is None and row.looked]
    facts = evidence.EvidenceFacts(
        views=frozenset(photo.view for photo in kept if photo.view),
        has_habitat=bool(find.habitat),
        has_hosts=any(row.removed_at is None for row in find.organisms.all()),
        has_substrate=bool(find.substrate),
        base=find.base,
        has_print=bool(find.spore_print),
        characters=frozenset(row.character.code for row in find.observed_characters.all()),
        readings=frozenset(row.exposed for row in readings),
        in_hand=find.in_hand,
        needs=taxon.needs if taxon is not None else "eye",
        has_specimen=find.specimen_kept,
        gives_milk=taxon is not None and taxon.genus in GENERA_WITH_MILK,
    )
    return form, facts, allowed


def may_be_asked(find: Find) -> tuple[str, ...]:
    """Return what a referee may ask of this find: allowed, not there, and still to be had."""
    slip = find.standing_slip or find.slips.select_related("taxon__accepted").last()
    form, facts, allowed = evidence_facts(find, _taxon(slip))
    return evidence.may_be_asked(form, facts, may_lift=allowed, may_cut=allowed)


def _missing(find: Find, taxon: Taxon | None) -> list[evidence.Wanted]:
    """Return what would help a referee, from what is recorded; nothing that may not be taken."""
    form, facts, allowed = evidence_facts(find, taxon)
    return evidence.missing(form, facts, may_lift=allowed, may_cut=allowed)
