"""Giving slips the row they were waiting for, when a keeper adds a name to the checklist.

The words of a slip never change. A slip whose name the checklist did not hold points at nothing;
once it does hold it, the slip points at its row: the one change its trigger lets through.
"""

from django.db import transaction

from society.core.history import change_record
from society.core.signals import find_changed
from society.finds.models import AssociatedOrganism, DeterminationSlip, Find
from society.names.models import HOST_GROUPS, Taxon
from society.names.queries import written_name_read
from society.science.names import fold


@transaction.atomic
def slips_link(taxon_ids: list[int]) -> int:
    """Point slips, and trees and plants, at names added since they were written.

    Only where the words name the row beyond doubt. Returns how many slips were linked; running it
    again finds none.
    """
    added = list(Taxon.objects.filter(pk__in=taxon_ids))
    genera = {fold(taxon.scientific_name).split(" ")[0] for taxon in added}
    linked: set[int] = set()
    count = 0
    for slip in DeterminationSlip.objects.filter(taxon=None):
        if fold(slip.name_written).split(" ")[0] not in genera:
            continue
        taxon_id = written_name_read(slip.name_written).taxon_id
        if taxon_id in taxon_ids:
            taxon = next(row for row in added if row.pk == taxon_id)
            DeterminationSlip.objects.filter(pk=slip.pk).update(taxon=taxon, rank=taxon.rank)
            linked.add(slip.find_id)
            count += 1
    for organism in AssociatedOrganism.objects.filter(taxon=None):
        if fold(organism.as_written).split(" ")[0] in genera:
            read = written_name_read(organism.as_written, groups=HOST_GROUPS)
            if read.taxon_id in taxon_ids:
                organism.taxon_id = read.taxon_id
                organism.save(update_fields=["taxon", "updated_at"])
    for find in Find.objects.filter(pk__in=linked):
        change_record("find.slip_linked", find, actor_id=None, fields=["slips"])
        find_changed.send(Find, find_id=find.pk, acted_by=None)
    return count
