"""Writes to the checklist: loading it from the room's data, adding and editing names."""

import csv
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.db import transaction
from django.db.models import F
from django.utils.translation import gettext as _

from society.core.errors import NotPermitted, Refused
from society.core.history import change_record, values_before
from society.core.signals import names_changed
from society.members.permissions import Viewer
from society.names.models import (
    Character,
    CharacterState,
    ChecklistStamp,
    Group,
    LookAlike,
    Rank,
    Taxon,
    VernacularName,
)
from society.science.names import fold

DATA = Path(__file__).parent / "data"
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
    "trophic",
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


@dataclass(frozen=True, slots=True)
class LoadReport:
    """How many rows of each kind the data holds, and how many of them were new."""

    names: int
    synonyms: int
    hosts: int
    look_alikes: int
    characters: int
    new_names: int


@transaction.atomic
def checklist_load(folder: Path = DATA) -> LoadReport:
    """Load the checklist's files; loading twice changes nothing, and a keeper's edits stay.

    A row is known by its folded name and group. Rows that the database holds are left alone.
    """
    before = Taxon.objects.count()
    fungi = [row for file in sorted(folder.glob("fungi_*.csv")) for row in _rows(file)]
    hosts = list(_rows(folder / "hosts.csv"))
    _taxa_add([_fungus(row) for row in fungi] + [_host(row) for row in hosts])
    synonyms = list(_rows(folder / "synonyms.csv"))
    _synonyms_add([row for row in synonyms if row["kind"] != "english"])
    further = [
        {"scientific_name": row["accepted"], "english": row["synonym"]}
        for row in synonyms
        if row["kind"] == "english"
    ]
    _vernacular_names_add([*fungi, *hosts, *further])
    look_alikes = list(_rows(folder / "look_alikes.csv"))
    _look_alikes_add(look_alikes)
    characters = list(_rows(folder / "characters.csv"))
    _characters_add(characters)
    stamp_raise()
    return LoadReport(
        names=len(fungi),
        synonyms=len(synonyms),
        hosts=len(hosts),
        look_alikes=len(look_alikes),
        characters=len(characters),
        new_names=Taxon.objects.count() - before,
    )


@transaction.atomic
def taxon_add(values: dict[str, Any], *, english: Iterable[str] = (), by: Viewer) -> Taxon:
    """Add a name to the checklist."""
    return _taxon_save(Taxon(), values, english, "name.added", by)


@transaction.atomic
def taxon_edit(
    taxon_id: int, values: dict[str, Any], *, english: Iterable[str] = (), by: Viewer
) -> Taxon:
    """Change a name. Slips keep the words as written and read the new name through this row."""
    taxon = Taxon.objects.select_for_update().get(pk=taxon_id)
    return _taxon_save(taxon, values, english, "name.edited", by)


def stamp_raise() -> None:
    """Tell every process that names have changed."""
    ChecklistStamp.objects.get_or_create(pk=1)
    ChecklistStamp.objects.filter(pk=1).update(version=F("version") + 1)


def _taxon_save(
    taxon: Taxon, values: dict[str, Any], english: Iterable[str], verb: str, by: Viewer
) -> Taxon:
    if not by.is_keeper:
        raise NotPermitted(_("Only keepers may change the checklist."))
    unknown = set(values) - set(EDITABLE)
    if unknown:
        raise ValueError(f"not editable: {sorted(unknown)}")
    prior = values_before(taxon, values) if taxon.pk else {}
    for name, value in values.items():
        setattr(taxon, name, value)
    taxon.folded = fold(taxon.scientific_name)
    if not taxon.genus:
        taxon.genus = taxon.scientific_name.split(" ")[0]
    _one_hop_kept(taxon)
    taxon.full_clean()
    taxon.save()
    _english_set(taxon, english)
    change_record(verb, taxon, actor_id=by.person_id, prior=prior)
    stamp_raise()
    names_changed.send(Taxon, taxon_ids=[taxon.pk])
    return taxon


def _one_hop_kept(taxon: Taxon) -> None:
    """A synonym points at an accepted name; what pointed at a name that became one moves on."""
    if taxon.accepted is None:
        return
    if taxon.accepted.accepted_id is not None:
        raise Refused(
            _("That name is itself a synonym. Choose the accepted name it leads to."),
            "not_one_hop",
            field="accepted",
        )
    if taxon.pk:
        Taxon.objects.filter(accepted_id=taxon.pk).update(accepted=taxon.accepted)


def _english_set(taxon: Taxon, english: Iterable[str]) -> None:
    wanted = {fold(name): name.strip() for name in english if name.strip()}
    taxon.vernacular_names.filter(language="en").exclude(folded__in=wanted).delete()
    for position, (folded, name) in enumerate(wanted.items()):
        row, _made = VernacularName.objects.get_or_create(
            taxon=taxon, language="en", folded=folded, defaults={"name": name}
        )
        row.name, row.is_preferred = name, position == 0
        row.full_clean()
        row.save()


def _rows(file: Path) -> Iterator[dict[str, str]]:
    with file.open(encoding="utf-8", newline="") as lines:
        yield from csv.DictReader(lines)


def _fungus(row: dict[str, str]) -> Taxon:
    month_from, _dash, month_to = row["months"].partition("-")
    return Taxon(
        scientific_name=row["scientific_name"],
        authorship=row["authorship"],
        folded=fold(row["scientific_name"]),
        rank=row["rank"],
        group=Group.FUNGUS,
        form=row["form"],
        genus=row["genus"],
        family=row["family"],
        order=row["order"],
        trophic=row["trophic"],
        hosts=_listed(row["hosts"]),
        substrates=_listed(row["substrate"]),
        month_from=int(month_from) if month_from else None,
        month_to=int(month_to or month_from) if month_from else None,
        needs=row["needs"] or "eye",
        danger=row["danger"],
        danger_note=row["danger_note"],
        sensitivity=int(row["sensitivity"]) if row["sensitivity"] else None,
        source=row["source"],
        is_doubtful=row["doubt"] == "yes",
    )


def _host(row: dict[str, str]) -> Taxon:
    return Taxon(
        scientific_name=row["scientific_name"],
        authorship=row["authorship"],
        folded=fold(row["scientific_name"]),
        rank=row["rank"],
        group=row["group"],
        genus=row["scientific_name"].split(" ")[0],
        family=row["family"],
        source=row["source"],
        is_doubtful=row["doubt"] == "yes",
    )


def _listed(text: str) -> list[str]:
    return [part.strip() for part in text.split("|") if part.strip()]


def _taxa_add(taxa: list[Taxon]) -> None:
    held = set(Taxon.objects.values_list("folded", "group"))
    new = {}
    for taxon in taxa:
        key = (taxon.folded, taxon.group)
        if key not in held:
            new[key] = taxon
    Taxon.objects.bulk_create(new.values(), batch_size=300)


def _synonyms_add(rows: list[dict[str, str]]) -> None:
    accepted = {
        taxon.folded: taxon for taxon in Taxon.objects.fungi().accepted().filter(is_misapplied=False)
    }
    held = set(Taxon.objects.fungi().values_list("folded", "is_misapplied"))
    new = []
    for row in rows:
        key = (fold(row["synonym"]), row["kind"] == "misapplied")
        target = accepted.get(fold(row["accepted"]))
        if target is None or key in held:
            continue
        held.add(key)
        new.append(
            Taxon(
                scientific_name=row["synonym"],
                authorship=row["authorship"],
                folded=key[0],
                rank=target.rank if target.rank != Rank.GENUS else Rank.GENUS,
                form=target.form,
                genus=row["synonym"].split(" ")[0],
                family=target.family,
                order=target.order,
                accepted=target,
                is_misapplied=key[1],
                needs=target.needs,
                source=row["source"],
            )
        )
    Taxon.objects.bulk_create(new, batch_size=300)


def _vernacular_names_add(rows: list[dict[str, str]]) -> None:
    taxa = {(taxon.folded, taxon.group): taxon for taxon in Taxon.objects.accepted()}
    held = set(VernacularName.objects.values_list("taxon_id", "folded"))
    new = []
    for row in rows:
        taxon = taxa.get((fold(row["scientific_name"]), row.get("group", Group.FUNGUS)))
        if taxon is None:
            continue
        for position, name in enumerate(_listed(row["english"])):
            key = (taxon.pk, fold(name))
            if key not in held:
                held.add(key)
                new.append(
                    VernacularName(
                        taxon=taxon, name=name, folded=key[1], is_preferred=position == 0
                    )
                )
    VernacularName.objects.bulk_create(new, batch_size=300)


def _look_alikes_add(rows: list[dict[str, str]]) -> None:
    taxa = {taxon.folded: taxon for taxon in Taxon.objects.fungi().select_related("accepted")}
    held = set(LookAlike.objects.values_list("taxon_id", "other_id"))
    for row in rows:
        one, other = taxa.get(fold(row["name"])), taxa.get(fold(row["other"]))
        if one is None or other is None:
            continue
        key = (one.current.pk, other.current.pk)
        if key in held or key[0] == key[1]:
            continue
        held.add(key)
        LookAlike.objects.create(
            taxon_id=key[0],
            other_id=key[1],
            separated_by=row["separated_by"],
            source=row["source"],
            is_verified=row["verified"] == "yes",
            in_poisonings=row["thought_to_be_eaten"] == "yes",
        )


def _characters_add(rows: list[dict[str, str]]) -> None:
    for position, row in enumerate(rows):
        character, _made = Character.objects.get_or_create(
            code=row["character"],
            defaults={
                "part": row["part"],
                "name": row["english"],
                "sentence": row["sentence"],
                "forms": _listed(row["form"]),
                "cost": row["cost"],
                "cuts": row["cuts"] == "yes",
                "position": int(row["order"] or position),
            },
        )
        held = set(character.states.values_list("code", flat=True))
        CharacterState.objects.bulk_create(
            CharacterState(character=character, code=code, name=name or code, position=number)
            for number, state in enumerate(_listed(row["states"]))
            for code, _equals, name in [state.partition("=")]
            if code not in held
        )

