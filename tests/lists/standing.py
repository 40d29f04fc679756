"""Making finds that stand so or so, without walking through the review room."""

from typing import Any

from society.finds.models import Find, Standing
from society.members.models import Account
from tests.make import make_find


def find_standing(
    standing: str = Standing.CONFIRMED, account: Account | None = None, **over: Any
) -> Find:
    """Post a find and write what stands for it, as the service of the review room would."""
    rank = over.pop("standing_rank", None)
    find = make_find(account, **over)
    slip = find.slips.select_related("taxon__accepted").last()
    taxon = slip.taxon.current if slip is not None and slip.taxon is not None else None
    find.standing = standing
    find.standing_slip = slip
    find.standing_taxon = taxon
    find.standing_rank = rank if rank is not None else (taxon.rank if taxon else "species")
    find.save()
    return find
