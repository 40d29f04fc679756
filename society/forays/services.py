"""Writes to visits."""

import datetime as dt
from collections.abc import Iterable
from typing import Any

from django.db import transaction
from django.utils.translation import gettext as _

from society.core.errors import NotPermitted
from society.core.history import change_record
from society.forays.models import Visit, VisitKind
from society.members.permissions import Viewer, may_organise


@transaction.atomic
def visit_add(
    *,
    site_id: int,
    date: dt.date,
    by: Viewer,
    kind: str = VisitKind.FORAY,
    title: str = "",
    leader_id: int | None = None,
    people_ids: Iterable[int] = (),
    **values: Any,
) -> Visit:
    """Add a visit: a foray by an organiser, or a member's own walk."""
    if not (may_organise(by) or (kind == VisitKind.WALK and by.is_member)):
        raise NotPermitted(_("Only organisers and keepers may add forays."))
    visit = Visit(
        site_id=site_id, date=date, kind=kind, title=title.strip(), leader_id=leader_id, **values
    )
    visit.full_clean()
    visit.save()
    visit.people.set(people_ids)
    change_record("visit.added", visit, actor_id=by.person_id)
    return visit
