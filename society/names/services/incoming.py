"""Comparing a checklist that was sent in with the one that is held. Nothing is written here.

A row is known by its folded name, its group, and whether it is a misapplied name; also by those it
had before a keeper changed them. What a keeper has edited stays, and no line lowers a danger,
makes places less secret or lets anybody lift what must not be lifted.
"""

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from django.core.exceptions import ValidationError
from django.db.models import Q

from society.core.models import Change, FieldVersion
from society.members.models import one_line
from society.names.models import (
    Danger,
    Form,
    Group,
    ListedStatus,
    Rank,
    Taxon,
    VernacularName,
)
from society.names.services.merging import (
    DANGERS,
    condition_lost,
    danger_lost,
    lifting_freed,
    sensitivity_lost,
)
from society.science.checklist_csv import EntryLine, TaxonLine
from society.science.names import fold

TAKEN_OVER = "name.taken_over"
PLAIN = ("authorship", "family", "order")
COMPARED = (
    *("scientific_name", "folded", "rank", "group", "form", "genus", "accepted", "needs"),
    *("is_misapplied", "danger", "danger_note", "sensitivity", "no_lifting"),
    *PLAIN,
)
LONGEST_ENGLISH = 80
Key = tuple[str, str, bool]


@dataclass(frozen=True, slots=True)
class LineOutcome:
    """What a line comes to: ``new``, ``held`` as it is, ``changed``, ``kept`` as a keeper left it,
    or ``left`` out (``why`` is a code).

    ``changes`` gives value before and after by field; ``leads_to`` is the accepted row of a
    synonym, unsaved where it is new itself.
    """

    line: TaxonLine
    outcome: str
    taxon: Taxon | None = None
    leads_to: Taxon | None = None
    changes: dict[str, tuple[str, str]] = field(default_factory=dict)
    why: str = ""


class Held:
    """Rows of the checklist that lines may concern, by every key they have or had.

    Five queries. ``lines`` None: the whole checklist.
    """

    def __init__(self, lines: Iterable[TaxonLine] | None = None) -> None:
        former = FieldVersion.objects.filter(
            change__object_kind=Taxon._meta.label_lower, field="scientific_name"
        ).values_list("change__object_id", "prior")
        names: dict[int, set[str]] = {}
        for taxon_id, prior in former:
            names.setdefault(taxon_id, set()).add(fold(prior))
        taxa = _whole_checklist() if lines is None else _rows_of(lines, names)
        self.taxa: dict[Key, Taxon] = {}
        self.renamed: set[Key] = set()
        self._enter(taxa, names)
        ids = None if lines is None else [taxon.pk for taxon in taxa]
        self.edited = _edited(ids)
        self.english = _english(ids)
        self.forms = _forms(None if lines is None else {line.genus for line in lines})

    def _enter(self, taxa: list[Taxon], names: dict[int, set[str]]) -> None:
        for taxon in taxa:
            self.taxa[taxon.folded, taxon.group, taxon.is_misapplied] = taxon
        for taxon in taxa:
            for name in names.get(taxon.pk, ()):
                key = (name, taxon.group, taxon.is_misapplied)
                if key not in self.taxa:
                    self.taxa[key] = taxon
                    self.renamed.add(key)

    def is_edited(self, taxon: Taxon, name: str) -> bool:
        fields = self.edited.get(taxon.pk, set())
        return "*" in fields or name in fields


def _whole_checklist() -> list[Taxon]:
    """Return every row with what a comparison reads, for looking only. One query."""
    rows = {row.pk: row for row in Taxon.objects.only(*COMPARED).order_by()}
    for row in rows.values():
        if row.accepted_id is not None:
            row.accepted = rows[row.accepted_id]
    return list(rows.values())


def _rows_of(lines: Iterable[TaxonLine], former: dict[int, set[str]]) -> list[Taxon]:
    """Return the rows that some lines may concern, whole. One query."""
    wanted = {fold(name) for line in lines for name in (line.name, line.accepted_name)}
    renamed = {pk for pk, held in former.items() if held & wanted}
    rows = Taxon.objects.select_related("accepted")
    return list(rows.filter(Q(folded__in=wanted) | Q(pk__in=renamed)))


def _edited(ids: list[int] | None) -> dict[int, set[str]]:
    """Return the fields that keepers have set, by row; '*' for a row that a keeper has made."""
    changes = Change.objects.filter(object_kind=Taxon._meta.label_lower).exclude(verb=TAKEN_OVER)
    if ids is not None:
        changes = changes.filter(object_id__in=ids)
    found: dict[int, set[str]] = {}
    for taxon_id, verb, fields in changes.values_list("object_id", "verb", "fields"):
        held = found.setdefault(taxon_id, set())
        held.update(["*"] if verb == "name.added" else fields)
        if verb == "name.parted":
            held.add("accepted")
    return found


def _english(ids: list[int] | None) -> dict[int, set[str]]:
    rows = VernacularName.objects.filter(language="en")
    if ids is not None:
        rows = rows.filter(taxon_id__in=ids)
    found: dict[int, set[str]] = {}
    for taxon_id, folded in rows.values_list("taxon_id", "folded"):
        found.setdefault(taxon_id, set()).add(folded)
    return found


def _forms(genera: set[str] | None) -> dict[str, str]:
    """Return the form that all held fungi of a genus share."""
    rows = Taxon.objects.fungi().accepted().exclude(form="")
    if genera is not None:
        rows = rows.filter(genus__in=genera)
    forms: dict[str, set[str]] = {}
    for genus, form in rows.values_list("genus", "form").distinct().order_by():
        forms.setdefault(genus, set()).add(form)
    return {genus: next(iter(held)) for genus, held in forms.items() if len(held) == 1}


def compared(lines: Iterable[TaxonLine], held: Held) -> list[LineOutcome]:
    """Return what each line comes to, in order. No query."""
    lines = list(lines)
    new = {line.key: line for line in lines if line.kind == "accepted"}
    return [_outcome(line, held, new) for line in lines]


def _outcome(line: TaxonLine, held: Held, new: dict[Key, TaxonLine]) -> LineOutcome:
    fault = _unfit(line)
    if fault:
        return LineOutcome(line, "left", why=fault)
    target, why = _target(line, held, new)
    if why:
        return LineOutcome(line, "left", why=why)
    taxon = held.taxa.get(line.key)
    if taxon is None:
        if target is not None and _severity(line.danger) > _severity(target.danger):
            return LineOutcome(line, "left", why="danger_lost")
        return LineOutcome(line, "new", leads_to=target)
    if line.key in held.renamed:
        return LineOutcome(line, "kept", taxon, why="renamed")
    return _against(line, taxon, target, held)


def _unfit(line: TaxonLine) -> str:
    """Return why a line fits no row of the checklist, '' where it does."""
    if line.group not in Group.values:
        return "group_unknown"
    if line.form and line.form not in Form.values:
        return "form_unknown"
    if line.danger not in Danger.values or (line.danger_note and not line.danger):
        return "danger_unknown"
    texts = (line.name, line.authorship, line.family, line.order, line.danger_note, *line.english)
    try:
        one_line(" ".join(texts))
    except ValidationError:
        return "not_kept"
    return "not_kept" if any(len(name) > LONGEST_ENGLISH for name in line.english) else ""


def _severity(danger: str) -> int:
    return DANGERS.index(Danger(danger))


def _target(line: TaxonLine, held: Held, new: dict[Key, TaxonLine]) -> tuple[Taxon | None, str]:
    """Return the accepted row that a synonym leads to, unsaved where it is new; and why none."""
    if line.kind == "accepted":
        return None, ""
    key = (fold(line.accepted_name), line.group, False)
    if key in held.taxa:
        target = held.taxa[key].current
        own = held.taxa.get(line.key)
        if own is not None and target.pk == own.pk:
            return None, "held_the_other_way"
        return target, ""
    if key in new:
        if _unfit(new[key]):
            return None, "leads_to_one_left_out"
        return taxon_of(new[key], None, ""), ""
    return None, "leads_nowhere"


def _against(line: TaxonLine, taxon: Taxon, target: Taxon | None, held: Held) -> LineOutcome:
    """Compare a line with the row that is held."""
    wanted: dict[str, tuple[str, str]] = {}
    for name in PLAIN:
        before, after = getattr(taxon, name), getattr(line, name)
        if after and after != before:
            wanted[name] = (before, after)
    if _severity(line.danger) > _severity(taxon.danger):
        wanted["danger"] = (taxon.danger, line.danger)
    added = [] if taxon.accepted_id else _english_new(line, taxon, held)
    if added:
        wanted["english"] = ("", " | ".join(added))
    why = ""
    before, after = _led(taxon.accepted), line.accepted_name if line.kind != "accepted" else ""
    if taxon.accepted_id != (target.pk if target else None) or bool(before) != bool(after):
        why = _leading_lost(taxon, target, line.danger)
        if not why:
            wanted["accepted"] = (before, after)
    return _settled(line, taxon, target, wanted, held, why)


def _settled(
    line: TaxonLine,
    taxon: Taxon,
    target: Taxon | None,
    wanted: dict[str, tuple[str, str]],
    held: Held,
    why: str,
) -> LineOutcome:
    changes = {
        name: values
        for name, values in wanted.items()
        # A danger may always be raised.
        if name == "danger" or not held.is_edited(taxon, name)
    }
    leads_to = target if "accepted" in changes else taxon.accepted
    if "danger" in changes and leads_to and _severity(line.danger) > _severity(leads_to.danger):
        # Everything reads the danger of the name it leads to: on this row nobody would see it.
        return LineOutcome(line, "left", taxon, why="danger_lost")
    if changes:
        return LineOutcome(line, "changed", taxon, target, changes, why)
    if why:
        return LineOutcome(line, "left", taxon, why=why)
    return LineOutcome(line, "kept" if wanted else "held", taxon, why="edited" if wanted else "")


def _english_new(line: TaxonLine, taxon: Taxon, held: Held) -> list[str]:
    have = held.english.get(taxon.pk, set())
    names = {fold(name): name for name in line.english}
    return [name for folded, name in names.items() if folded not in have]


def _leading_lost(taxon: Taxon, target: Taxon | None, danger: str) -> str:
    """Return what would be lost if the row led to ``target``, or to nothing: a danger, a secret
    place, a ban on lifting."""
    after = target or taxon
    if condition_lost(taxon, after) or (target and _severity(danger) > _severity(target.danger)):
        return "danger_lost"
    for before in (taxon, taxon.current):
        if danger_lost(before, after):
            return "danger_lost"
        if sensitivity_lost(before, after):
            return "sensitivity_lost"
        if lifting_freed(before, after):
            return "no_lifting_lost"
    return ""


def _led(accepted: Taxon | None) -> str:
    return accepted.scientific_name if accepted else ""


def taxon_of(line: TaxonLine, accepted: Taxon | None, form: str) -> Taxon:
    """Return the unsaved row that a new line makes."""
    like = accepted or Taxon()
    return Taxon(
        scientific_name=line.name,
        folded=fold(line.name),
        authorship=line.authorship,
        rank=line.rank or Rank.SPECIES,
        group=line.group,
        form=(line.form or like.form or form) if line.group == Group.FUNGUS else "",
        genus=line.genus,
        family=line.family or like.family,
        order=line.order or like.order,
        accepted=accepted,
        is_misapplied=line.kind == "misapplied",
        needs=like.needs,
        danger=line.danger,
        danger_note=line.danger_note,
        is_doubtful=line.is_doubtful,
    )


@dataclass(frozen=True, slots=True)
class EntryOutcome:
    """What a line of a file of list entries comes to: ``new``, ``held``, ``kept`` in other words,
    or ``left`` (``why``)."""

    line: EntryLine
    outcome: str
    taxon_id: int | None = None
    why: str = ""


def entries_compared(lines: Iterable[EntryLine]) -> list[EntryOutcome]:
    """Return what each entry comes to, in order. Two queries.

    An entry belongs to the fungus of exactly that name, a synonym too; misapplied names aside.
    """
    taxa = {
        row.folded: row.pk
        for row in Taxon.objects.fungi().filter(is_misapplied=False).only("folded")
    }
    held: dict[Any, str] = {
        tuple(row[:5]): row[5]
        for row in ListedStatus.objects.values_list(
            "taxon_id", "kind", "area", "edition", "year", "says"
        )
    }
    outcomes = []
    for line in lines:
        taxon_id = taxa.get(fold(line.name))
        if taxon_id is None:
            outcomes.append(EntryOutcome(line, "left", why="name_not_held"))
            continue
        key = (taxon_id, line.kind, line.area, line.edition, line.year)
        said = held.setdefault(key, "")
        if not said:
            held[key] = line.says
            outcomes.append(EntryOutcome(line, "new", taxon_id))
        elif said == line.says:
            outcomes.append(EntryOutcome(line, "held", taxon_id))
        else:
            outcomes.append(EntryOutcome(line, "kept", taxon_id, why="other_words"))
    return outcomes
