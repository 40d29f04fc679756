"""Secrecy and the cells given out: worked out with every change of a find's place or names."""

from collections.abc import Iterable, Iterator

from django.db import transaction
from django.db.models import Q

from society.finds.models import DeterminationSlip, Find
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
    return _secrecy(find, Taxon.objects.filter(slips__find=find).select_related("accepted"))


def _secrecy(find: Find, taxa: Iterable[Taxon]) -> int | None:
    category = find.made_secret
    for taxon in taxa:
        for held in (taxon.sensitivity, taxon.current.sensitivity):
            category = blurring.effective_category(held, category)
    return category


def secrecy_refresh(find: Find, taxa: Iterable[Taxon] | None = None) -> bool:
    """Store the secrecy of ``find`` where it has changed; return whether it had.

    ``taxa`` are those of all its slips, where they are at hand.
    """
    return _secrecy_store(find, secrecy_of(find) if taxa is None else _secrecy(find, taxa))


def secrecy_refresh_many(finds: Iterable[Find]) -> None:
    """Do the same for many finds at once: two queries, and one for each that has changed."""
    for find, secrecy in _with_secrecy(finds):
        _secrecy_store(find, secrecy)


def _secrecy_store(find: Find, secrecy: int | None) -> bool:
    if secrecy == find.secrecy:
        return False
    find.secrecy = secrecy
    find.save(update_fields=["secrecy", "updated_at"])
    return True


@transaction.atomic
def secrecy_follow_names(taxon_ids: Iterable[int]) -> int:
    """Work out anew the secrecy of every find that bears one of these names, or a synonym of one.

    Called in the transaction that changed the names: no reader may see the places of a name just
    made sensitive. Returns how many finds changed.
    """
    ids = list(taxon_ids)
    named = DeterminationSlip.objects.filter(Q(taxon__in=ids) | Q(taxon__accepted__in=ids))
    finds = Find.objects.select_for_update().filter(pk__in=named.values("find_id"))
    return sum(_secrecy_store(find, secrecy) for find, secrecy in _with_secrecy(finds))


def places_recompute(*, check_only: bool = False, chunk: int = 500) -> list[Find]:
    """Work out every find's secrecy and cells; return those that did not agree.

    They are put right unless ``check_only``. Safe to run twice; short transactions.
    """
    wrong, last = [], 0
    while True:
        with transaction.atomic():
            rows = Find.objects.select_for_update().filter(pk__gt=last).order_by("pk")[:chunk]
            batch = list(_with_secrecy(rows))
            for find, secrecy in batch:
                before = [getattr(find, name) for name in CELL_FIELDS]
                cells_set(find)
                cells = [getattr(find, name) for name in CELL_FIELDS]
                if (secrecy, cells) == (find.secrecy, before):
                    continue
                wrong.append(find)
                if not check_only:
                    find.secrecy = secrecy
                    find.save(update_fields=["secrecy", *CELL_FIELDS, "updated_at"])
        if not batch:
            return wrong
        last = batch[-1][0].pk


def _with_secrecy(finds: Iterable[Find]) -> Iterator[tuple[Find, int | None]]:
    """Yield finds, each with the secrecy its names demand. Two queries."""
    rows = list(finds)
    named: dict[int, list[Taxon]] = {}
    slips = DeterminationSlip.objects.filter(
        find__in=[find.pk for find in rows], taxon__isnull=False
    )
    for slip in slips.select_related("taxon__accepted"):
        if slip.taxon is not None:
            named.setdefault(slip.find_id, []).append(slip.taxon)
    for find in rows:
        yield find, _secrecy(find, named.get(find.pk, ()))
