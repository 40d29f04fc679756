"""Who may change the checklist and the species accounts."""

from django.utils.translation import gettext as _

from society.core.errors import NotPermitted
from society.members.permissions import Viewer
from society.names.models import Taxon


def keeper_demanded(by: Viewer) -> None:
    """Refuse everybody but keepers."""
    if not by.is_keeper:
        raise NotPermitted(_("Only keepers may change the checklist."))


def may_correct_account(viewer: Viewer, taxon: Taxon) -> bool:
    """Whether the viewer may change what the account of a name says.

    Keepers may, and referees whose scope covers the name or the accepted name it leads to.
    """
    return viewer.is_keeper or any(
        _covers(rank, name.casefold(), row)
        for rank, name in viewer.scopes
        for row in (taxon, taxon.current)
    )


def _covers(rank: str, name: str, taxon: Taxon) -> bool:
    if rank == "all":
        return True
    held = {"order": taxon.order, "family": taxon.family, "genus": taxon.genus}
    return bool(name) and held.get(rank, "").casefold() == name
