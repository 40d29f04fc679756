"""Acts on a find through the services, and how the find stands after them."""

from typing import Any

from society.finds.models import DeterminationSlip, Find
from society.finds.services import SlipEntry
from society.members.models import Account
from society.names.models import Taxon
from society.review.models import DeskEntry, Verdict
from society.review.services import slip_lay, verdict_lay
from tests.make import viewer


def act(find: Find, by: Account, kind: str = "confirm", **over: Any) -> Verdict:
    """Lay a verdict on the find's latest slip."""
    slip = find.slips.order_by("pk").last()
    values = {"slip_id": slip.pk if slip else None, **over}
    return verdict_lay(find.pk, by=viewer(by), kind=kind, **values)


def lay(find: Find, by: Account, taxon: Taxon, **over: Any) -> DeterminationSlip:
    entry = SlipEntry(name_written=taxon.scientific_name, taxon_id=taxon.pk)
    return slip_lay(find.pk, entry, by=viewer(by), **over)


def fresh(find: Find) -> Find:
    return Find.objects.get(pk=find.pk)


def waits(find: Find) -> str:
    return DeskEntry.objects.get(find=find).waits
