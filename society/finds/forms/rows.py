"""The repeated rows of a find: trees and plants, timed readings, notes on eating."""

from typing import Any

from django import forms
from django.forms import BaseFormSet, formset_factory
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from society.finds.models import Certainty, Exposed, OrganismState, PartPlayed
from society.finds.services import EatingNoteEntry, OrganismEntry, ReadingEntry
from society.names.models import Group
from society.names.queries import written_name_read

HOST_GROUPS = tuple(str(group) for group in Group)
MOST_ROWS = 60


class OrganismForm(forms.Form):
    as_written = forms.CharField(
        label=gettext_lazy("Tree, plant or other"), max_length=120, required=False
    )
    taxon = forms.IntegerField(required=False, widget=forms.HiddenInput)
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
    reagent = forms.CharField(label=gettext_lazy("Reagent"), max_length=40, required=False)
    minutes = forms.DecimalField(
        label=gettext_lazy("After minutes"),
        required=False,
        min_value=0,
        max_value=100_000,
        max_digits=7,
        decimal_places=1,
    )
    seen = forms.CharField(label=gettext_lazy("What was seen"), max_length=80, required=False)
    not_looked = forms.BooleanField(label=gettext_lazy("not looked"), required=False)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        begun = data.get("minutes") is not None or data.get("seen") or data.get("not_looked")
        if not (data.get("exposed") or begun):
            return data
        if not data.get("exposed"):
            self.add_error("exposed", _("Say what was exposed."))
        if data.get("minutes") is None and "minutes" not in self.errors:
            self.add_error("minutes", _("Say after how many minutes; 0 for at once."))
        if data.get("exposed") == Exposed.REAGENT and not data.get("reagent"):
            self.add_error("reagent", _("Say which reagent."))
        if data.get("seen") and data.get("not_looked"):
            self.add_error("seen", _("Either something was seen, or nobody looked."))
        if not data.get("seen") and not data.get("not_looked"):
            self.add_error("seen", _("Write what was seen ('no change' too), or tick 'not looked'."))
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
    said_by = forms.CharField(label=gettext_lazy("Who says so"), max_length=120, required=False)
    source = forms.CharField(label=gettext_lazy("Source"), max_length=160, required=False)
    text = forms.CharField(
        label=gettext_lazy("What is said"),
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("text") and not data.get("said_by"):
            self.add_error("said_by", _("Say who says so."))
        if data.get("said_by") and not data.get("text"):
            self.add_error("text", _("Write what is said."))
        return data

    def entry(self) -> EatingNoteEntry | None:
        data = self.cleaned_data
        if not data.get("text"):
            return None
        return EatingNoteEntry(said_by=data["said_by"], text=data["text"], source=data["source"])


class EntryFormSet(BaseFormSet):
    """Rows whose filled-in forms give entries for the service."""

    def entries(self) -> tuple[Any, ...]:
        found = (form.entry() for form in self.forms if not form.cleaned_data.get("DELETE"))
        return tuple(entry for entry in found if entry is not None)


def _rows(form: type[forms.Form], extra: int) -> Any:
    return formset_factory(
        form, formset=EntryFormSet, extra=extra, max_num=MOST_ROWS, absolute_max=MOST_ROWS
    )


OrganismFormSet = _rows(OrganismForm, 2)
ReadingFormSet = _rows(ReadingForm, 3)
EatingNoteFormSet = _rows(EatingNoteForm, 1)
