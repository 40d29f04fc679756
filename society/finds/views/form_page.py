"""The form of a find and its repeated rows, held together for the page."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any
from uuid import UUID

from django.conf import settings
from django.forms.utils import ErrorDict, ErrorList
from django.http import HttpRequest, QueryDict
from django.utils.datastructures import MultiValueDict

from society.core.errors import Refused
from society.finds import services
from society.finds.forms import (
    EatingNoteFormSet,
    FindForm,
    OrganismFormSet,
    PhotographFormSet,
    ReadingFormSet,
)
from society.finds.models import DraftPhotograph, Find, FindDraft, PartPlayed, View
from society.finds.services import FindEntry
from society.finds.views.initial import Initial, Rows
from society.finds.views.reading import uuid_read
from society.members.permissions import Viewer
from society.names.models import Character
from society.names.queries import characters_by_form

SETS_OF_ROWS = {
    "organisms": OrganismFormSet,
    "readings": ReadingFormSet,
    "eating": EatingNoteFormSet,
    "photos": PhotographFormSet,
}
# What a row added without script starts with.
FRESH_ROWS: dict[str, dict[str, str]] = {"organisms": {"part": PartPlayed.NEARBY}}

# The fields within each part of the page that unfolds.
FOLDS = {
    "place": ("place_text", "uncertainty", "made_secret"),
    "time": ("time_of_day", "date_words"),
    "stood": (
        "substrate_note",
        "habitat",
        "soil",
        "moss_layer",
        "count",
        "growth",
        "stage",
        "base",
    ),
    "wood": ("wood_part", "wood_position", "wood_decay", "wood_girth_cm"),
    "characters": ("states",),
    "keeping": (
        "spore_print",
        "in_hand",
        "specimen_kept",
        "specimen_number",
        "fungarium",
        "notes",
    ),
    "who": ("finder", "companions", "visit", "collector_number", "determiner", "literature"),
}
# What follows by itself opens nothing; a fault in it does.
FOLLOWS = ("finder", "uncertainty")


@dataclass
class FindPageForms:
    """The form, its sets of rows by prefix, and the vocabulary of characters it offers.

    The vocabulary is long, and read only where it is shown or states of it were sent.
    """

    viewer: Viewer
    form: FindForm
    rows: dict[str, Any]
    characters: Callable[[], list[Character]]
    data: QueryDict | None

    @classmethod
    def fresh(
        cls,
        viewer: Viewer,
        initial: Initial,
        rows: Rows,
        *,
        find: Find | None = None,
        data: QueryDict | None = None,
    ) -> "FindPageForms":
        """Make the page's forms; ``data`` is what was sent, ``initial`` what stands stored."""
        characters = cache(characters_by_form)
        kept_people = [initial.get("finder"), *initial.get("companions", [])]
        if data is not None:
            data = _with_counts(data.copy())
        sets = {
            prefix: formset(data, initial=rows.get(prefix), prefix=prefix)
            for prefix, formset in SETS_OF_ROWS.items()
        }
        for prefix in rows:
            sets[prefix].extra = 0 if rows[prefix] else sets[prefix].extra
        return cls(
            viewer=viewer,
            form=FindForm(
                data,
                initial=initial,
                viewer=viewer,
                state_ids=lambda: [pk for row in characters() for pk in _state_ids(row)],
                find=find,
                kept_people=[pk for pk in kept_people if pk],
            ),
            rows=sets,
            characters=characters,
            data=data,
        )

    def not_judged(self) -> "FindPageForms":
        """Show what was typed without a word on what is not finished."""
        self.form._errors = ErrorDict()  # type: ignore[attr-defined]
        for formset in self.rows.values():
            formset._errors, formset._non_form_errors = [], ErrorList()
            for form in formset.forms:
                form._errors = ErrorDict()
        return self

    def is_valid(self) -> bool:
        """Judge every part, so that every fault is told at once."""
        judged = [part.is_valid() for part in (self.form, *self.rows.values())]
        return all(judged)

    def entry(self) -> FindEntry:
        return self.form.entry(
            organisms=self.rows["organisms"].entries(),
            readings=self.rows["readings"].entries(),
            eating_notes=self.rows["eating"].entries(),
            photographs=self.rows["photos"].entries(),
        )

    def photographs_staged(self, request: HttpRequest, draft_uuid: UUID) -> list[str]:
        """Keep the files sent with the form in its draft; return why some were refused."""
        refused = []
        for name, file, view in files_sent(request):
            try:
                row = services.draft_photograph_add(
                    draft_uuid, file, view=view, by=self.viewer, find=self.form.find
                )
            except Refused as error:
                refused.append(f"{name}: {error.message}")
            else:
                if self.data is not None and str(row.uuid) not in self.data.getlist("photo_uuid"):
                    self.data.appendlist("photo_uuid", str(row.uuid))
                    self.data[f"photo_view-{row.uuid}"] = row.view
        return refused

    def draft_views(self) -> dict[UUID, str]:
        """Return which photographs of the draft belong to the find, and what each shows."""
        data = self.data if self.data is not None else QueryDict()
        uuids = filter(None, map(uuid_read, data.getlist("photo_uuid")))
        views = {uuid: data.get(f"photo_view-{uuid}", "") for uuid in uuids}
        return {uuid: view if view in View.values else "" for uuid, view in views.items()}

    def fields_typed(self) -> dict[str, list[str]]:
        """Return what was sent as a draft keeps it."""
        return fields_kept(self.data if self.data is not None else QueryDict())

    def context(self) -> dict[str, Any]:
        uuid = uuid_read(str(self.form["uuid"].value() or ""))
        formsets = list(self.rows.values())
        return {
            "form": self.form,
            **self.rows,
            "formsets": formsets,
            "formset_faults": self.form.is_bound
            and any(formset.total_error_count() for formset in formsets),
            "open_folds": self._open_folds(),
            "characters": self._characters_offered(),
            "views": View.choices,
            "draft_uuid": uuid,
            "draft_photographs": self._draft_photographs(uuid),
            "photograph_max_mb": settings.PHOTOGRAPH_MAX_MB,
            "map_tiles": settings.MAP_TILES,
            "map_tiles_credit": settings.MAP_TILES_CREDIT,
        }

    def _open_folds(self) -> set[str]:
        """Return the parts that hold something, or a fault: nothing typed hides in a fold."""
        opened = {
            fold
            for fold, names in FOLDS.items()
            if any(
                self.form[name].errors or (name not in FOLLOWS and self.form[name].value())
                for name in names
                if name in self.form.fields
            )
        }
        for prefix in ("readings", "eating"):
            if any(form.errors or _is_begun(form) for form in self.rows[prefix].forms):
                opened.add(prefix)
        return opened

    def _characters_offered(self) -> list[tuple[Character, list[tuple[str, str, bool]]]]:
        """Return each character with its states: value, name, whether it is ticked."""
        chosen = {str(value) for value in (self.form["states"].value() or [])}
        return [
            (row, [(str(one.pk), one.name, str(one.pk) in chosen) for one in row.states.all()])
            for row in self.characters()
        ]

    def _draft_photographs(self, uuid: UUID | None) -> list[tuple[DraftPhotograph, str, bool]]:
        """Return the photographs that wait in the draft, each with its view and whether it goes."""
        if uuid is None or self.data is None:
            return []
        views = self.draft_views()
        kept = DraftPhotograph.objects.filter(
            draft__uuid=uuid, draft__owner_id=self.viewer.account_id
        )
        return [(row, views.get(row.uuid, row.view), row.uuid in views) for row in kept]


def _state_ids(character: Character) -> list[int]:
    return [state.pk for state in character.states.all()]


def _is_begun(form: Any) -> bool:
    return any(form[name].value() for name in form.fields)


def files_sent(request: HttpRequest) -> list[tuple[str, Any, str]]:
    """Return the photographs of a form: name, file, and what it shows."""
    files, views = request.FILES.getlist("photographs"), request.POST.getlist("photograph_view")
    views += [""] * (len(files) - len(views))
    return [
        ((file.name or "")[:80], file.file, view) for file, view in zip(files, views, strict=False)
    ]


def fields_kept(data: MultiValueDict[str, str]) -> dict[str, list[str]]:
    """Return the fields of a form without the token that belongs to one page alone."""
    return {name: values for name, values in data.lists() if name != "csrfmiddlewaretoken"}


def fields_taken_up(draft: FindDraft) -> QueryDict:
    """Return a draft's fields as if they had just been sent."""
    data = QueryDict(mutable=True)
    for name, values in draft.fields.items():
        data.setlist(name, values)
    data["uuid"] = str(draft.uuid)
    return data


def row_added(data: QueryDict, prefix: str) -> QueryDict:
    """Return what was sent with one row more: the way without script."""
    data = _with_counts(data.copy())
    name = f"{prefix}-TOTAL_FORMS"
    count = str(data.get(name, ""))
    if prefix in SETS_OF_ROWS and count.isascii() and count.isdigit():
        data[name] = str(min(int(count[:6]) + 1, 60))
        for field, value in FRESH_ROWS.get(prefix, {}).items():
            data.setdefault(f"{prefix}-{count}-{field}", value)
    return data


def _with_counts(data: QueryDict) -> QueryDict:
    """Give the rows their counts where a short post left them out."""
    for prefix in SETS_OF_ROWS:
        data.setdefault(f"{prefix}-TOTAL_FORMS", "0")
        data.setdefault(f"{prefix}-INITIAL_FORMS", "0")
    return data
