"""Loading the starter checklist from the room's files, again and again without harm."""

import csv
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import product
from pathlib import Path

from django.db import transaction

from society.core.models import Change, FieldVersion
from society.names.models import (
    Character,
    CharacterState,
    Group,
    LookAlike,
    Taxon,
    VernacularName,
)
from society.names.services.stamp import stamp_hold, stamp_raise
from society.science.names import fold

DATA = Path(__file__).resolve().parents[1] / "data"
BATCH = 300

Row = dict[str, str]
Key = tuple[str, str, bool]
"""Folded name, group, and whether it is a misapplied name."""


@dataclass(frozen=True, slots=True)
class LoadReport:
    """How many rows of each kind the files hold, and how many of them were new.

    ``leading_nowhere``: names of the files that point at a name which neither they nor the
    database hold; such rows are left out.
    """

    names: int
    synonyms: int
    english: int
    hosts: int
    look_alikes: int
    characters: int
    new_rows: int
    leading_nowhere: tuple[str, ...]


@transaction.atomic
def checklist_load(folder: Path = DATA) -> LoadReport:
    """Load the checklist's files; loading twice changes nothing, and a keeper's edits stay.

    A row is known by its folded name, group and kind, also by those it had before a keeper
    changed them. Rows that the database holds are left alone, and a name that a keeper has added
    or edited gets no English names from the files.
    """
    stamp_hold()
    files = _Files(folder)
    held = _Held()
    new = held.taxa_add([*map(_fungus, files.fungi), *map(_host, files.hosts)])
    new += held.taxa_add(held.synonyms_of(files.synonyms))
    new += held.english_add(files.english)
    new += held.look_alikes_add(files.look_alikes)
    new += _characters_add(files.characters, files.sentences)
    new += held.sentences_add(files.sentences)
    if new:
        stamp_raise()
    return LoadReport(
        names=len(files.fungi),
        synonyms=len(files.synonyms),
        english=len(held.english),
        hosts=len(files.hosts),
        look_alikes=len(files.look_alikes),
        characters=len(files.characters),
        new_rows=new,
        leading_nowhere=tuple(held.leading_nowhere),
    )


class _Files:
    """The rows of the files, by what they are."""

    def __init__(self, folder: Path) -> None:
        self.fungi = [row for file in sorted(folder.glob("fungi_*.csv")) for row in _rows(file)]
        self.hosts = list(_rows(folder / "hosts.csv"))
        other_names = list(_rows(folder / "synonyms.csv"))
        self.synonyms = [row for row in other_names if row["kind"] != "english"]
        further = [
            {"scientific_name": row["accepted"], "english": row["synonym"]}
            for row in other_names
            if row["kind"] == "english"
        ]
        self.english = [*self.fungi, *self.hosts, *further]
        self.look_alikes = list(_rows(folder / "look_alikes.csv"))
        self.characters = list(_rows(folder / "characters.csv"))
        sentences = folder / "states.csv"
        self.sentences = list(_rows(sentences)) if sentences.exists() else []


class _Held:
    """What the database holds, found by every key that a row has or once had. Five queries."""

    def __init__(self) -> None:
        self.taxa: dict[Key, Taxon] = {}
        self.edited: set[int] = set()
        self.english: set[tuple[int, str]] = set()
        self.leading_nowhere: list[str] = []
        rows = {taxon.pk: taxon for taxon in Taxon.objects.select_related("accepted")}
        for taxon in rows.values():
            self.taxa[_key(taxon)] = taxon
        self._former_keys_entered(rows)

    def _former_keys_entered(self, rows: dict[int, Taxon]) -> None:
        kind = Taxon._meta.label_lower
        self.edited = set(
            Change.objects.filter(object_kind=kind).values_list("object_id", flat=True)
        )
        before: dict[int, dict[str, set[str]]] = {}
        for taxon_id, name, prior in FieldVersion.objects.filter(
            change__object_kind=kind, field__in=("scientific_name", "group", "is_misapplied")
        ).values_list("change__object_id", "field", "prior"):
            before.setdefault(taxon_id, {}).setdefault(name, set()).add(prior)
        for taxon_id, prior_values in before.items():
            taxon = rows[taxon_id]
            names = {taxon.folded, *map(fold, prior_values.get("scientific_name", ()))}
            groups = {taxon.group, *prior_values.get("group", ())}
            kinds = {str(taxon.is_misapplied), *prior_values.get("is_misapplied", ())}
            for name, group, misapplied in product(names, groups, kinds):
                self.taxa.setdefault((name, group, misapplied == "True"), taxon)

    def taxon(self, name: str, group: str = Group.FUNGUS) -> Taxon | None:
        """The row that a name of the files stands for, misapplied ones aside."""
        return self.taxa.get((fold(name), group, False))

    def taxa_add(self, taxa: Iterable[Taxon]) -> int:
        new = {_key(taxon): taxon for taxon in taxa if _key(taxon) not in self.taxa}
        Taxon.objects.bulk_create(new.values(), batch_size=BATCH)
        self.taxa.update(new)
        return len(new)

    def synonyms_of(self, rows: Iterable[Row]) -> Iterator[Taxon]:
        for row in rows:
            target = self.taxon(row["accepted"])
            if target is None:
                self.leading_nowhere.append(row["synonym"])
            else:
                yield _synonym(row, target.current)

    def english_add(self, rows: Iterable[Row]) -> int:
        """Add English names; the first of a name that has none yet is the one to show."""
        stored = list(VernacularName.objects.values_list("taxon_id", "folded", "is_preferred"))
        held = {(taxon_id, folded) for taxon_id, folded, _ in stored}
        shown = {taxon_id for taxon_id, _, is_preferred in stored if is_preferred}
        new = []
        for row in rows:
            group = row.get("group", Group.FUNGUS)
            taxon = self.taxon(row["scientific_name"], group)
            for name in _listed(row["english"]):
                if taxon is None:
                    self.leading_nowhere.append(name)
                    continue
                key = (taxon.pk, fold(name))
                self.english.add((taxon.pk, key[1]))
                if key in held or taxon.pk in self.edited:
                    continue
                held.add(key)
                new.append(
                    VernacularName(
                        taxon=taxon, name=name, folded=key[1], is_preferred=taxon.pk not in shown
                    )
                )
                shown.add(taxon.pk)
        VernacularName.objects.bulk_create(new, batch_size=BATCH)
        return len(new)

    def look_alikes_add(self, rows: Iterable[Row]) -> int:
        held = set(LookAlike.objects.values_list("taxon_id", "other_id"))
        new = []
        for row in rows:
            one, other = self.taxon(row["name"]), self.taxon(row["other"])
            if one is None or other is None:
                self.leading_nowhere.append(f"{row['name']} / {row['other']}")
                continue
            key = (one.current.pk, other.current.pk)
            if key in held or key[0] == key[1]:
                continue
            held.add(key)
            new.append(
                LookAlike(
                    taxon_id=key[0],
                    other_id=key[1],
                    separated_by=row["separated_by"],
                    source=row["source"],
                    is_verified=row["verified"] == "yes",
                    in_poisonings=row["thought_to_be_eaten"] == "yes",
                )
            )
        LookAlike.objects.bulk_create(new, batch_size=BATCH)
        return len(new)

    def sentences_add(self, rows: Iterable[Row]) -> int:
        """Give states held without a sentence theirs; a keeper's own sentence stays."""
        states = {
            (state.character.code, state.code): state
            for state in CharacterState.objects.select_related("character")
        }
        new = []
        for row in rows:
            state = states.get((row["character"], row["state"]))
            if state is None:
                self.leading_nowhere.append(f"{row['character']} {row['state']}")
            elif not state.sentence:
                state.sentence = row["sentence"]
                new.append(state)
        CharacterState.objects.bulk_update(new, ["sentence"], batch_size=BATCH)
        return len(new)


def _characters_add(rows: Iterable[Row], sentences: Iterable[Row]) -> int:
    """Add characters and states that are not held. Two queries, and one for each new character."""
    told = {(row["character"], row["state"]): row["sentence"] for row in sentences}
    held = {row.code: row for row in Character.objects.prefetch_related("states")}
    new = 0
    for position, row in enumerate(rows):
        character = held.get(row["character"])
        if character is None:
            character = Character.objects.create(
                code=row["character"],
                part=row["part"],
                name=row["english"],
                sentence=row["sentence"],
                forms=_listed(row["form"]),
                cost=row["cost"],
                wait_minutes=_whole(row.get("wait_minutes")),
                cuts=row["cuts"] == "yes",
                never_asked=row.get("never_asked") == "yes",
                position=int(row["order"] or position),
            )
            new += 1
            codes: set[str] = set()
        else:
            codes = {state.code for state in character.states.all()}
            minutes = _whole(row.get("wait_minutes"))
            if character.wait_minutes is None and minutes is not None:
                character.wait_minutes = minutes
                character.save(update_fields=["wait_minutes", "updated_at"])
                new += 1
        states = [
            CharacterState(
                character=character,
                code=code,
                name=name or code,
                sentence=told.get((character.code, code), ""),
                position=number,
            )
            for number, state in enumerate(_listed(row["states"]))
            for code, _equals, name in [state.partition("=")]
            if code not in codes
        ]
        if states:
            CharacterState.objects.bulk_create(states)
        new += len(states)
    return new


def _rows(file: Path) -> Iterator[Row]:
    with file.open(encoding="utf-8", newline="") as lines:
        yield from csv.DictReader(lines)


def _key(taxon: Taxon) -> Key:
    return taxon.folded, taxon.group, taxon.is_misapplied


def _listed(text: str) -> list[str]:
    return [part.strip() for part in text.split("|") if part.strip()]


def _whole(text: str | None) -> int | None:
    return int(text) if text else None


def _fungus(row: Row) -> Taxon:
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


def _host(row: Row) -> Taxon:
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


def _synonym(row: Row, accepted: Taxon) -> Taxon:
    return Taxon(
        scientific_name=row["synonym"],
        authorship=row["authorship"],
        folded=fold(row["synonym"]),
        rank=accepted.rank,
        form=accepted.form,
        genus=row["synonym"].split(" ")[0],
        family=accepted.family,
        order=accepted.order,
        accepted=accepted,
        is_misapplied=row["kind"] == "misapplied",
        needs=accepted.needs,
        source=row["source"],
    )
