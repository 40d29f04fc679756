"""Giving and ending referees' scopes."""

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from society.core.errors import NotPermitted, Refused
from society.core.history import change_record
from society.members.permissions import Viewer, may_keep
from society.names.models import Taxon
from society.review.models import Scope, ScopeRank


@transaction.atomic
def scope_give(*, person_id: int, rank: str, name: str, by: Viewer) -> Scope:
    """Let a person referee an order, family, genus or everything; twice changes nothing.

    The name is taken as the checklist writes it; one that no fungus there bears is refused, since
    such a scope would cover nothing.
    """
    if not may_keep(by):
        raise NotPermitted(_("Only keepers may give scopes."))
    name = _as_in_checklist(rank, name.strip())
    held = Scope.objects.filter(person_id=person_id, rank=rank, name=name, ended_at=None).first()
    if held is not None:
        return held
    scope = Scope(person_id=person_id, rank=rank, name=name)
    scope.full_clean()
    scope.save()
    change_record("scope.given", scope, actor_id=by.person_id)
    return scope


@transaction.atomic
def scope_end(scope_id: int, *, by: Viewer) -> Scope:
    """End a scope. The row stays, since verdicts point at it, and what they settled stands."""
    if not may_keep(by):
        raise NotPermitted(_("Only keepers may end scopes."))
    scope = Scope.objects.select_for_update().get(pk=scope_id)
    if scope.ended_at is None:
        scope.ended_at = timezone.now()
        scope.save(update_fields=["ended_at", "updated_at"])
        change_record("scope.ended", scope, actor_id=by.person_id)
    return scope


def _as_in_checklist(rank: str, name: str) -> str:
    if rank == ScopeRank.ALL:
        return ""
    if rank not in ScopeRank.values or not name:
        raise Refused(_("Write the name of the order, family or genus."), "no_name", field="name")
    column = {"order": "order", "family": "family", "genus": "genus"}[rank]
    held = Taxon.objects.fungi().filter(**{f"{column}__iexact": name})
    found = held.values_list(column, flat=True).first()
    if not found:
        raise Refused(
            _("No fungus of the checklist stands under this name. Is it spelt so?"),
            "no_such_name",
            field="name",
        )
    return str(found)


@transaction.atomic
def scopes_end_of(person_id: int) -> int:
    """End every open scope of somebody who leaves; what they settled stands. Returns how many."""
    held = list(Scope.objects.select_for_update().filter(person_id=person_id, ended_at=None))
    for scope in held:
        scope.ended_at = timezone.now()
        scope.save(update_fields=["ended_at", "updated_at"])
        change_record("scope.ended", scope, actor_id=None)
    return len(held)
