"""What is taken for what: pairs added by hand and removed."""

from dataclasses import dataclass

from django.db import transaction
from django.db.models import Q
from django.utils.translation import gettext as _

from society.core.errors import Refused
from society.core.history import change_record
from society.members.permissions import Viewer
from society.names.models import Group, LookAlike, Taxon
from society.names.permissions import keeper_demanded
from society.names.services.stamp import stamp_raise


@dataclass(frozen=True, slots=True)
class LookAlikeEntry:
    """What a keeper says of a pair: what separates them, by which source."""

    separated_by: str
    source: str
    is_verified: bool = False
    in_poisonings: bool = False


@transaction.atomic
def look_alike_add(taxon_id: int, other_id: int, entry: LookAlikeEntry, *, by: Viewer) -> LookAlike:
    """Say that two accepted fungi are taken for each other; a pair stands once."""
    keeper_demanded(by)
    rows = Taxon.objects.select_related("accepted").in_bulk([taxon_id, other_id])
    taxon, other = rows[taxon_id].current, rows[other_id].current
    if taxon.pk == other.pk:
        raise Refused(_("A name is not taken for itself."), "same_name", field="other")
    if {taxon.group, other.group} != {Group.FUNGUS}:
        raise Refused(_("Both must be fungi."), "no_fungus", field="other")
    pair = Q(taxon=taxon, other=other) | Q(taxon=other, other=taxon)
    if LookAlike.objects.filter(pair).exists():
        raise Refused(_("This pair is held already."), "held_already", field="other")
    row = LookAlike(
        taxon=taxon,
        other=other,
        separated_by=" ".join(entry.separated_by.split()),
        source=" ".join(entry.source.split()),
        is_verified=entry.is_verified,
        in_poisonings=entry.in_poisonings,
    )
    row.full_clean()
    row.save()
    change_record("look_alike.added", row, actor_id=by.person_id)
    stamp_raise()
    return row


@transaction.atomic
def look_alike_remove(look_alike_id: int, *, by: Viewer) -> None:
    """Remove a pair entered in error; the history keeps what it said.

    A pair known from poisonings stays: that it was taken for the other is no matter of opinion.
    """
    keeper_demanded(by)
    row = LookAlike.objects.select_for_update().get(pk=look_alike_id)
    if row.in_poisonings:
        raise Refused(
            _("This pair is known from poisonings and stays. Add what separates them instead."),
            "known_from_poisonings",
        )
    prior = {
        "taxon": row.taxon_id,
        "other": row.other_id,
        "separated_by": row.separated_by,
        "source": row.source,
    }
    change_record("look_alike.removed", row, actor_id=by.person_id, prior=prior)
    row.delete()
    stamp_raise()
