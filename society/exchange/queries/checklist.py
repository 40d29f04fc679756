"""The checklist as a table of Darwin Core taxa, which its own import reads back."""

from collections.abc import Iterator, Sequence
from itertools import islice

from django.utils.translation import gettext as _

from society.exchange.queries.tables import Cell, Column, Table
from society.members.models import Society
from society.names.models import Form, Group, Taxon, VernacularName
from society.safety.gate import NoticeContext, notice_line

ROWS_IN_ONE_READ = 500
# The standard's terms, then columns of our own. The last is the notice, as in every table.
HEADINGS = (
    *("taxonID", "scientificName", "scientificNameAuthorship", "taxonRank", "kingdom", "order"),
    *("family", "genus", "acceptedNameUsageID", "acceptedNameUsage", "taxonomicStatus"),
    *("vernacularName", "nomenclaturalCode", "group", "form", "danger", "dangerNote", "doubt"),
    "cautions",
)
_RANKS = {"aggregate": "species aggregate"}
_PLANTS = (Group.TREE, Group.SHRUB, Group.HERB, Group.FERN, Group.MOSS)


def checklist_table(society: Society) -> Table:
    """Return the whole checklist, accepted names first. Two queries for each 500 rows."""
    return Table(
        society=society.name,
        title=_("checklist"),
        sheet="",
        columns=[Column(heading) for heading in HEADINGS],
        rows=_rows(),
        about=(),
    )


def _rows() -> Iterator[Sequence[Cell]]:
    for is_synonym in (False, True):
        taxa = Taxon.objects.filter(accepted__isnull=not is_synonym).order_by("pk")
        last = 0
        while some := list(
            islice(taxa.filter(pk__gt=last).select_related("accepted"), ROWS_IN_ONE_READ)
        ):
            english = _english([taxon.pk for taxon in some])
            yield from (_row(taxon, english.get(taxon.pk, [])) for taxon in some)
            last = some[-1].pk


def _english(taxon_ids: list[int]) -> dict[int, list[str]]:
    found: dict[int, list[str]] = {}
    for taxon_id, name in VernacularName.objects.filter(
        taxon_id__in=taxon_ids, language="en"
    ).values_list("taxon_id", "name"):
        found.setdefault(taxon_id, []).append(name)
    return found


def _row(taxon: Taxon, english: list[str]) -> list[Cell]:
    current = taxon.current
    # What a reader may eat by mistake is the fungus, under whichever of its names.
    told = NoticeContext(danger=current.danger or taxon.danger)
    return [
        str(taxon.pk),
        taxon.scientific_name,
        taxon.authorship,
        _RANKS.get(taxon.rank, taxon.rank),
        _kingdom(taxon),
        taxon.order,
        taxon.family,
        taxon.genus,
        str(current.pk),
        current.scientific_name,
        _status(taxon),
        " | ".join(english),
        "" if taxon.group in (Group.INSECT, Group.DUNG) else "ICN",
        taxon.group,
        taxon.form,
        taxon.danger,
        taxon.danger_note,
        "yes" if taxon.is_doubtful else "",
        notice_line(told) if taxon.group == Group.FUNGUS else notice_line(),
    ]


def _status(taxon: Taxon) -> str:
    if taxon.accepted_id is None:
        return "accepted"
    return "misapplied" if taxon.is_misapplied else "synonym"


def _kingdom(taxon: Taxon) -> str:
    """The kingdom, where the group tells it beyond doubt: an alga's it does not."""
    if taxon.group == Group.FUNGUS:
        return "Protozoa" if taxon.form == Form.SLIME_MOULD else "Fungi"
    if taxon.group in _PLANTS:
        return "Plantae"
    return "Animalia" if taxon.group == Group.INSECT else ""
