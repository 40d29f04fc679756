"""Who may lay a verdict on what. A scope covers a taxon by its order, family or genus."""

from society.finds.models import Find
from society.members.permissions import Viewer
from society.names.models import Taxon


def scope_covers(rank: str, name: str, taxon: Taxon | None) -> bool:
    """Whether a scope covers a name; only the scope for everything covers what has no name."""
    if rank == "all":
        return True
    if taxon is None:
        return False
    held = {"order": taxon.order, "family": taxon.family, "genus": taxon.genus}
    return bool(name) and held.get(rank, "").casefold() == name.casefold()


def in_scope(viewer: Viewer, taxon: Taxon | None) -> bool:
    """Whether any of the viewer's scopes covers this name."""
    current = taxon.current if taxon is not None else None
    return any(scope_covers(rank, name, current) for rank, name in viewer.scopes)


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
