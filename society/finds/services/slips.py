"""Laying determination slips. A slip is never edited and never removed."""

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from society.core.errors import Conflict, NotPermitted, Refused
from society.core.history import change_record
from society.finds.models import DeterminationSlip, Find
from society.finds.permissions import may_lay_slip, writer_id
from society.finds.services.entry import SlipEntry
from society.members.permissions import Viewer
from society.names.models import Taxon


def slip_add(find: Find, entry: SlipEntry, *, by: Viewer) -> DeterminationSlip:
    """Lay a slip on ``find`` inside the caller's transaction; the caller tells the review room.

    The same uuid, writer and words give the stored slip again.
    """
    if not may_lay_slip(by, find):
        raise NotPermitted(_("Only members may lay a slip."))
    if not entry.name_written.strip():
        raise Refused(_("Write the name."), "no_name", field="name")
    if entry.uuid is not None:
        stored = DeterminationSlip.objects.filter(uuid=entry.uuid).first()
        if stored is not None:
            return _resent(stored, find, entry, by)
    taxon = None
    if entry.taxon_id is not None:
        taxon = Taxon.objects.select_related("accepted").filter(pk=entry.taxon_id).first()
        if taxon is None:
            raise Refused(_("The checklist no longer holds this name."), "no_taxon", field="name")
    slip = DeterminationSlip(
        find=find,
        name_written=entry.name_written.strip(),
        taxon=taxon,
        rank=taxon.rank if taxon else "",
        qualifier=entry.qualifier,
        by_id=entry.by_id or find.finder_id,
        entered_by_id=writer_id(by),
        basis=entry.basis,
        literature=entry.literature,
        remarks=entry.remarks,
        **({"uuid": entry.uuid} if entry.uuid else {}),
    )
    slip.full_clean(exclude=_known(slip))
    try:
        with transaction.atomic():
            slip.save(force_insert=True)
    except IntegrityError:
        stored = DeterminationSlip.objects.get(uuid=slip.uuid)
        return _resent(stored, find, entry, by)
    change_record("find.slip_laid", find, actor_id=by.person_id, fields=["slips"])
    return slip


def _known(slip: DeterminationSlip) -> list[str]:
    """Return what need not be cleaned: rows just read, who is signed in, the finder of a find."""
    there = {slip.entered_by_id, slip.find.finder_id}
    return ["find", "uuid", "taxon", "entered_by", *(["by"] if slip.by_id in there else [])]


def _resent(
    stored: DeterminationSlip, find: Find, entry: SlipEntry, by: Viewer
) -> DeterminationSlip:
    if stored.entered_by_id != by.person_id or stored.find_id != find.pk:
        raise Refused(_("There is no such slip of yours."), "not_found")
    if (stored.name_written, stored.taxon_id) != (entry.name_written.strip(), entry.taxon_id):
        raise Conflict(_("This slip is already laid, with another name."), {"id": stored.pk})
    return stored
