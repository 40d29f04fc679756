"""What evidence a find has, what would help a referee, and what a referee may ask for."""

from society.finds.models import DeterminationSlip, Find
from society.names.models import Taxon
from society.review.models import Wanted
from society.science import evidence

# Milk caps; other genera bleed too, and there the milk is a character to be noted first.
GENERA_WITH_MILK = ("Lactarius", "Lactifluus")


def taxon_of(slip: DeterminationSlip | None) -> Taxon | None:
    """Return the accepted name that a slip leads to."""
    return slip.taxon.current if slip is not None and slip.taxon is not None else None


def may_lift_and_cut(find: Find, taxon: Taxon | None) -> bool:
    """Whether the find's site and this name allow lifting and cutting."""
    site_allows = find.site is None or find.site.may_lift_and_cut
    return site_allows and (taxon is None or not taxon.no_lifting)


def evidence_facts(find: Find, taxon: Taxon | None) -> tuple[str, evidence.EvidenceFacts, bool]:
    """Return the find's form, what it has, and whether its site and name allow lifting and cutting.

    The find's rows are read where they were not prefetched.
    """
    form = (taxon.form if taxon is not None else "") or find.form
    allowed = may_lift_and_cut(find, taxon)
    kept = [photo for photo in find.photographs.all() if photo.removed_at is None]
    readings = [row for row in find.readings.all() if row.removed_at is None and row.looked]
    facts = evidence.EvidenceFacts(
        views=frozenset(photo.view for photo in kept if photo.view),
        has_habitat=bool(find.habitat),
        has_hosts=any(row.removed_at is None for row in find.organisms.all()),
        has_substrate=bool(find.substrate),
        base=find.base,
        has_print=bool(find.spore_print),
        characters=frozenset(row.character.code for row in find.observed_characters.all()),
        readings=frozenset(row.exposed for row in readings),
        in_hand=find.in_hand,
        needs=taxon.needs if taxon is not None else "eye",
        has_specimen=find.specimen_kept,
        gives_milk=taxon is not None and taxon.genus in GENERA_WITH_MILK,
    )
    return form, facts, allowed


def missing(find: Find, taxon: Taxon | None) -> list[evidence.Wanted]:
    """Return what would help a referee, from what is recorded; nothing that may not be taken."""
    form, facts, allowed = evidence_facts(find, taxon)
    return evidence.missing(form, facts, may_lift=allowed, may_cut=allowed)


def askable(find: Find, taxon: Taxon | None) -> tuple[str, ...]:
    """Return what may be asked of a find under this name: allowed, not there, still to be had."""
    form, facts, allowed = evidence_facts(find, taxon)
    codes = evidence.may_be_asked(form, facts, may_lift=allowed, may_cut=allowed)
    return tuple(code for code in codes if code in Wanted.values)


def may_be_asked(find: Find) -> tuple[str, ...]:
    """Return what a referee may ask of this find, under the name it carries now."""
    slips = list(find.slips.select_related("taxon__accepted").order_by("pk"))
    current = next((slip for slip in slips if slip.pk == find.standing_slip_id), None)
    return askable(find, taxon_of(current or (slips[-1] if slips else None)))
