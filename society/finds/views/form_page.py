"""The form of a find and its repeated rows, held together for the page."""

from dataclasses import dataclass
from typing import Any
from uuid import UUID, uuid4

from django.conf import settings
from django.forms.utils import ErrorDict, ErrorList
from django.http import HttpRequest, QueryDict

from society.core.errors import Refused
from society.finds import services
from society.finds.forms import EatingNoteFormSet, FindForm, OrganismFormSet, ReadingFormSet
from society.finds.forms.find import position_initial
from society.finds.models import DraftPhotograph, Find, PositionSource, View
from society.finds.services import FindEntry
from society.finds.services.entry import PLAIN_FIELDS
from society.finds.views.reading import uuid_read
from society.members.permissions import Viewer
from society.names.models import Character
from society.names.queries import characters_by_form

# What is carried over to another find from the same spot.
CARRIED = ("habitat", "soil", "moss_layer", "substrate", "substrate_note")


@dataclass
class FindPageForms:
    """The form, its three sets of rows, and the vocabulary of characters it offers."""

    viewer: Viewer
    form: FindForm
    organisms: Any
    readings: Any
    eating_notes: Any
    characters: list[Character]

    @classmethod
    def fresh(
        cls, viewer: Viewer, initial: dict[str, Any], rows: dict[str, list[dict[str, Any]]]
    ) -> "FindPageForms":
        return cls._made(viewer, None, initial, rows)

    @classmethod
    def of_request(cls, viewer: Viewer, data: QueryDict) -> "FindPageForms":
        return cls._made(viewer, data.copy(), {}, {})

    @classmethod
    def of_draft(cls, viewer: Viewer, data: QueryDict) -> "FindPageForms":
        """Show a draft as it was typed, without judging what is not finished."""
        page = cls._made(viewer, _with_counts(data), {}, {})
        page.form._errors = ErrorDict()
        for formset in (page.organisms, page.readings, page.eating_notes):
            formset._errors, formset._non_form_errors = [], ErrorList()
            for form in formset.forms:
                form._errors = ErrorDict()
        return page

    @classmethod
    def _made(
        cls,
        viewer: Viewer,
        data: QueryDict | None,
        initial: dict[str, Any],
        rows: dict[str, list[dict[str, Any]]],
    ) -> "FindPageForms":
        characters = characters_by_form()
        state_ids = [state.pk for character in characters for state in character.states.all()]
        if data is not None:
            data = _with_counts(data)
        return cls(
            viewer=viewer,
            form=FindForm(data, initial=initial, viewer=viewer, state_ids=state_ids),
            organisms=OrganismFormSet(data, initial=rows.get("organisms"), prefix="organisms"),
            readings=ReadingFormSet(data, initial=rows.get("readings"), prefix="readings"),
            eating_notes=EatingNoteFormSet(data, initial=rows.get("eating"), prefix="eating"),
            characters=characters,
        )

    def is_valid(self) -> bool:
        """Judge every part, so that every fault is told at once."""
        parts = (self.form, self.organisms, self.readings, self.eating_notes)
        return all([part.is_valid() for part in parts])

    def entry(self) -> FindEntry:
        return self.form.entry(
            organisms=self.organisms.entries(),
            readings=self.readings.entries(),
            eating_notes=self.eating_notes.entries(),
        )

    def photographs_staged(self, request: HttpRequest, draft_uuid: UUID) -> list[str]:
        """Keep the files sent with the form in its draft; return why some were refused."""
        refused = []
        views = request.POST.getlist("photograph_view")
        kept: list[tuple[str, str]] = []
        for position, file in enumerate(request.FILES.getlist("photographs")):
            view = views[position] if position < len(views) else ""
            try:
                row = services.draft_photograph_add(
                    draft_uuid, file.file, uuid=uuid4(), view=view[:11], by=self.viewer
                )
            except Refused as error:
                refused.append(f"{(file.name or '')[:80]}: {error.message}")
            else:
                kept.append((str(row.uuid), row.view))
        data = self.form.data
        for uuid, view in kept:
            data.appendlist("photo_uuid", uuid)
            data.appendlist("photo_view", view)
        return refused

    def draft_views(self, request: HttpRequest) -> dict[UUID, str]:
        """Return which photographs of the draft belong to the find, and what each shows."""
        uuids = self.form.data.getlist("photo_uuid")
        views = self.form.data.getlist("photo_view")
        known = set(View.values)
        found: dict[UUID, str] = {}
        for position, text in enumerate(uuids):
            uuid = uuid_read(text)
            view = views[position] if position < len(views) else ""
            if uuid is not None:
                found[uuid] = view if view in known else ""
        return found

    def context(self) -> dict[str, Any]:
        uuid = uuid_read(str(self.form["uuid"].value() or ""))
        chosen = {str(value) for value in (self.form["states"].value() or [])}
        return {
            "form": self.form,
            "organisms": self.organisms,
            "readings": self.readings,
            "eating_notes": self.eating_notes,
            "formsets": [self.organisms, self.readings, self.eating_notes],
            "formset_faults": self.form.is_bound and any(
                formset.total_error_count()
                for formset in (self.organisms, self.readings, self.eating_notes)
            ),
            "characters": self.characters,
            "chosen_states": chosen,
            "views": View.choices,
            "draft_uuid": uuid,
            "draft_photographs": DraftPhotograph.objects.filter(
                draft__uuid=uuid, draft__owner_id=self.viewer.account_id
            ),
            "photograph_max_mb": settings.PHOTOGRAPH_MAX_MB,
            "map_tiles": settings.MAP_TILES,
            "map_tiles_credit": settings.MAP_TILES_CREDIT,
        }


def _with_counts(data: QueryDict) -> QueryDict:
    """Give the rows their counts where a page without script or a short post left them out."""
    if not data._mutable:
        data = data.copy()
    for prefix in ("organisms", "readings", "eating"):
        data.setdefault(f"{prefix}-TOTAL_FORMS", "0")
        data.setdefault(f"{prefix}-INITIAL_FORMS", "0")
    return data


def carried_over(find: Find) -> tuple[dict[str, Any], dict[str, list[dict[str, Any]]]]:
    """Return what another find from the same spot starts with: place, day, people, company."""
    initial, rows = initial_of(find)
    kept = (
        "site",
        "place_text",
        "lat",
        "lon",
        "position_source",
        "uncertainty",
        "date",
        "date_words",
        "finder",
        "companions",
        "visit",
        *CARRIED,
    )
    return {name: initial[name] for name in kept}, {"organisms": rows["organisms"]}


def initial_of(find: Find) -> tuple[dict[str, Any], dict[str, list[dict[str, Any]]]]:
    """Return a stored find as the form's starting values. Five queries."""
    one_day = find.date_start == find.date_end and not find.date_verbatim
    initial: dict[str, Any] = {name: getattr(find, name) for name in PLAIN_FIELDS}
    initial |= {
        "uuid": uuid4(),
        "base_version": find.version,
        "notes": find.notes.raw,
        "site": find.site_id,
        "place_text": find.place_verbatim.raw,
        **_position_initial(find),
        "position_source": find.position_source,
        "uncertainty": find.uncertainty_m,
        "date": find.date_start if one_day else None,
        "date_words": "" if one_day else _date_words(find),
        "time_of_day": find.time_of_day,
        "finder": find.finder_id,
        "companions": list(find.companions.values_list("pk", flat=True)),
        "visit": find.visit_id,
        "collector_number": find.collector_number,
        "made_secret": find.made_secret,
        "states": list(find.observed_characters.values_list("state_id", flat=True)),
    }
    organism_fields = ("as_written", "taxon", "part", "distance_m", "state", "certainty")
    rows = {
        "organisms": [
            dict(zip(organism_fields, values, strict=True))
            for values in find.organisms.filter(removed_at=None).values_list(*organism_fields)
        ],
        "readings": [
            {
                "exposed": row.exposed,
                "reagent": row.reagent,
                "minutes": row.minutes,
                "seen": row.seen,
                "not_looked": not row.looked,
            }
            for row in find.readings.filter(removed_at=None)
        ],
        "eating": [
            {"said_by": row.said_by, "source": row.source, "text": row.text.raw}
            for row in find.eating_notes.filter(removed_at=None)
        ],
    }
    return initial, rows


def _position_initial(find: Find) -> dict[str, Any]:
    """A typed position is read again from its words; one from map or phone has no words to read."""
    if find.position_source == PositionSource.TYPED and find.place_verbatim:
        return {"lat": None, "lon": None}
    return position_initial(find.lat_e7, find.lon_e7)


def _date_words(find: Find) -> str:
    return find.date_verbatim or f"{find.date_start.isoformat()} - {find.date_end.isoformat()}"
