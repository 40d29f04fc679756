"""Adding and editing names of the checklist."""

from collections.abc import Iterable
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Q
from django.utils.translation import gettext as _

from society.core.errors import NotPermitted, Refused
from society.core.history import change_record, values_before
from society.core.signals import names_changed
from society.members.permissions import Viewer
from society.names.models import Danger, Group, LookAlike, Rank, Taxon, VernacularName
from society.names.queries import english_lines
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
_DANGERS = [Danger.NONE_HELD, Danger.ILLNESS, Danger.SERIOUS, Danger.DEADLY]


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
    taxon = Taxon.objects.select_for_update().get(pk=taxon_id)
    return _taxon_save(taxon, values, english, "name.edited", by)


def _taxon_save(
    taxon: Taxon,
    values: dict[str, Any],
    english: Iterable[str] | None,
    verb: str,
    by: Viewer,
) -> Taxon:
    if not by.is_keeper:
        raise NotPermitted(_("Only keepers may change the checklist."))
    unknown = set(values) - set(EDITABLE)
    if unknown:
        raise ValueError(f"not editable: {sorted(unknown)}")
    values = _tidied(taxon, values)
    prior = values_before(taxon, values) if taxon.pk else {}
    if taxon.pk and english is not None:
        held = english_lines(taxon)
        if held != list(_names(english).values()):
            prior["english"] = " | ".join(held)
    if taxon.pk and not prior:
        return taxon
    for name, value in values.items():
        setattr(taxon, name, value)
    taxon.folded = fold(taxon.scientific_name)
    _checked(taxon)
    moved = _one_hop_kept(taxon)
    taxon.full_clean()
    taxon.save()
    if english is not None:
        _english_set(taxon, _names(english))
    change_record(verb, taxon, actor_id=by.person_id, prior=prior)
    stamp_raise()
    names_changed.send(Taxon, taxon_ids=[taxon.pk, *moved])
    return taxon


def _tidied(taxon: Taxon, values: dict[str, Any]) -> dict[str, Any]:
    """Return the values with single blanks, and with what follows from the others filled in."""
    values = {
        name: " ".join(value.split()) if isinstance(value, str) else value
        for name, value in values.items()
    }
    if values.get("scientific_name") and not values.get("genus", taxon.genus):
        values["genus"] = _genus_written(values["scientific_name"])
    if values.get("group", taxon.group) != Group.FUNGUS:
        values["form"] = ""
    return values


def _genus_written(name: str) -> str:
    """The first word of a name, without the sign of a hybrid."""
    words = [word for word in name.replace("×", " ").split() if word.lower() != "x"]
    return words[0] if words else ""


def _checked(taxon: Taxon) -> None:
    """Refuse what no single column can tell."""
    _name_fits(taxon)
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


def _name_fits(taxon: Taxon) -> None:
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
    if taxon.genus != _genus_written(taxon.scientific_name):
        raise Refused(
            _("The name does not begin with this genus. Leave it empty to take the name's own."),
            "genus_differs",
            field="genus",
        )


def _one_hop_kept(taxon: Taxon) -> list[int]:
    """Have a synonym point at an accepted name, and take along what pointed at itself.

    Synonyms and look-alikes of a name that becomes a synonym move to its accepted name, so that
    no danger is lost. Returns the ids of the rows that moved, and of the accepted name.
    """
    if taxon.accepted_id is None:
        return []
    accepted = Taxon.objects.select_for_update().get(pk=taxon.accepted_id)
    if accepted.pk == taxon.pk:
        raise Refused(_("A name is no synonym of itself."), "own_synonym", field="accepted")
    if accepted.accepted is not None:
        raise Refused(
            _("%(name)s is itself a synonym. Choose the name it leads to: %(accepted)s.")
            % {"name": accepted, "accepted": accepted.accepted},
            "not_one_hop",
            field="accepted",
        )
    if accepted.group != taxon.group:
        raise Refused(
            _("That name is of another group of organisms."), "other_group", field="accepted"
        )
    if _DANGERS.index(Danger(taxon.danger)) > _DANGERS.index(Danger(accepted.danger)):
        raise Refused(
            _("%(name)s is held as less dangerous than this name. Raise its danger first.")
            % {"name": accepted},
            "danger_lost",
            field="accepted",
        )
    if taxon._state.adding:
        return [accepted.pk]
    synonyms = Taxon.objects.filter(accepted_id=taxon.pk)
    moved = list(synonyms.values_list("pk", flat=True))
    synonyms.update(accepted=accepted)
    _look_alikes_moved(taxon, accepted)
    return [accepted.pk, *moved]


def _look_alikes_moved(taxon: Taxon, accepted: Taxon) -> None:
    """Write the look-alikes of one name on another; where that has the pair already, drop it."""
    rows = LookAlike.objects.filter(Q(taxon=taxon) | Q(other=taxon))
    for row in rows.order_by("pk"):
        if row.taxon_id == taxon.pk:
            row.taxon = accepted
        else:
            row.other = accepted
        pair = LookAlike.objects.filter(taxon_id=row.taxon_id, other_id=row.other_id)
        if row.taxon_id == row.other_id or pair.exclude(pk=row.pk).exists():
            row.delete()
        else:
            row.save(update_fields=["taxon", "other", "updated_at"])


def _names(english: Iterable[str]) -> dict[str, str]:
    """English names by their folded form, in order, each once."""
    names: dict[str, str] = {}
    for line in english:
        name = " ".join(line.split())
        if name:
            names.setdefault(fold(name), name)
    return names


def _english_set(taxon: Taxon, wanted: dict[str, str]) -> None:
    taxon.vernacular_names.filter(language="en").delete()
    for position, (folded, name) in enumerate(wanted.items()):
        row = VernacularName(
            taxon=taxon, language="en", folded=folded, name=name, is_preferred=position == 0
        )
        try:
            row.full_clean()
        except ValidationError as error:
            raise Refused(
                f"{name[:40]}: {' '.join(error.messages)}", "bad_english_name", field="english"
            ) from error
        row.save()
