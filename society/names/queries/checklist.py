"""Reads of the checklist: the name index kept in memory, look-ups, look-alikes, characters."""

import threading
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import Q, QuerySet

from society.names.models import (
    Character,
    ChecklistStamp,
    Danger,
    Group,
    LookAlike,
    Taxon,
    VernacularName,
)
from society.science import names as rule

MOST_CANDIDATES = 5
ASKED_FROM = 0.3  # confidence of the best candidate below which nobody is asked whether it is meant
_lock = threading.Lock()
_kept: tuple[int, rule.NameIndex] | None = None


@dataclass(frozen=True, slots=True)
class NameRow:
    """One line of a look-up: what matched, and the accepted name it leads to.

    ``via`` is the way it was found (see ``science.names.index``), ``matched`` the name that fitted,
    ``accepted`` the accepted name of a synonym, ``form`` that of the accepted name.
    """

    key: int
    name: str
    parts: list[tuple[str, bool]]
    via: str
    english: str
    accepted: str
    danger: str
    group: str
    form: str
    matched: str


def checklist_version() -> int:
    """Return the stamp that every change of names raises. One query."""
    return ChecklistStamp.objects.filter(pk=1).values_list("version", flat=True).first() or 0


def name_index() -> rule.NameIndex:
    """Return the index of every name, read anew when the stamp has moved; else one query."""
    global _kept
    version = checklist_version()
    if _kept is not None and _kept[0] == version:
        return _kept[1]
    with _lock:
        if _kept is None or _kept[0] != version:
            _kept = (version, rule.NameIndex(_index_entries()))
        return _kept[1]


def _index_entries() -> list[rule.IndexEntry]:
    """Two queries."""
    entries = []
    for taxon in Taxon.objects.select_related("accepted"):
        current = taxon.current
        kind: rule.EntryKind = "accepted"
        if taxon.accepted is not None:
            kind = rule.kind_of_synonym(taxon.scientific_name, taxon.accepted.scientific_name)
        entries.append(
            rule.IndexEntry(
                key=taxon.pk,
                name=taxon.scientific_name,
                kind="misapplied" if taxon.is_misapplied else kind,
                accepted_key=current.pk,
                group=taxon.group,
                rank=taxon.rank,
                dangerous=current.is_dangerous or taxon.is_dangerous,
            )
        )
    for name in VernacularName.objects.select_related("taxon__accepted"):
        current = name.taxon.current
        entries.append(
            rule.IndexEntry(
                key=name.taxon_id,
                name=name.name,
                kind="english",
                accepted_key=current.pk,
                group=current.group,
                rank=current.rank,
                dangerous=current.is_dangerous,
            )
        )
    return entries


def names_found(
    text: str, *, groups: tuple[str, ...] | None = None, limit: int = 20
) -> list[NameRow]:
    """Return the names that fit what was typed, best first. Three queries."""
    return _rows_of(name_index().search(text, limit=limit, groups=groups))


def _rows_of(matches: Iterable[rule.Match]) -> list[NameRow]:
    """Return what was found as lines to show, in order. Two queries."""
    matches = list(matches)
    taxa = {
        taxon.pk: taxon
        for taxon in Taxon.objects.select_related("accepted").filter(
            pk__in={match.key for match in matches}
        )
    }
    english = english_names({taxon.current.pk for taxon in taxa.values()})
    rows = []
    for match in matches:
        taxon = taxa.get(match.key)
        if taxon is None:
            continue
        current = taxon.current
        rows.append(
            NameRow(
                key=taxon.pk,
                name=taxon.scientific_name,
                parts=rule.render_parts(taxon.scientific_name, taxon.authorship),
                via=match.via,
                english=english.get(current.pk, ""),
                accepted=current.scientific_name if taxon.accepted_id else "",
                danger=danger_words(current) if current.is_dangerous else "",
                group=taxon.group,
                form=current.form,
                matched=match.matched_name,
            )
        )
    return rows


def look_up(text: str, *, groups: tuple[str, ...] | None = None) -> list[dict[str, Any]]:
    """Return the names that fit as the look-up answers them, ready for JSON. Three queries.

    ``via`` is the name that fitted where it is another than the row's, ``english`` the English name
    that fitted, else the one shown.
    """
    answers = []
    for row in names_found(text, groups=groups):
        is_english = row.via == "vernacular"
        answers.append(
            {
                "key": row.key,
                "name": row.name,
                "parts": row.parts,
                "via": row.matched if row.matched != row.name else "",
                "english": row.matched if is_english else row.english,
                "accepted": row.accepted,
                "danger": row.danger,
                "form": row.form,
                "group": row.group,
            }
        )
    return answers


def name_resolved(text: str, *, groups: tuple[str, ...] = (Group.FUNGUS,)) -> Taxon | None:
    """Return the row that the words name beyond doubt, else None; never by spelling."""
    resolution = name_index().resolve(text, by_spelling=False)
    if resolution.outcome != "resolved" or resolution.match is None:
        return None
    return Taxon.objects.filter(pk=resolution.match.key, group__in=groups).first()


def name_interpreted(text: str, *, fault: str | None = None) -> dict[str, Any]:
    """Return what a written name comes to, by spelling too, with the keys of ``interpret name``.

    ``name``, ``via`` and ``confidence`` are those of the name chosen, else None; ``candidates``
    hold the chosen one too. ``fault``: a code why the words could not be read. One query.
    """
    index = name_index()
    read = index.resolve(text, by_spelling=True)
    chosen = read.match
    blank = "blank" if not text.strip() else None
    return {
        "outcome": read.outcome,
        "reason": fault or blank or read.reason,
        "name": index.accepted_name(chosen) if chosen else None,
        "qualifier": read.qualifier,
        "via": chosen.via if chosen else None,
        "confidence": chosen.confidence if chosen else None,
        "candidates": [
            {
                "name": index.accepted_name(match),
                "via": match.via,
                "confidence": match.confidence,
            }
            for match in read.candidates[:MOST_CANDIDATES]
        ],
    }


@dataclass(frozen=True, slots=True)
class NameDoubt:
    """What a name that leads to no row beyond doubt may mean.

    ``is_near``: the words are near what is held; else they hold a name as written, and more, or one
    that is in use in another sense.
    """

    is_near: bool
    rows: list[NameRow]


def name_doubt(text: str, *, groups: tuple[str, ...] = (Group.FUNGUS,)) -> NameDoubt | None:
    """Return what a written name may mean, best first, where it is worth asking; else None.

    Each row carries its danger in words, to be shown beside it. At most three queries.
    """
    read = name_index().resolve(text, groups)
    near = read.candidates[:MOST_CANDIDATES]
    if read.outcome != "candidates" or near[0].confidence < ASKED_FROM:
        return None
    is_near = near[0].via not in ("exact", "synonym", "combination", "vernacular")
    return NameDoubt(is_near, _rows_of(near))


@dataclass(frozen=True, slots=True)
class WrittenRead:
    """What a name written freely comes to: the row it points at, if any, and its doubt."""

    taxon_id: int | None
    qualifier: str


def written_name_read(
    written: str, chosen_id: int | None = None, *, groups: tuple[str, ...] = (Group.FUNGUS,)
) -> WrittenRead:
    """Read a name as written, with the row chosen from a look-up, if one was.

    The choice counts only while the words still say its name: editing the words afterwards never
    leaves them pointing elsewhere.
    """
    written = written.strip()
    if not written:
        return WrittenRead(None, "")
    parsed = rule.parse_written_name(written)
    taxon = name_resolved(written, groups=groups)
    if taxon is None and chosen_id is not None:
        chosen = Taxon.objects.filter(pk=chosen_id, group__in=groups).first()
        if chosen is not None and _says(parsed, chosen):
            taxon = chosen
    return WrittenRead(taxon.pk if taxon else None, parsed.qualifier or "")


def _says(parsed: rule.WrittenName, taxon: Taxon) -> bool:
    """Whether the words name this row, by its scientific or one of its vernacular names."""
    words = rule.fold(" ".join(part for part in (parsed.genus, parsed.epithet) if part))
    if words and taxon.folded.startswith(words):
        return True
    return taxon.vernacular_names.filter(folded=rule.fold(parsed.text)).exists()


def english_names(taxon_ids: set[int]) -> dict[int, str]:
    """Return the English name to show for each accepted name that has one. One query."""
    rows = VernacularName.objects.filter(taxon_id__in=taxon_ids, language="en").order_by(
        "is_preferred", "-folded"
    )
    return {row.taxon_id: row.name for row in rows}


def english_lines(taxon: Taxon) -> list[str]:
    """Return the English names of a row, the one that is shown first. One query."""
    rows = taxon.vernacular_names.filter(language="en").order_by("-is_preferred", "pk")
    return [row.name for row in rows]


def checklist_rows(
    text: str = "", *, group: str = "", doubt: bool = False, kind: str = ""
) -> QuerySet[Taxon]:
    """Return the rows of the checklist that hold the text, in any of their names, by name.

    ``kind``: ``accepted`` or ``synonyms`` alone, else both. One query.
    """
    rows = Taxon.objects.select_related("accepted").order_by("folded", "pk")
    words = rule.fold(text)
    if words:
        named = VernacularName.objects.filter(folded__contains=words).values("taxon_id")
        rows = rows.filter(Q(folded__contains=words) | Q(pk__in=named))
    elif text.strip():
        return rows.none()
    if group:
        rows = rows.filter(group=group)
    if doubt:
        rows = rows.filter(is_doubtful=True)
    if kind in ("accepted", "synonyms"):
        rows = rows.filter(accepted__isnull=kind == "accepted")
    return rows


@dataclass(frozen=True, slots=True)
class ChecklistRow:
    """A row of the keepers' checklist, ready to print."""

    taxon: Taxon
    parts: list[tuple[str, bool]]
    english: str
    accepted_parts: list[tuple[str, bool]]
    danger: str


def checklist_shown(taxa: Iterable[Taxon]) -> list[ChecklistRow]:
    """Return rows with what the list shows; accepted names must be selected too. One query."""
    rows = list(taxa)
    english = english_names({taxon.pk for taxon in rows})
    return [
        ChecklistRow(
            taxon=taxon,
            parts=rule.render_parts(taxon.scientific_name, taxon.authorship),
            english=english.get(taxon.pk, ""),
            accepted_parts=(
                rule.render_parts(taxon.accepted.scientific_name) if taxon.accepted else []
            ),
            danger=danger_words(taxon) if taxon.danger else "",
        )
        for taxon in rows
    ]


def danger_words(taxon: Taxon) -> str:
    """Return the danger class of an accepted name in words, with its condition if one is held."""
    label = str(Danger(taxon.danger).label)
    return f"{label} ({taxon.danger_note})" if taxon.danger and taxon.danger_note else label


def look_alikes_of(taxon: Taxon) -> list[LookAlike]:
    """Return the look-alikes of a name, from both sides, the dangerous first. One query."""
    rows = (
        LookAlike.objects.filter(taxon=taxon) | LookAlike.objects.filter(other=taxon)
    ).select_related("taxon", "other")
    return sorted(rows, key=lambda row: (not other_of(row, taxon).is_dangerous, str(row.other)))


def other_of(row: LookAlike, taxon: Taxon) -> Taxon:
    """Return the name on the other side of a look-alike row."""
    return row.other if row.taxon_id == taxon.pk else row.taxon


def dangerous_look_alikes(taxon_ids: set[int]) -> dict[int, list[Taxon]]:
    """Return, for each accepted name, the dangerous ones it is taken for. One query."""
    found: dict[int, list[Taxon]] = {}
    dangers = (Danger.DEADLY, Danger.SERIOUS)
    rows = LookAlike.objects.filter(
        Q(taxon_id__in=taxon_ids, other__danger__in=dangers)
        | Q(other_id__in=taxon_ids, taxon__danger__in=dangers)
    ).select_related("taxon", "other")
    for row in rows:
        for one, other in ((row.taxon, row.other), (row.other, row.taxon)):
            if one.pk in taxon_ids and other.is_dangerous:
                held = found.setdefault(one.pk, [])
                if other not in held:
                    held.append(other)
    return found


def characters_by_form() -> list[Character]:
    """Return the characters that may be asked for, with their states, in order. Two queries."""
    return list(Character.objects.filter(never_asked=False).prefetch_related("states"))
