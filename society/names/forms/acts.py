"""Forms of what is done to a name: merging, moving, splitting, entries of lists, files."""

from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from society.members.models import one_line
from society.names.forms.choosing import key_field, name_chosen, name_field
from society.names.models import ChecklistFile, ListedStatus, Taxon
from society.names.services import ListEntry

LONGEST_PASTE = 2_000_000
_LISTED = ("kind", "area", "edition", "year", "says")


class MergeForm(forms.Form):
    """The accepted name that a name is to lead to."""

    into = name_field(_("Accepted name it belongs to"), "id_into_key")
    into_key = key_field()

    def __init__(self, *args: Any, taxon: Taxon, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.taxon = taxon

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("into"):
            try:
                data["chosen"] = name_chosen(data["into"], data.get("into_key"), self.taxon.group)
            except forms.ValidationError as fault:
                self.add_error("into", fault)
        return data


class MoveForm(forms.Form):
    """The new combination of a name."""

    scientific_name = forms.CharField(
        label=_("New name"), max_length=120, help_text=_("Without its author.")
    )
    authorship = forms.CharField(
        label=_("Author"),
        max_length=120,
        required=False,
        help_text=_("As the new combination is cited, such as (Fr.) Kuntze."),
    )
    family = forms.CharField(
        label=_("Family"), max_length=60, required=False, help_text=_("Empty: as before.")
    )
    order = forms.CharField(
        label=_("Order"), max_length=60, required=False, help_text=_("Empty: as before.")
    )


class SplitForm(forms.Form):
    """From when a species holds in a narrower sense, and what it was split into."""

    day = forms.DateField(
        label=_("Day of the split"),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        help_text=_("Slips laid before it, and not looked at again since, read as s.l."),
    )
    source = forms.CharField(
        label=_("Source"),
        max_length=200,
        validators=[one_line],
        help_text=_("The work that took it apart, with its year."),
    )
    into = forms.CharField(
        label=_("Split into"),
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("One accepted name a line; the name itself too, if it goes on."),
    )

    def __init__(self, *args: Any, taxon: Taxon, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.taxon = taxon

    def clean_into(self) -> list[int]:
        ids, faults = [], []
        for line in self.cleaned_data["into"].splitlines():
            if not line.strip():
                continue
            try:
                ids.append(name_chosen(line.strip(), None, self.taxon.group).pk)
            except forms.ValidationError as fault:
                faults.append(f"{line.strip()[:60]}: {' '.join(fault.messages)}")
        if faults:
            raise forms.ValidationError(faults)
        return ids


class ListedStatusForm(forms.Form):
    """What a list says of a name."""

    kind = forms.ChoiceField(label=_("Kind of list"), choices=ListedStatus.Kind.choices)
    area = forms.CharField(
        label=_("Area"), max_length=80, help_text=_("The country or region it holds for.")
    )
    edition = forms.CharField(label=_("List and edition"), max_length=120)
    year = forms.IntegerField(label=_("Year"), min_value=1800, max_value=2200)
    says = forms.CharField(
        label=_("What it says"), max_length=120, help_text=_("In the list's own word or code.")
    )

    def __init__(self, *args: Any, status: ListedStatus | None = None, **kwargs: Any) -> None:
        if status is not None:
            kwargs.setdefault("initial", {name: getattr(status, name) for name in _LISTED})
        super().__init__(*args, **kwargs)

    def entry(self) -> ListEntry:
        return ListEntry(**{name: self.cleaned_data[name] for name in _LISTED})


class ChecklistFileForm(forms.Form):
    """A file of names, sent in or pasted."""

    kind = forms.ChoiceField(
        label=_("What it holds"),
        choices=[
            (ChecklistFile.Kind.TAXA, _("names: a Darwin Core taxon CSV")),
            (ChecklistFile.Kind.LISTS, _("entries of red lists, laws and regional lists")),
        ],
        widget=forms.RadioSelect,
        initial=ChecklistFile.Kind.TAXA,
    )
    file = forms.FileField(
        label=_("CSV file"),
        required=False,
        allow_empty_file=True,
        widget=forms.ClearableFileInput(attrs={"accept": ".csv,.tsv,.txt,text/csv"}),
        help_text=_("Up to 10 MB and 50,000 lines; in UTF-8, if there is a choice."),
    )
    pasted = forms.CharField(
        label=_("Or paste its lines"),
        required=False,
        max_length=LONGEST_PASTE,
        strip=False,
        widget=forms.Textarea(attrs={"rows": 6, "spellcheck": "false"}),
        help_text=_("The first line holds the headings."),
    )

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if not self.errors and not data.get("file") and not data.get("pasted", "").strip():
            self.add_error("file", gettext("Choose a file, or paste its lines."))
        return data

    def content(self) -> tuple[str, bytes]:
        """Return the name and the bytes of what was sent, once the form is valid."""
        sent: UploadedFile | None = self.cleaned_data.get("file")
        if sent is None:
            return gettext("pasted lines"), self.cleaned_data["pasted"].encode()
        return sent.name or "", sent.read()
