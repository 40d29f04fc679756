"""Moving a name to another genus."""

from django.db import transaction
from django.utils.translation import gettext as _

from society.core.errors import Refused
from society.core.history import change_record, values_before
from society.core.signals import names_changed
from society.members.permissions import Viewer
from society.names.models import Rank, Taxon
from society.names.permissions import keeper_demanded
from society.names.services.stamp import stamp_raise
from society.names.services.taxa import genus_written, taxon_checked
from society.science.names import fold

NAMED = ("scientific_name", "authorship", "genus")


@transaction.atomic
def taxon_move(
    taxon_id: int,
    *,
    scientific_name: str,
    authorship: str,
    family: str = "",
    order: str = "",
    by: Viewer,
) -> Taxon:
    """Give an accepted name its new combination; the old one stays as a synonym.

    The row keeps its identity: slips keep their words and read the new name, and English names,
    look-alikes, account and danger stay where they are. Where the new combination is held as a
    synonym of this very name, the two rows change names. ``family`` and ``order`` empty: as before.
    """
    keeper_demanded(by)
    taxon = Taxon.objects.select_for_update().get(pk=taxon_id)
    name, authorship = (" ".join(text.split()) for text in (scientific_name, authorship))
    _movable(taxon, name)
    before = {field: getattr(taxon, field) for field in NAMED}
    values = {"scientific_name": name, "authorship": authorship, "genus": genus_written(name)}
    values |= {key: word for key, word in (("family", family), ("order", order)) if word}
    prior = values_before(taxon, values)
    row = _row_of_the_name(taxon, name)
    if row is not None:
        # Out of the way of the unique name, until it gets the old one below.
        Taxon.objects.filter(pk=row.pk).update(folded=f"~{row.pk}")
    for field, value in values.items():
        setattr(taxon, field, value)
    taxon.folded = fold(name)
    taxon_checked(taxon)
    taxon.full_clean()
    taxon.save()
    old = _old_name_kept(taxon, row, before, by)
    change_record("name.moved", taxon, actor_id=by.person_id, prior=prior)
    stamp_raise()
    names_changed.send(Taxon, taxon_ids=[taxon.pk, old.pk])
    return taxon


def _movable(taxon: Taxon, name: str) -> None:
    if taxon.accepted_id is not None:
        raise Refused(
            _("A synonym is not moved. Move the name it leads to: %(accepted)s.")
            % {"accepted": taxon.accepted},
            "is_synonym",
        )
    if taxon.rank in (Rank.GENUS, Rank.SECTION):
        raise Refused(
            _("Only a species, a variety or an aggregate is moved to another genus."),
            "rank_not_moved",
        )
    if fold(name) == taxon.folded:
        raise Refused(
            _("This is the name it has. To mend its author, edit the name."),
            "same_name",
            field="scientific_name",
        )


def _row_of_the_name(taxon: Taxon, name: str) -> Taxon | None:
    """Return the synonym of this name that holds the new combination, if one does."""
    held = Taxon.objects.filter(folded=fold(name), group=taxon.group, is_misapplied=False).first()
    if held is not None and held.accepted_id != taxon.pk:
        raise Refused(
            _("The checklist holds %(name)s as another name. Merge the two instead.")
            % {"name": held},
            "held_already",
            field="scientific_name",
        )
    return held


def _old_name_kept(taxon: Taxon, row: Taxon | None, before: dict[str, str], by: Viewer) -> Taxon:
    """Write the old combination as a synonym: a new row, or the one that held the new name."""
    if row is None:
        old = Taxon(
            rank=taxon.rank,
            group=taxon.group,
            form=taxon.form,
            family=taxon.family,
            order=taxon.order,
            needs=taxon.needs,
            source=taxon.source,
            accepted=taxon,
        )
        verb, prior = "name.added", {}
    else:
        old, verb = row, "name.edited"
        prior = values_before(old, before)
    for field, value in before.items():
        setattr(old, field, value)
    old.folded = fold(old.scientific_name)
    old.full_clean()
    old.save()
    change_record(verb, old, actor_id=by.person_id, prior=prior)
    return old
