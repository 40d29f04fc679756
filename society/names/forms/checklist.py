"""Forms of the checklist's pages."""

from typing import Any

from django import forms
from django.utils.dates import MONTHS
from django.utils.translation import gettext_lazy as _

from society.names.forms.choosing import key_field, name_chosen, name_field
from society.names.models import Danger, Form, Group, Need, Rank, Sensitivity, Taxon
from society.names.queries import english_lines

TROPHIC = [
    ("", _("not said")),
    ("ectomycorrhizal", _("lives with the roots of trees")),
    ("saprotrophic", _("lives on dead matter")),
    ("parasitic", _("lives on living plants, animals or fungi")),
    ("lichenised", _("lives with algae, as a lichen")),
    ("other", _("otherwise")),
]
SUBSTRATES = [
    ("soil", _("soil")),
    ("litter", _("leaf or needle litter")),
    ("wood", _("wood")),
    ("dung", _("dung")),
    ("grass", _("grass")),
    ("moss", _("moss")),
    ("living_plant", _("a living plant")),
    ("fungus", _("another fungus")),
    ("fire_site", _("a fire site")),
    ("cone", _("a cone, nut or fruit")),
    ("other", _("something else")),
]
LONGEST_QUERY = 100


def _line(label: Any, most: int, **over: Any) -> forms.CharField:
    return forms.CharField(label=label, max_length=most, required=False, **over)


def _whole(label: Any, choices: Any, nothing: Any) -> forms.TypedChoiceField:
    return forms.TypedChoiceField(
        label=label,
        choices=[("", nothing), *choices],
        coerce=int,
        empty_value=None,
        required=False,
    )


class ChecklistFilterForm(forms.Form):
    """What the keepers' checklist is narrowed to; anything unreadable narrows nothing."""

    q = _line(_("Name"), LONGEST_QUERY, widget=forms.TextInput(attrs={"type": "search"}))
    group = forms.ChoiceField(
        label=_("Group"), choices=[("", _("all")), *Group.choices], required=False
    )
    kind = forms.ChoiceField(
        label=_("Kind"),
        choices=[("", _("all")), ("accepted", _("accepted names")), ("synonyms", _("synonyms"))],
        required=False,
    )
    doubt = forms.BooleanField(label=_("only rows in doubt"), required=False)


class TaxonForm(forms.Form):
    """One row of the checklist. ``values`` and ``english`` give what the services take."""

    scientific_name = forms.CharField(
        label=_("Scientific name"),
        max_length=120,
        help_text=_("Without its author; for an aggregate with 'agg.' at the end."),
    )
    authorship = _line(_("Author"), 120, help_text=_("Better empty than wrong."))
    rank = forms.ChoiceField(label=_("Rank"), choices=Rank.choices, initial=Rank.SPECIES)
    group = forms.ChoiceField(label=_("Group"), choices=Group.choices, initial=Group.FUNGUS)
    form = forms.ChoiceField(
        label=_("Form of the fungus"),
        choices=[("", _("not said")), *Form.choices],
        required=False,
        help_text=_("Decides which views, characters and questions apply."),
    )
    genus = _line(_("Genus"), 60, help_text=_("Empty: the first word of the name."))
    family = _line(_("Family"), 60)
    order = _line(_("Order"), 60)
    english = forms.CharField(
        label=_("English names"),
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("One a line. The first is the one shown."),
    )
    accepted = name_field(
        _("Accepted name"),
        "id_accepted_key",
        required=False,
        help_text=_("Only for a synonym: the name it leads to."),
    )
    accepted_key = key_field()
    is_misapplied = forms.BooleanField(
        label=_("A misapplied name: some authors used it for the accepted one by mistake"),
        required=False,
    )
    trophic = forms.ChoiceField(label=_("Way of feeding"), choices=TROPHIC, required=False)
    hosts = _line(_("Host genera"), 300, help_text=_("Such as Betula, Pinus."))
    substrates = forms.MultipleChoiceField(
        label=_("Grows on"),
        choices=SUBSTRATES,
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    month_from = _whole(_("From month"), MONTHS.items(), _("not said"))
    month_to = _whole(_("To month"), MONTHS.items(), _("not said"))
    needs = forms.ChoiceField(
        label=_("Needs to be settled"), choices=Need.choices, initial=Need.EYE
    )
    danger = forms.ChoiceField(label=_("Danger"), choices=Danger.choices, required=False)
    danger_note = _line(
        _("Condition of the danger"), 120, help_text=_("Such as raw, spoiled, with alcohol.")
    )
    sensitivity = _whole(_("Sensitivity of its places"), Sensitivity.choices, _("not sensitive"))
    no_lifting = forms.BooleanField(label=_("Never to be lifted or cut"), required=False)
    source = _line(_("Source"), 120, help_text=_("Book, checklist, or 'from memory'."))
    is_doubtful = forms.BooleanField(label=_("This row is in doubt"), required=False)

    def __init__(self, *args: Any, taxon: Taxon | None = None, **kwargs: Any) -> None:
        if taxon is not None:
            kwargs.setdefault("initial", _initial(taxon))
        super().__init__(*args, **kwargs)

    def clean_hosts(self) -> list[str]:
        words = self.cleaned_data["hosts"].replace("|", ",").replace(";", ",").split(",")
        return list(dict.fromkeys(" ".join(word.split()) for word in words if word.strip()))

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if "accepted" in data:
            data["accepted"] = self._accepted(data)
        return data

    def _accepted(self, data: dict[str, Any]) -> Taxon | None:
        """Return the row that was chosen, or that the words name beyond doubt."""
        if not data["accepted"]:
            return None
        try:
            return name_chosen(data["accepted"], data.get("accepted_key"), data.get("group"))
        except forms.ValidationError as fault:
            self.add_error("accepted", fault)
            return None

    @property
    def values(self) -> dict[str, Any]:
        """What ``taxon_add`` and ``taxon_edit`` take, once the form is valid."""
        left = ("english", "accepted_key")
        return {name: value for name, value in self.cleaned_data.items() if name not in left}

    @property
    def english_names(self) -> list[str]:
        return self.cleaned_data["english"].splitlines()


def _initial(taxon: Taxon) -> dict[str, Any]:
    plain = (
        *("scientific_name", "authorship", "rank", "group", "form", "genus", "family", "order"),
        *("is_misapplied", "trophic", "month_from", "month_to", "needs", "danger"),
        *("danger_note", "sensitivity", "no_lifting", "source", "is_doubtful", "substrates"),
    )
    return {
        **{name: getattr(taxon, name) for name in plain},
        "hosts": ", ".join(taxon.hosts),
        "english": "\n".join(english_lines(taxon)),
        "accepted": str(taxon.accepted or ""),
        "accepted_key": taxon.accepted_id,
    }
