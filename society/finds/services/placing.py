"""Secrecy and the cells given out: worked out with every change of a find's place or names."""

from society.finds.models import Find
from society.names.models import Taxon
from society.science import blurring

# Field suffix and step, in 1e-7 degree, of each resolution a place may be given at.
CELLS = (("1", 10_000_000), ("01", 1_000_000), ("001", 100_000), ("0001", 10_000))
CELL_FIELDS = tuple(f"cell_{axis}_{suffix}" for suffix, _ in CELLS for axis in ("lat", "lon"))


def cells_set(find: Find) -> None:
    """Set the cell columns of ``find`` from its exact place (not saved)."""
    for suffix, step in CELLS:
        for axis in ("lat", "lon"):
            exact = getattr(find, f"{axis}_e7")
            setattr(
                find,
                f"cell_{axis}_{suffix}",
                None if exact is None else blurring.cell(exact, step),
            )


def secrecy_of(find: Find) -> int | None:
    """Return the category that every name ever laid on the find and its own secrecy demand.

    Names that no longer stand count too: the place of a find once called by a rare name draws
    collectors just the same. Costs one query.
    """
    taxa = Taxon.objects.filter(slips__find=find).select_related("accepted").distinct()
    category = find.made_secret
    for taxon in taxa:
        category = blurring.effective_category(taxon.current.sensitivity, category)
        category = blurring.effective_category(taxon.sensitivity, category)
    return category


def secrecy_refresh(find: Find) -> None:
    """Store the secrecy of ``find`` where it has changed."""
    secrecy = secrecy_of(find)
    if secrecy != find.secrecy:
        find.secrecy = secrecy
        find.save(update_fields=["secrecy", "updated_at"])
