"""Files of names as their page shows them: what they would change, and why lines are left out."""

from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from society.core.models import Job
from society.core.signals import scopes_asked
from society.names.models import ChecklistFile, Danger, ListedStatus

_UNREADABLE = {
    "empty": gettext_lazy("The file is empty."),
    "spreadsheet": gettext_lazy("This is a spreadsheet's own file. Save it as CSV and send that."),
    "no_text": gettext_lazy("This is no text file. Save it as CSV in UTF-8."),
    "no_heading": gettext_lazy("The first line must hold the headings of the columns."),
    "no_column": gettext_lazy("A column is missing: %(about)s."),
    "column_twice": gettext_lazy("The column %(about)s stands there twice."),
    "too_many_lines": gettext_lazy("The file has more than %(about)s lines. Send it in parts."),
}
_LEFT_OUT = {
    "no_name": gettext_lazy("no scientific name that begins with a capital"),
    "name_in_doubt": gettext_lazy("a name with cf., aff., sp. or the like is no name of its own"),
    "too_long": gettext_lazy("a cell is too long"),
    "cells_too_many": gettext_lazy("more cells than headings"),
    "quotes_broken": gettext_lazy("a quotation mark is not closed or stands in a wrong place"),
    "cell_empty": gettext_lazy("an empty cell"),
    "rank_not_held": gettext_lazy("no rank that is held here"),
    "kingdom_not_held": gettext_lazy("not a fungus; a column 'group' can say what it is"),
    "status_unknown": gettext_lazy("a status that is not understood"),
    "several_accepted": gettext_lazy("a synonym of several names"),
    "leads_nowhere": gettext_lazy("leads to a name that neither file nor checklist holds"),
    "leads_in_a_circle": gettext_lazy("leads back to itself"),
    "leads_to_one_left_out": gettext_lazy("leads to a name that is left out"),
    "held_the_other_way": gettext_lazy("the checklist holds the two the other way round"),
    "twice": gettext_lazy("stands in the file already, in line"),
    "kind_unknown": gettext_lazy("no kind of list: red list, law or regional list"),
    "no_year": gettext_lazy("no year of four digits"),
    "group_unknown": gettext_lazy("a group that is not understood"),
    "form_unknown": gettext_lazy("a form that is not understood"),
    "danger_unknown": gettext_lazy("a danger that is not understood"),
    "danger_lost": gettext_lazy("would be held as less dangerous than now"),
    "sensitivity_lost": gettext_lazy("its places would be less secret than now"),
    "no_lifting_lost": gettext_lazy("would no longer be one that is never lifted or cut"),
    "no_capital": gettext_lazy("no scientific name that begins with a capital"),
    "rank_differs": gettext_lazy("name and rank do not go together"),
    "genus_differs": gettext_lazy("name and genus do not go together"),
    "not_kept": gettext_lazy("holds signs that no name may have"),
    "name_not_held": gettext_lazy("the checklist holds no such name"),
}
_KEPT = {
    "edited": gettext_lazy("a keeper has edited it"),
    "renamed": gettext_lazy("a keeper has given it another name"),
    "other_words": gettext_lazy("the entry is held in other words"),
}
_FIELDS = {
    "authorship": gettext_lazy("author"),
    "family": gettext_lazy("family"),
    "order": gettext_lazy("order"),
    "danger": gettext_lazy("danger"),
    "english": gettext_lazy("further English names"),
    "accepted": gettext_lazy("accepted name"),
}
# By the field that changes, and whether a name is moved out of a referee's scope or into one.
_MOVES = {
    ("order", True): gettext_lazy("moves it out of the order %(name)s, a referee's scope"),
    ("order", False): gettext_lazy("moves it into the order %(name)s, a referee's scope"),
    ("family", True): gettext_lazy("moves it out of the family %(name)s, a referee's scope"),
    ("family", False): gettext_lazy("moves it into the family %(name)s, a referee's scope"),
}


@dataclass(frozen=True, slots=True)
class ExampleShown:
    """A line and what it changes, in words: (field, before, after)."""

    line: int
    name: str
    leads_to: str
    changes: tuple[tuple[str, str, str], ...]
    why: str
    # What a list says, in words, where the line is an entry of one.
    says: str
    # What it takes out of, or into, a referee's scope.
    warnings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FaultShown:
    line: int
    why: str
    about: str


@dataclass(frozen=True, slots=True)
class FileShown:
    """A file of names with its report in words, and how far taking it over has come."""

    file: ChecklistFile
    counts: dict[str, int]
    new: tuple[ExampleShown, ...]
    changed: tuple[ExampleShown, ...]
    kept: tuple[ExampleShown, ...]
    faults: tuple[FaultShown, ...]
    encoding: str
    left_columns: tuple[str, ...]
    job: Job | None
    # What leaves or enters a referee's scope: (what happens in words, how many names).
    moves: tuple[tuple[str, int], ...]

    @property
    def would_write(self) -> bool:
        return bool(self.counts.get("new") or self.counts.get("changed"))


def file_shown(file: ChecklistFile) -> FileShown:
    """Return what the page of a file shows. One query where it is being taken over, else none;
    and one of the rooms that know scopes where it moves names between orders or families."""
    report: dict[str, Any] = file.report
    examples = report.get("examples", {})
    moves = report.get("moves", ())
    scopes = scopes_held() if moves else set()
    return FileShown(
        file=file,
        counts=report.get("counts", {}),
        new=_examples(examples.get("new", ()), scopes),
        changed=_examples(examples.get("changed", ()), scopes),
        kept=_examples(examples.get("kept", ()), scopes),
        faults=tuple(
            FaultShown(line, str(_LEFT_OUT.get(code, code)), about)
            for line, code, about in report.get("faults", ())
        ),
        encoding=report.get("encoding", ""),
        left_columns=tuple(report.get("left_columns", ())),
        job=Job.objects.filter(pk=file.job_id).first() if file.job_id else None,
        moves=tuple(
            (words, count)
            for field, before, after, count in moves
            for words in _scope_warnings(field, before, after, scopes)
        ),
    )


def scopes_held() -> set[tuple[str, str]]:
    """Return the orders and families that referees hold as scopes, as other rooms answer."""
    answers: list[tuple[Any, Any]] = scopes_asked.send(ChecklistFile)
    return {scope for _receiver, scopes in answers for scope in scopes or ()}


def unreadable_words(code: str, about: str) -> str:
    """Return the sentence for a file that cannot be read at all."""
    return str(_UNREADABLE.get(code, _("The file cannot be read."))) % {"about": about}


def _scope_warnings(field: str, before: str, after: str, scopes: set[tuple[str, str]]) -> list[str]:
    """Return what a change of order or family means for referees, in words."""
    told = []
    for name, is_out in ((before, True), (after, False)):
        if (field, name.casefold()) in scopes and before.casefold() != after.casefold():
            words = _MOVES[field, is_out]
            told.append(str(words) % {"name": name})
    return told


def _entry_words(entry: dict[str, Any] | None) -> str:
    if not entry:
        return ""
    return _("%(kind)s, %(area)s (%(edition)s, %(year)s): %(says)s") % {
        **entry,
        "kind": ListedStatus.Kind(entry["kind"]).label,
    }


def _examples(rows: Any, scopes: set[tuple[str, str]]) -> tuple[ExampleShown, ...]:
    return tuple(
        ExampleShown(
            line=row["line"],
            name=row["name"],
            leads_to=row.get("leads_to", ""),
            changes=tuple(
                (
                    str(_FIELDS.get(name, name)),
                    _danger(before) if name == "danger" else before,
                    _danger(after) if name == "danger" else after,
                )
                for name, before, after in row["changes"]
            ),
            why=str(_KEPT.get(row["why"], _LEFT_OUT.get(row["why"], ""))),
            says=_entry_words(row.get("entry")),
            warnings=tuple(
                words
                for name, before, after in row["changes"]
                for words in _scope_warnings(name, before, after, scopes)
            ),
        )
        for row in rows
    )


def _danger(code: str) -> str:
    return str(Danger(code).label)
