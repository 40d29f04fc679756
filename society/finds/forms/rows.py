"""The repeated rows of a find: trees and plants, timed readings, notes on eating."""

from typing import Any

from django import forms
from django.forms import BaseFormSet, formset_factory
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from society.finds.forms.find import LARGEST_KEY
from society.finds.models import Certainty, Exposed, OrganismState, PartPlayed, View
from society.finds.services import EatingNoteEntry, OrganismEntry, PhotographEntry, ReadingEntry
from society.members.models import one_line
from society.names.models import HOST_GROUPS
from society.names.queries import written_name_read

MOST_ROWS = 60


class OrganismForm(forms.Form):
    as_written = forms.CharField(
        label=gettext_lazy("Tree, plant or other"),
        max_length=120,
        required=False,
        validators=[one_line],
    )
    taxon = forms.IntegerField(
        required=False, min_value=1, max_value=LARGEST_KEY, widget=forms.HiddenInput
    )
    part = forms.ChoiceField(
        label=gettext_lazy("Part played"),
        choices=PartPlayed.choices,
        initial=PartPlayed.NEARBY,
        required=False,
    )
    distance_m = forms.DecimalField(
        label=gettext_lazy("Metres away"),
        required=False,
        min_value=0,
        max_value=999,
        max_digits=4,
        decimal_places=1,
    )
    state = forms.ChoiceField(
        label=gettext_lazy("State"), choices=OrganismState.choices, required=False
    )
    certainty = forms.ChoiceField(
        label=gettext_lazy("How sure"), choices=Certainty.choices, required=False
    )

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        begun = any(
            data.get(name) not in (None, "") for name in ("distance_m", "state", "certainty")
        )
        if begun and not data.get("as_written") and "as_written" not in self.errors:
            self.add_error("as_written", _("Name it, if only as 'tree'."))
        return data

    def entry(self) -> OrganismEntry | None:
        data = self.cleaned_data
        if not data.get("as_written"):
            return None
        read = written_name_read(data["as_written"], data["taxon"], groups=HOST_GROUPS)
        return OrganismEntry(
            as_written=data["as_written"],
            taxon_id=read.taxon_id,
            part=data["part"] or PartPlayed.NEARBY,
            certainty=data["certainty"],
            distance_m=data["distance_m"],
            state=data["state"],
        )


class ReadingForm(forms.Form):
    exposed = forms.ChoiceField(
        label=gettext_lazy("What was exposed"),
        choices=[("", gettext_lazy("choose")), *Exposed.choices],
        required=False,
    )
    reagent = forms.CharField(
        label=gettext_lazy("Reagent"), max_length=40, required=False, validators=[one_line]
    )
    minutes = forms.DecimalField(
        label=gettext_lazy("After minutes"),
        required=False,
        min_value=0,
        max_value=100_000,
        max_digits=7,
        decimal_places=1,
    )
    seen = forms.CharField(
        label=gettext_lazy("What was seen"), max_length=80, required=False, validators=[one_line]
    )
    not_looked = forms.BooleanField(label=gettext_lazy("not looked"), required=False)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if not any(data.get(name) not in (None, "", False) for name in self.fields):
            return data
        if not data.get("exposed"):
            self.add_error("exposed", _("Say what was exposed."))
        if data.get("minutes") is None and "minutes" not in self.errors:
            self.add_error("minutes", _("Say after how many minutes; 0 for at once."))
        if data.get("exposed") == Exposed.REAGENT and not data.get("reagent"):
            self.add_error("reagent", _("Say which reagent."))
        if data.get("seen") and data.get("not_looked"):
            self.add_error("seen", _("Either something was seen, or nobody looked."))
        if not data.get("seen") and not data.get("not_looked") and "seen" not in self.errors:
            self.add_error(
                "seen", _("Write what was seen ('no change' too), or tick 'not looked'.")
            )
        return data

    def entry(self) -> ReadingEntry | None:
        data = self.cleaned_data
        if not data.get("exposed"):
            return None
        return ReadingEntry(
            exposed=data["exposed"],
            minutes=data["minutes"],
            seen=data["seen"],
            looked=not data["not_looked"],
            reagent=data["reagent"] if data["exposed"] == Exposed.REAGENT else "",
        )


class EatingNoteForm(forms.Form):
    said_by = forms.CharField(
        label=gettext_lazy("Who says so"), max_length=120, required=False, validators=[one_line]
    )
    source = forms.CharField(
        label=gettext_lazy("Source"), max_length=160, required=False, validators=[one_line]
    )
    text = forms.CharField(
        label=gettext_lazy("What is said"),
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        told = data.get("said_by") or data.get("source")
        if data.get("text") and not data.get("said_by") and "said_by" not in self.errors:
            self.add_error("said_by", _("Say who says so."))
        if told and not data.get("text") and "text" not in self.errors:
            self.add_error("text", _("Write what is said."))
        return data

    def clean_text(self) -> str:
        return str(self.cleaned_data["text"]).replace("\r\n", "\n")

    def entry(self) -> EatingNoteEntry | None:
        data = self.cleaned_data
        if not data.get("text"):
            return None
        return EatingNoteEntry(said_by=data["said_by"], text=data["text"], source=data["source"])


class PhotographForm(forms.Form):
    """What is said of a photograph that is with the find already."""

    uuid = forms.UUIDField(widget=forms.HiddenInput)
    view = forms.ChoiceField(label=gettext_lazy("Shows"), choices=View.choices, required=False)
    caption = forms.CharField(label=gettext_lazy("Caption"), max_length=300, required=False)
    is_removed = forms.BooleanField(label=gettext_lazy("take it away"), required=False)

    def entry(self) -> PhotographEntry | None:
        data = self.cleaned_data
        if not data.get("uuid"):
            return None
        return PhotographEntry(
            uuid=data["uuid"],
            view=data["view"],
            caption=data["caption"],
            is_removed=data["is_removed"],
        )


class EntryFormSet(BaseFormSet):
    """Rows whose filled-in forms give entries for the service."""

    def entries(self) -> tuple[Any, ...]:
        found = (form.entry() for form in self.forms)
        return tuple(entry for entry in found if entry is not None)


def _rows(form: type[forms.Form], extra: int) -> Any:
    return formset_factory(
        form, formset=EntryFormSet, extra=extra, max_num=MOST_ROWS, absolute_max=MOST_ROWS
    )


OrganismFormSet = _rows(OrganismForm, 1)
ReadingFormSet = _rows(ReadingForm, 1)
EatingNoteFormSet = _rows(EatingNoteForm, 1)
PhotographFormSet = _rows(PhotographForm, 0)
