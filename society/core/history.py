"""Writing history: one Change per act, with the values that stood before."""

import json
from collections.abc import Iterable, Mapping
from typing import Any

from django.db import models

from society.core.free_text import FreeText
from society.core.models import Change, FieldVersion


def change_record(
    verb: str,
    changed: models.Model,
    *,
    actor_id: int | None,
    fields: Iterable[str] = (),
    prior: Mapping[str, Any] | None = None,
) -> Change:
    """Write the history of one act on ``changed``; call inside the act's own transaction.

    ``verb`` is dotted (``find.edited``). ``prior`` maps field names to the values they had.
    """
    prior = prior or {}
    change = Change.objects.create(
        actor_id=actor_id,
        verb=verb,
        object_kind=changed._meta.label_lower,
        object_id=changed.pk,
        fields=sorted({*fields, *prior}),
    )
    FieldVersion.objects.bulk_create(
        FieldVersion(change=change, field=name, prior=_as_text(value))
        for name, value in prior.items()
    )
    return change


def values_before(stored: models.Model, new_values: Mapping[str, Any]) -> dict[str, Any]:
    """Return the stored values of those fields whose new value differs."""
    return {
        name: getattr(stored, name)
        for name, value in new_values.items()
        if _as_text(getattr(stored, name)) != _as_text(value)
    }


def _as_text(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, FreeText):
        return value.raw
    if isinstance(value, models.Model):
        return str(value.pk)
    if isinstance(value, (dict, list, tuple)):
        return json.dumps(value, ensure_ascii=False, default=str)
    return str(value)
