"""The demo's finds, a batch at a time, with the days they were planned for."""

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from typing import Any
from uuid import UUID, uuid5

from django.utils import timezone

from society.core.models import Change
from society.demo.rules import PlannedFind, PlannedSlip, PlannedVerdict, World
from society.demo.rules.characters import Noticeable, characters_seen
from society.demo.services.people import People
from society.demo.services.pictures import SIZE, Drawings
from society.finds.models import (
    AssociatedOrganism,
    DeterminationSlip,
    EatingNote,
    Find,
    ObservedCharacter,
    Photograph,
    PhotographState,
    PositionSource,
    Reading,
    YearNumber,
)
from society.finds.services.placing import cells_set, secrecy_refresh_many
from society.names.models import HOST_GROUPS, Group, Taxon
from society.names.queries import account_book, vocabulary, written_name_read
from society.places.models import E7, Site
from society.review.models import Comment, Scope, Verdict
from society.review.permissions import scope_covers
from society.review.services import standing_recompute_many

BATCH = 200
EVENING = dt.time(19, 30)

Rows = list[Any]


def finds_add(
    planned: Sequence[PlannedFind],
    world: World,
    people: People,
    sites: dict[str, Site],
    forays: dict[str, int],
    drawings: Drawings,
) -> list[Find]:
    """Add a batch of finds with all that belongs to them, in the caller's transaction."""
    finds = [_find(row, people, sites, forays) for row in planned]
    _numbered(finds)
    Find.objects.bulk_create(finds)
    pairs = list(zip(planned, finds, strict=True))
    companions: Any = Find.companions.through
    companions.objects.bulk_create(
        companions(find=find, person_id=people.ids[key])
        for row, find in pairs
        for key in row.companions
    )
    AssociatedOrganism.objects.bulk_create(_each(pairs, _organisms))
    Reading.objects.bulk_create(_each(pairs, _readings))
    ObservedCharacter.objects.bulk_create(_characters(pairs))
    Photograph.objects.bulk_create(
        picture for row, find in pairs for picture in _photographs(row, find, drawings)
    )
    EatingNote.objects.bulk_create(
        note for row, find in pairs for note in _eating_notes(row, find, people)
    )
    slips = {find.pk: _slips(row, find, people) for row, find in pairs}
    DeterminationSlip.objects.bulk_create(slip for rows in slips.values() for slip in rows)
    Verdict.objects.bulk_create(
        verdict for row, find in pairs for verdict in _verdicts(row, find, slips[find.pk], people)
    )
    Comment.objects.bulk_create(
        comment for row, find in pairs for comment in _comments(row, find, people)
    )
    return finds


def names_forgotten() -> None:
    """Forget the names read for another database; called before a build."""
    _taxon_id.cache_clear()
    _taxon.cache_clear()


def standing_settle(finds: Sequence[Find]) -> None:
    """Work out secrecy and what stands for each find, as every act on it would have, and date it.

    What is worked out now came about on the day of the last act, so the desk's wait and the find's
    history bear the planned days.
    """
    secrecy_refresh_many(finds)
    keys = [find.pk for find in finds]
    history, last = [], {}
    for find in Find.objects.filter(pk__in=keys).prefetch_related("slips", "verdicts"):
        acts = _acts(find)
        history += acts
        last[find.pk] = max(act.at for act in acts)
    standing_recompute_many(keys, actor_id=None, since=last)
    # What bears no name stands as it began, and has its day all the same.
    for find in Find.objects.filter(pk__in=keys, standing_since=None):
        Find.objects.filter(pk=find.pk).update(standing_since=last[find.pk])
    Change.objects.filter(object_kind=Find._meta.label_lower, object_id__in=keys).delete()
    Change.objects.bulk_create(sorted(history, key=lambda act: act.at))


def _acts(find: Find) -> list[Change]:
    """Return the history of a find: its posting, its later slips, its verdicts."""

    def act(verb: str, actor_id: int, at: dt.datetime) -> Change:
        kind = Find._meta.label_lower
        return Change(verb=verb, actor_id=actor_id, at=at, object_kind=kind, object_id=find.pk)

    slips = [
        act("find.slip_laid", slip.by_id, slip.laid_at)
        for slip in find.slips.all()
        if slip.by_id != find.finder_id
    ]
    verdicts = [act(f"find.{row.kind}", row.by_id, row.laid_at) for row in find.verdicts.all()]
    return [act("find.posted", find.entered_by_id, find.created_at), *slips, *verdicts]


def _find(row: PlannedFind, people: People, sites: dict[str, Site], forays: dict[str, int]) -> Find:
    point = row.point
    wood = row.wood
    find = Find(
        uuid=row.uuid,
        year=row.day.year,
        finder_id=people.ids[row.finder],
        entered_by_id=people.ids[row.entered_by],
        collector_number=row.collector_number,
        date_start=row.day,
        date_end=row.day,
        date_verbatim=row.date_verbatim,
        time_of_day=row.time_of_day,
        site=sites[row.site],
        visit_id=forays[row.foray] if row.foray else None,
        lat_e7=None if point is None else round(point[0] * E7),
        lon_e7=None if point is None else round(point[1] * E7),
        uncertainty_m=row.uncertainty_m,
        position_source=PositionSource.NONE if point is None else PositionSource.PHONE,
        made_secret=row.made_secret,
        form=row.form,
        substrate=row.substrate,
        substrate_note=row.substrate_note,
        wood_part=wood.part if wood else "",
        wood_position=wood.position if wood else "",
        wood_decay=wood.decay if wood else None,
        wood_girth_cm=wood.girth_cm if wood else None,
        habitat=row.habitat,
        soil=row.soil,
        count=row.count,
        growth=row.growth,
        stage=row.stage,
        base=row.base,
        in_hand=row.in_hand,
        spore_print=row.spore_print,
        specimen_kept=row.specimen_kept,
        specimen_number=row.specimen_number,
        notes=row.notes,
        created_at=_evening(row.day),
    )
    cells_set(find)
    return find


def _numbered(finds: list[Find]) -> None:
    """Give each find the next number of its year."""
    years: dict[int, YearNumber] = {}
    for find in finds:
        if find.year not in years:
            years[find.year], _made = YearNumber.objects.get_or_create(year=find.year)
        years[find.year].last += 1
        find.number = years[find.year].last
    YearNumber.objects.bulk_update(years.values(), ["last"])


def _each(pairs: Iterable[tuple[PlannedFind, Find]], rows: Any) -> Rows:
    return [made for row, find in pairs for made in rows(row, find)]


def _organisms(row: PlannedFind, find: Find) -> Rows:
    return [
        AssociatedOrganism(
            find=find,
            taxon_id=_taxon_id(organism.name, HOST_GROUPS),
            as_written=organism.name,
            part=organism.part,
            certainty=organism.certainty,
            distance_m=organism.distance_m,
            state=organism.state,
        )
        for organism in row.organisms
    ]


def _readings(row: PlannedFind, find: Find) -> Rows:
    return [
        Reading(
            find=find,
            exposed=reading.exposed,
            reagent=reading.reagent,
            minutes=step.minute,
            looked=step.looked,
            seen=step.seen,
        )
        for reading in row.readings
        for step in reading.steps
    ]


def _characters(pairs: Iterable[tuple[PlannedFind, Find]]) -> list[ObservedCharacter]:
    """Return the characters written down, of the species that each find truly is."""
    book, words = account_book(), vocabulary()
    noticeable = {
        code: Noticeable(
            tuple(state.code for state in row.states.all()), row.cost, row.cuts, row.never_asked
        )
        for code, row in words.items()
    }
    states = {
        (code, state.code): state for code, row in words.items() for state in row.states.all()
    }
    found = []
    for row, find in pairs:
        account = book.facts.get(_taxon_id(row.species) or 0)
        if account is None:
            continue
        may_take = row.base in ("lifted", "cut") or not row.base
        for code, state in characters_seen(
            row.uuid.int, account.states, noticeable, may_take=may_take
        ):
            found.append(
                ObservedCharacter(
                    uuid=uuid5(row.uuid, code),
                    find=find,
                    character_id=words[code].pk,
                    state_id=states[code, state].pk,
                )
            )
    return found


def _photographs(row: PlannedFind, find: Find, drawings: Drawings) -> Rows:
    found = []
    for position, view in enumerate(row.views):
        drawing = drawings[row.species, view]
        found.append(
            Photograph(
                uuid=uuid5(row.uuid, view),
                find=find,
                author_id=find.finder_id,
                view=view,
                position=position,
                state=PhotographState.READY,
                original=drawing.original,
                sha256=drawing.sha256,
                byte_size=drawing.byte_size,
                width=SIZE[0],
                height=SIZE[1],
                renditions=drawing.renditions,
                is_drawn=True,
                created_at=find.created_at,
            )
        )
    return found


def _eating_notes(row: PlannedFind, find: Find, people: People) -> Rows:
    return [
        EatingNote(
            find=find,
            by_id=people.ids[note.by],
            said_by=note.said_by,
            source=note.source,
            text=note.text,
        )
        for note in row.eating
        if note.where == "note"
    ]


def _slips(row: PlannedFind, find: Find, people: People) -> list[DeterminationSlip]:
    return [
        _slip(slip, find, people, uuid5(row.uuid, f"slip {position}"), position)
        for position, slip in enumerate(row.slips)
    ]


def _slip(
    slip: PlannedSlip, find: Find, people: People, uuid: UUID, position: int
) -> DeterminationSlip:
    taxon = _taxon(slip.written)
    by_id = people.ids[slip.by]
    return DeterminationSlip(
        uuid=uuid,
        find=find,
        name_written=slip.written,
        taxon=taxon,
        rank=taxon.rank if taxon else "",
        qualifier=slip.qualifier,
        by_id=by_id,
        entered_by_id=by_id,
        laid_at=_evening(slip.day) + dt.timedelta(minutes=10 * position),
        basis=slip.basis,
        literature=slip.literature,
        remarks=slip.remarks,
    )


@lru_cache(maxsize=2000)
def _taxon_id(written: str, groups: tuple[str, ...] = (Group.FUNGUS,)) -> int | None:
    """Read a name as the form would, once for each way of writing it."""
    return written_name_read(written, groups=groups).taxon_id


@lru_cache(maxsize=2000)
def _taxon(written: str) -> Taxon | None:
    pk = _taxon_id(written)
    return Taxon.objects.select_related("accepted").get(pk=pk) if pk else None


def _verdicts(
    row: PlannedFind, find: Find, slips: list[DeterminationSlip], people: People
) -> Iterator[Verdict]:
    """Yield a find's verdicts (not saved); the slip that one lays with it is saved here."""
    for position, verdict in enumerate(row.verdicts):
        slip = slips[verdict.slip] if verdict.slip is not None else None
        taxon = slip.taxon.current if slip is not None and slip.taxon is not None else None
        scope = _scope(people.scopes[people.ids[verdict.by]], taxon)
        if scope is None:
            continue
        laid_at = _evening(verdict.day) + dt.timedelta(hours=1, minutes=position)
        yield Verdict(
            uuid=uuid5(row.uuid, f"verdict {position}"),
            find=find,
            slip=slip,
            kind=verdict.kind,
            by_id=people.ids[verdict.by],
            scope=scope,
            laid_at=laid_at,
            at_rank=verdict.at_rank,
            reason=verdict.reason,
            wanted=verdict.wanted,
            other_slip=_other_slip(verdict, find, people, row.uuid, laid_at),
            evidence_version=find.evidence_version,
            required={"needs": taxon.needs if taxon else "", "first": False, "needs_two": False},
        )


def _other_slip(
    verdict: PlannedVerdict, find: Find, people: People, uuid: UUID, laid_at: dt.datetime
) -> DeterminationSlip | None:
    if not verdict.other_name:
        return None
    planned = PlannedSlip(verdict.by, verdict.day, verdict.other_name, "", "eye", "", "")
    slip = _slip(planned, find, people, uuid5(uuid, f"other {verdict.other_name}"), 0)
    slip.laid_at = laid_at - dt.timedelta(seconds=30)
    slip.save(force_insert=True)
    return slip


def _scope(scopes: list[Scope], taxon: Taxon | None) -> Scope | None:
    return next((scope for scope in scopes if scope_covers(scope.rank, scope.name, taxon)), None)


def _comments(row: PlannedFind, find: Find, people: People) -> Rows:
    return [
        Comment(
            uuid=uuid5(row.uuid, f"comment {position}"),
            find=find,
            by_id=people.ids[comment.by],
            at=_evening(comment.day) + dt.timedelta(minutes=position),
            text=comment.text,
        )
        for position, comment in enumerate(row.comments)
    ]


def _evening(day: dt.date) -> dt.datetime:
    return timezone.make_aware(dt.datetime.combine(day, EVENING))
