"""Who may lay a verdict on what. A scope covers a taxon by its order, family or genus."""

from society.finds.models import Find
from society.members.permissions import Viewer
from society.names.models import Taxon


def scope_covers(rank: str, name: str, taxon: Taxon | None) -> bool:
    """Whether a scope covers a name; only the scope for everything covers what has no name.

    The name as it was pointed at counts as well as the accepted one, so that a genus taken apart
    takes no find from the referee who looked after it.
    """
    if rank == "all":
        return True
    if taxon is None or not name:
        return False
    wanted = name.casefold()
    return any(
        {"order": row.order, "family": row.family, "genus": row.genus}[rank].casefold() == wanted
        for row in (taxon, taxon.current)
    )


def in_scope(viewer: Viewer, taxon: Taxon | None) -> bool:
    """Whether any of the viewer's scopes covers this name."""
    return any(scope_covers(rank, name, taxon) for rank, name in viewer.scopes)


def may_confirm(viewer: Viewer, find: Find, taxon: Taxon | None) -> bool:
    """A referee in scope who is not the finder. Nobody confirms their own find."""
    return (
        viewer.person_id is not None
        and viewer.person_id != find.finder_id
        and find.withdrawn_at is None
        and in_scope(viewer, taxon)
    )


def may_comment(viewer: Viewer, find: Find) -> bool:
    return viewer.is_member and find.withdrawn_at is None


def speaks_for_finder(person_id: int | None, find: Find) -> bool:
    """Whether an answer by this person is the finder's: their own, or of who entered the find."""
    return person_id is not None and person_id in (find.finder_id, find.entered_by_id)


def may_withdraw_correction(viewer: Viewer, by_id: int) -> bool:
    """Whether the viewer may put back what the person ``by_id`` corrected in an account."""
    return viewer.person_id is not None and (viewer.is_keeper or viewer.person_id == by_id)
