"""The one place that writes what stands and where a find waits."""

import datetime as dt
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import asdict

from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from society.core.history import change_record
from society.core.services import job_add
from society.finds.models import COUNTED, DeterminationSlip, Find
from society.members.models import Society
from society.names.models import Need, Taxon
from society.names.queries import split_days
from society.review.models import DeskEntry, Scope, Waits
from society.review.services.assessing import (
    Stands,
    Waiting,
    find_assessed,
    names_of,
    stands_stored,
    waiting_stored,
)

NAMES_JOB = "review.names_read_anew"
FINDS_AT_ONCE = 500
Splits = Mapping[int, Sequence[dt.date]]


@transaction.atomic(savepoint=False)
def standing_recompute(find_id: int, *, actor_id: int | None, undoing: bool = False) -> Find:
    """Work out anew what stands for a find and where it waits, in the act's own transaction.

    When an act is undone (``undoing``) the find goes back to the place it had in the queue.

    Six queries (the find, its slips, verdicts, its finder's scopes, splits of its names, its place
    on the desk), up to two for a wider name, and three to write what has changed.
    """
    find = Find.objects.select_for_update().get(pk=find_id)
    slips = list(find.slips.select_related("taxon__accepted").order_by("laid_at", "pk"))
    stands, waiting = find_assessed(
        find,
        slips,
        list(find.verdicts.order_by("laid_at", "pk")),
        Scope.objects.filter(person_id=find.finder_id),
        split_days(set().union(*map(names_of, slips))),
    )
    now = timezone.now()
    _stands_write(find, stands, actor_id, now)
    entry = _waiting(DeskEntry.objects.filter(find=find).first(), find, waiting, now, undoing)
    if entry is not None:
        entry.save()
    return find


@transaction.atomic(savepoint=False)
def standing_recompute_many(
    find_ids: Collection[int],
    *,
    actor_id: int | None,
    since: Mapping[int, dt.datetime] | None = None,
) -> None:
    """Do the same for many finds; ``since`` has the moments of those whose acts lie in the past.

    Eight queries to read them, and for each up to two for a wider name and three to write.
    """
    scopes, splits, now = _scopes_by_person(), split_days(), timezone.now()
    fresh: list[DeskEntry] = []
    finds = Find.objects.select_for_update().filter(pk__in=find_ids).order_by("pk")
    for find in finds.prefetch_related("slips__taxon__accepted", "verdicts", "desk_entry"):
        moment = (since or {}).get(find.pk, now)
        stands, waiting = _assessed(find, scopes[find.finder_id], splits)
        _stands_write(find, stands, actor_id, moment)
        entry = _waiting(getattr(find, "desk_entry", None), find, waiting, moment)
        if entry is not None and entry._state.adding:
            fresh.append(entry)
        elif entry is not None:
            entry.save()
    DeskEntry.objects.bulk_create(fresh)


def _stands_write(find: Find, stands: Stands, actor_id: int | None, moment: dt.datetime) -> None:
    before = stands_stored(find)
    if before == stands:
        return
    values = asdict(stands)
    for name, value in values.items():
        setattr(find, name, value)
    find.standing_since = moment
    find.save(update_fields=[*values, "standing_since", "updated_at"])
    if before.standing != stands.standing:
        change_record("find.standing_changed", find, actor_id=actor_id, fields=["standing"])


def _waiting(
    entry: DeskEntry | None,
    find: Find,
    waiting: Waiting,
    moment: dt.datetime,
    undoing: bool = False,
) -> DeskEntry | None:
    """Return the find's place on the desk with what has changed (not saved), None if nothing."""
    if entry is not None and waiting_stored(entry) == waiting:
        return None
    if entry is None:
        entry = DeskEntry(find=find, since=moment)
    elif waiting.waits == Waits.FOR_REFEREE != entry.waits and not undoing:
        entry.since = moment
    for name, value in asdict(waiting).items():
        setattr(entry, name, value)
    return entry


def standing_recompute_all(*, repair: bool) -> list[int]:
    """Compare what is stored of every find with the rule; return the ids that differed.

    With ``repair`` they are written anew, each in a transaction of its own. A find that somebody
    acts on meanwhile is looked at a second time, held, before it is said to differ.
    """
    scopes, splits = _scopes_by_person(), split_days()
    finds = Find.objects.order_by("pk").select_related("desk_entry")
    finds = finds.prefetch_related("slips__taxon__accepted", "verdicts")
    suspects = [
        find.pk
        for find in finds.iterator(chunk_size=FINDS_AT_ONCE)
        if _differs(find, scopes[find.finder_id], splits)
    ]
    return [pk for pk in suspects if _settled_anew(pk, repair=repair)]


@transaction.atomic
def _settled_anew(find_id: int, *, repair: bool) -> bool:
    find = Find.objects.select_for_update().get(pk=find_id)
    if not _differs(find, Scope.objects.filter(person_id=find.finder_id), split_days()):
        return False
    if repair:
        standing_recompute(find_id, actor_id=None)
    return True


def _scopes_by_person() -> dict[int, list[Scope]]:
    scopes: dict[int, list[Scope]] = defaultdict(list)
    for scope in Scope.objects.all():
        scopes[scope.person_id].append(scope)
    return scopes


def _assessed(
    find: Find, finders_scopes: Iterable[Scope], splits: Splits
) -> tuple[Stands, Waiting]:
    """Assess a find whose slips and verdicts have been fetched."""
    slips = sorted(find.slips.all(), key=lambda slip: (slip.laid_at, slip.pk))
    verdicts = sorted(find.verdicts.all(), key=lambda verdict: (verdict.laid_at, verdict.pk))
    return find_assessed(find, slips, verdicts, finders_scopes, splits)


def _differs(find: Find, finders_scopes: Iterable[Scope], splits: Splits) -> bool:
    stands, waiting = _assessed(find, finders_scopes, splits)
    entry = getattr(find, "desk_entry", None)
    return stands_stored(find) != stands or entry is None or waiting_stored(entry) != waiting


def names_read_anew_later(taxon_ids: Collection[int]) -> None:
    """Have the finds under these names read anew by a Job, since a common name has many."""
    job_add(NAMES_JOB, {"taxon_ids": sorted(taxon_ids)})


def names_read_anew(taxon_ids: Collection[int]) -> int:
    """Work out anew what stands for every find with a slip of these names; returns how many."""
    slips = DeterminationSlip.objects.filter(
        Q(taxon_id__in=taxon_ids) | Q(taxon__accepted_id__in=taxon_ids)
    )
    find_ids = sorted(set(slips.values_list("find_id", flat=True)))
    for find_id in find_ids:
        standing_recompute(find_id, actor_id=None)
    return len(find_ids)


def required_now(find: Find, taxon: Taxon | None) -> dict[str, object]:
    """Return what the name requires at this moment, to be kept with a verdict. Two queries.

    A first for the society asks for a second referee only once the old books are entered, and
    never for a name that is settled by eye.
    """
    if taxon is None:
        return {"needs": "", "first": False, "needs_two": False}
    held = Find.objects.laid().filter(standing_taxon=taxon, standing__in=COUNTED)
    first = not held.exclude(pk=find.pk).exists()
    books = Society.objects.filter(pk=1, old_books_entered=True).exists()
    return {
        "needs": taxon.needs,
        "first": first,
        "needs_two": bool(first and books and taxon.needs != Need.EYE),
    }
