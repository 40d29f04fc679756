"""Saying that a species was taken apart, and taking that back."""

import datetime as dt
from collections.abc import Iterable

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from society.core.errors import Refused
from society.core.history import change_record
from society.core.signals import names_changed
from society.members.permissions import Viewer
from society.names.models import Rank, Taxon, TaxonSplit
from society.names.permissions import keeper_demanded
from society.names.services.stamp import stamp_raise


@transaction.atomic
def taxon_split(
    taxon_id: int, *, day: dt.date, into_ids: Iterable[int], source: str, by: Viewer
) -> TaxonSplit:
    """State that from ``day`` a name holds in a narrower sense, and what it was split into.

    ``into_ids`` are accepted species; the name itself may be among them. Slips are not touched:
    how they read follows from the split.
    """
    keeper_demanded(by)
    taxon = Taxon.objects.select_for_update().get(pk=taxon_id)
    if taxon.accepted_id is not None:
        raise Refused(
            _("A synonym is not split. Split the name it leads to: %(accepted)s.")
            % {"accepted": taxon.accepted},
            "is_synonym",
        )
    if taxon.rank in (Rank.GENUS, Rank.SECTION):
        raise Refused(_("Only a species is split here."), "rank_not_split")
    if day > timezone.localdate():
        raise Refused(_("This day has not come yet."), "in_the_future", field="day")
    into = _parts_of(taxon, into_ids)
    split = TaxonSplit(taxon=taxon, day=day, source=" ".join(source.split()))
    if TaxonSplit.objects.filter(taxon=taxon, day=day).exists():
        raise Refused(_("This name already has a split of that day."), "held_already", field="day")
    split.full_clean()
    split.save()
    split.into.set(into)
    change_record("name.split", taxon, actor_id=by.person_id, fields=["splits"])
    _read_anew(taxon)
    return split


@transaction.atomic
def split_end(split_id: int, *, by: Viewer) -> Taxon:
    """Take a split back, as if it had never been stated; the history keeps what it said."""
    keeper_demanded(by)
    split = TaxonSplit.objects.select_for_update().select_related("taxon").get(pk=split_id)
    prior = {
        "day": split.day,
        "source": split.source,
        "into": sorted(split.into.values_list("pk", flat=True)),
    }
    taxon = split.taxon
    split.delete()
    change_record("name.split_taken_back", taxon, actor_id=by.person_id, prior=prior)
    _read_anew(taxon)
    return taxon


def _parts_of(taxon: Taxon, into_ids: Iterable[int]) -> list[Taxon]:
    ids = set(into_ids)
    into = list(Taxon.objects.filter(pk__in=ids).select_related("accepted"))
    for part in into:
        if part.accepted is not None:
            raise Refused(
                _("%(name)s is a synonym. Choose the name it leads to: %(accepted)s.")
                % {"name": part, "accepted": part.accepted},
                "not_accepted",
                field="into",
            )
        if part.group != taxon.group or part.rank in (Rank.GENUS, Rank.SECTION):
            raise Refused(
                _("%(name)s is no species of the same group.") % {"name": part},
                "no_species",
                field="into",
            )
    if len(into) != len(ids) or not ids - {taxon.pk}:
        raise Refused(
            _("Say which species it was split into; one of them at least is another."),
            "into_nothing",
            field="into",
        )
    return into


def _read_anew(taxon: Taxon) -> None:
    stamp_raise()
    names_changed.send(Taxon, taxon_ids=[taxon.pk])
