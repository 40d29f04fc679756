"""Grow a logbook for measuring: the demo's finds copied, each copy some weeks and years away.

Every copy has its own slips, verdicts, organisms, photographs and entry on the desk, so that a
page costs what it would cost in a logbook of that size. Standing is copied, not worked out anew.
"""

import datetime as dt
from collections.abc import Iterable
from typing import Any
from uuid import uuid4

from django.db import transaction
from django.db.models import Max, Model

from society.finds.models import (
    AssociatedOrganism,
    DeterminationSlip,
    Find,
    Photograph,
    Reading,
    YearNumber,
)
from society.review.models import Comment, DeskEntry, Verdict

CHUNK = 400
CHILDREN = (AssociatedOrganism, Photograph, Reading, Comment)


def grow(to: int) -> int:
    """Copy finds until the logbook holds ``to``; return how many there are then."""
    base = list(Find.objects.order_by("pk"))
    held, turn = len(base), 0
    while held < to:
        turn += 1
        for start in range(0, len(base), CHUNK):
            part = base[start : start + CHUNK][: to - held]
            if not part:
                break
            with transaction.atomic():
                _copied(part, turn)
            held += len(part)
    _numbers_kept()
    return held


def _copied(finds: list[Find], turn: int) -> None:
    keys = [find.pk for find in finds]
    slips = list(DeterminationSlip.objects.filter(find_id__in=keys).order_by("pk"))
    verdicts = list(Verdict.objects.filter(find_id__in=keys).order_by("pk"))
    entries = list(DeskEntry.objects.filter(find_id__in=keys))
    standing = {find.pk: find.standing_slip_id for find in finds}
    new = [_moved(find, turn) for find in finds]
    Find.objects.bulk_create(new)
    find_of = {old: find.pk for old, find in zip(keys, new, strict=True)}
    slip_of = _children(DeterminationSlip, slips, find_of)
    for find, old in zip(new, keys, strict=True):
        find.standing_slip_id = slip_of.get(standing[old] or 0)
    Find.objects.bulk_update(new, ["standing_slip"])
    for verdict in verdicts:
        verdict.slip_id = slip_of.get(verdict.slip_id or 0)
        verdict.other_slip_id = slip_of.get(verdict.other_slip_id or 0)
        verdict.withdraws_id = None
    _children(Verdict, [row for row in verdicts if row.kind != "withdraw"], find_of)
    for entry in entries:
        entry.current_slip_id = slip_of.get(entry.current_slip_id or 0)
    _children(DeskEntry, entries, find_of)
    for model in CHILDREN:
        _children(model, model._default_manager.filter(find_id__in=keys), find_of)


def _moved(find: Find, turn: int) -> Find:
    """Return an unsaved copy so many years earlier, a few days off, under a number of its own."""
    values = {field.attname: getattr(find, field.attname) for field in Find._meta.concrete_fields}
    values.pop("id")
    moved = Find(**values)
    days = dt.timedelta(days=365 * turn + turn % 11)
    moved.uuid = uuid4()
    moved.date_start, moved.date_end = find.date_start - days, find.date_end - days
    moved.number = 100_000 * turn + find.pk
    moved.standing_slip_id = None
    return moved


def _children(model: type[Model], rows: Iterable[Any], find_of: dict[int, int]) -> dict[int, int]:
    """Copy rows to their copied finds; return the new key of each old one."""
    old_keys, copies = [], []
    for row in rows:
        values = {
            field.attname: getattr(row, field.attname) for field in model._meta.concrete_fields
        }
        old_keys.append(values.pop("id"))
        values["find_id"] = find_of[values["find_id"]]
        if "uuid" in values:
            values["uuid"] = uuid4()
        copies.append(model(**values))
    made = model._default_manager.bulk_create(copies, batch_size=500)
    return {old: new.pk for old, new in zip(old_keys, made, strict=True)}


def _numbers_kept() -> None:
    """Let the next number of each year follow the highest one given."""
    for row in Find.objects.values("year").annotate(last=Max("number")).order_by():
        YearNumber.objects.update_or_create(year=row["year"], defaults={"last": row["last"]})
