"""Adding and editing names of the checklist."""

from collections.abc import Iterable
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from society.core.errors import Refused
from society.core.history import change_record, values_before
from society.core.signals import names_changed
from society.members.permissions import Viewer
from society.names.models import Group, Rank, Taxon, VernacularName
from society.names.permissions import keeper_demanded
from society.names.queries import english_lines
from society.names.services.merging import absorbed, leading_checked, rows_held
from society.names.services.stamp import stamp_raise
from society.science.names import fold

EDITABLE = (
    "scientific_name",
    "authorship",
    "rank",
    "group",
    "form",
    "genus",
    "family",
    "order",
    "accepted",
    "is_misapplied",
    "trophic",
    "hosts",
    "substrates",
    "month_from",
    "month_to",
    "needs",
    "danger",
    "danger_note",
    "sensitivity",
    "no_lifting",
    "source",
    "is_doubtful",
)


@transaction.atomic
def taxon_add(values: dict[str, Any], *, english: Iterable[str] = (), by: Viewer) -> Taxon:
    """Add a name to the checklist. The first of the English names is the one shown."""
    return _taxon_save(Taxon(), values, english, "name.added", by)


@transaction.atomic
def taxon_edit(
    taxon_id: int, values: dict[str, Any], *, english: Iterable[str] | None = None, by: Viewer
) -> Taxon:
    """Change a name. Slips keep the words as written and read the new name through this row.

    ``english`` None leaves the English names as they are. Where nothing differs nothing is
    written.
    """
    accepted = values.get("accepted")
    rows_held(taxon_id, *([accepted.pk] if accepted else []))
    taxon = Taxon.objects.get(pk=taxon_id)
    return _taxon_save(taxon, values, english, "name.edited", by)


def _taxon_save(
    taxon: Taxon,
    values: dict[str, Any],
    english: Iterable[str] | None,
    verb: str,
    by: Viewer,
) -> Taxon:
    keeper_demanded(by)
    unknown = set(values) - set(EDITABLE)
    if unknown:
        raise ValueError(f"not editable: {sorted(unknown)}")
    values = _tidied(taxon, values)
    prior = values_before(taxon, values) if taxon.pk else {}
    if taxon.pk and english is not None:
        held = english_lines(taxon)
        if _english_differs(held, list(_names(english).values())):
            prior["english"] = " | ".join(held)
    if taxon.pk and not prior:
        return taxon
    for name, value in values.items():
        setattr(taxon, name, value)
    taxon.folded = fold(taxon.scientific_name)
    taxon_checked(taxon)
    accepted = leading_checked(taxon)
    taxon.full_clean()
    is_new = taxon.pk is None
    if is_new:
        taxon.save()
    if english is not None and (is_new or "english" in prior):
        _english_set(taxon, _names(english))
    touched = {accepted.pk} if accepted else set()
    if accepted and not is_new and prior.get("accepted", accepted) is None:
        moved, kept = absorbed(taxon, accepted)
        touched.update(moved)
        prior |= kept
    if not is_new:
        taxon.save()
    change_record(verb, taxon, actor_id=by.person_id, prior=prior)
    stamp_raise()
    names_changed.send(Taxon, taxon_ids=[taxon.pk, *sorted(touched)])
    return taxon


def _tidied(taxon: Taxon, values: dict[str, Any]) -> dict[str, Any]:
    """Return the values with single blanks, and with what follows from the others filled in."""
    values = {
        name: " ".join(value.split()) if isinstance(value, str) else value
        for name, value in values.items()
    }
    if values.get("scientific_name") and not values.get("genus", taxon.genus):
        values["genus"] = genus_written(values["scientific_name"])
    if values.get("group", taxon.group) != Group.FUNGUS:
        values["form"] = ""
    return values


def genus_written(name: str) -> str:
    """The first word of a name, without the sign of a hybrid."""
    words = [word for word in name.replace("×", " ").split() if word.lower() != "x"]
    return words[0] if words else ""


def taxon_checked(taxon: Taxon) -> None:
    """Refuse what no single column can tell."""
    name_fits(taxon)
    if (
        Taxon.objects.filter(
            folded=taxon.folded, group=taxon.group, is_misapplied=taxon.is_misapplied
        )
        .exclude(pk=taxon.pk)
        .exists()
    ):
        raise Refused(
            _("The checklist already holds this name."), "held_already", field="scientific_name"
        )
    months = (taxon.month_from, taxon.month_to)
    if (months[0] is None) != (months[1] is None):
        missing = "month_from" if months[0] is None else "month_to"
        raise Refused(_("Give both months or neither."), "half_a_season", field=missing)
    for name, month in zip(("month_from", "month_to"), months, strict=True):
        if month is not None and not 1 <= month <= 12:
            raise Refused(_("Months go from 1 to 12."), "no_such_month", field=name)
    if taxon.danger_note and not taxon.danger:
        raise Refused(
            _("Choose the danger that this is a condition of, or leave this empty."),
            "condition_without_danger",
            field="danger_note",
        )
    if taxon.is_misapplied and taxon.accepted is None:
        raise Refused(
            _("A misapplied name leads to the name that was meant. Say which."),
            "misapplied_leads_nowhere",
            field="accepted",
        )


def name_fits(taxon: Taxon) -> None:
    """Refuse a fungus's name that does not go with its rank or genus."""
    if taxon.group != Group.FUNGUS or not taxon.scientific_name:
        return
    words = taxon.scientific_name.replace("×", " ").split()
    if not words or not words[0][:1].isupper():
        raise Refused(
            _("A scientific name begins with a genus, in a capital letter."),
            "no_capital",
            field="scientific_name",
        )
    if (taxon.rank == Rank.GENUS) != (len(words) == 1):
        raise Refused(
            _("A genus is one word; every other name has more. Change the rank or the name."),
            "rank_differs",
            field="rank",
        )
    if taxon.genus != genus_written(taxon.scientific_name):
        raise Refused(
            _("The name does not begin with this genus. Leave it empty to take the name's own."),
            "genus_differs",
            field="genus",
        )


def _names(english: Iterable[str]) -> dict[str, str]:
    """English names by their folded form, in order, each once."""
    names: dict[str, str] = {}
    for line in english:
        name = " ".join(line.split())
        if name:
            names.setdefault(fold(name), name)
    return names


def _english_set(taxon: Taxon, wanted: dict[str, str]) -> None:
    """Write what differs alone: rows that stay keep their ids, which a merging has on record."""
    rows = taxon.vernacular_names.filter(language="en")
    rows.exclude(folded__in=wanted).delete()
    held = {row.folded: row for row in rows}
    for position, (folded, name) in enumerate(wanted.items()):
        row = held.get(folded) or VernacularName(taxon=taxon, language="en", folded=folded)
        said = (name, position == 0)
        if not row._state.adding and (row.name, row.is_preferred) == said:
            continue
        row.name, row.is_preferred = said
        try:
            row.full_clean()
        except ValidationError as error:
            raise Refused(
                f"{name[:40]}: {' '.join(error.messages)}", "bad_english_name", field="english"
            ) from error
        row.save()


def _english_differs(held: list[str], wanted: list[str]) -> bool:
    """Whether other names are wanted, or another one to be shown; the rest has no order."""
    return held[:1] != wanted[:1] or sorted(held) != sorted(wanted)
