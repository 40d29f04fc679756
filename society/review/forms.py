"""Forms of the find's page and the desk."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from society.finds.models import Basis, DeterminationSlip, Find, Qualifier
from society.members.models import Person
from society.names.queries import written_name_read
from society.review.models import Scope, ScopeRank, Wanted
from society.review.queries import may_be_asked


class SlipForm(forms.Form):
    """A name for a find, written freely; its row comes from the look-up or from the words."""

    name = forms.CharField(
        label=_("Name"),
        max_length=200,
        help_text=_("As you would write it on the slip; it is kept as written."),
    )
    taxon = forms.IntegerField(required=False, widget=forms.HiddenInput)
    qualifier = forms.ChoiceField(label=_("Doubt"), choices=Qualifier.choices, required=False)
    basis = forms.ChoiceField(
        label=_("Basis"),
        choices=[choice for choice in Basis.choices if choice[0] != Basis.BOOKS],
        initial=Basis.EYE,
    )
    literature = forms.CharField(
        label=_("Book or key used"),
        max_length=200,
        required=False,
        help_text=_("Author, year, page or couplet."),
    )
    remarks = forms.CharField(
        label=_("Remarks"),
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    uuid = forms.UUIDField(widget=forms.HiddenInput)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        return {**data, **name_values(data)}


def name_values(data: dict[str, Any]) -> dict[str, Any]:
    """Return the row and the doubt that the written name and the look-up's choice come to."""
    read = written_name_read(data.get("name") or "", data.get("taxon"))
    return {"taxon": read.taxon_id, "qualifier": data.get("qualifier") or read.qualifier}


class VerdictForm(forms.Form):
    """One act of a referee."""

    kind = forms.ChoiceField(
        choices=[("confirm", ""), ("dispute", ""), ("ask", ""), ("leave_open", ""), ("reopen", "")]
    )
    slip = forms.ModelChoiceField(
        label=_("The slip this is about"), queryset=DeterminationSlip.objects.none(), required=False
    )
    at_rank = forms.ChoiceField(
        label=_("As far as"),
        required=False,
        choices=[
            ("", _("as the slip says")),
            ("species", _("species")),
            ("aggregate", _("aggregate")),
            ("section", _("section")),
            ("genus", _("genus")),
        ],
    )
    reason = forms.CharField(
        label=_("What speaks against it"),
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    name = forms.CharField(label=_("Another name, if you wish"), max_length=200, required=False)
    taxon = forms.IntegerField(required=False, widget=forms.HiddenInput)
    wanted = forms.ChoiceField(label=_("Evidence that would settle it"), required=False)
    evidence_version = forms.IntegerField(widget=forms.HiddenInput)
    uuid = forms.UUIDField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, find: Find, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        fields: Any = self.fields
        fields["slip"].queryset = DeterminationSlip.objects.filter(find=find)
        fields["wanted"].choices = [
            (code, Wanted(code).label) for code in may_be_asked(find) if code in Wanted.values
        ]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        return {**data, **name_values(data)}


class CommentForm(forms.Form):
    text = forms.CharField(
        label=_("Write to finder and referees"),
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    uuid = forms.UUIDField(widget=forms.HiddenInput)


class ScopeForm(forms.Form):
    """Give somebody a scope."""

    person = forms.ModelChoiceField(label=_("Person"), queryset=Person.objects.none())
    rank = forms.ChoiceField(label=_("Rank"), choices=ScopeRank.choices)
    name = forms.CharField(
        label=_("Name"), max_length=60, required=False, help_text=_("Empty for everything.")
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        people = Person.objects.present().filter(account__is_active=True).by_name()
        self.fields["person"].queryset = people  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        name = (data.get("name") or "").strip()
        if data.get("rank") == ScopeRank.ALL:
            data["name"] = ""
        elif not name:
            self.add_error("name", _("Write the name of the order, family or genus."))
        elif Scope.objects.filter(
            person=data.get("person"), rank=data.get("rank"), name__iexact=name, ended_at=None
        ).exists():
            self.add_error("name", _("This person has this scope already."))
        return data


class DeskFilterForm(forms.Form):
    """What of the queue is shown."""

    whose = forms.ChoiceField(
        label=_("Names"),
        required=False,
        choices=[("mine", _("in my scope")), ("all", _("all"))],
    )
    genus = forms.CharField(label=_("Genus"), max_length=60, required=False)
    site = forms.ModelChoiceField(label=_("Site"), queryset=None, required=False)
    finder = forms.ModelChoiceField(label=_("Finder"), queryset=None, required=False)
    days = forms.IntegerField(
        label=_("Waiting at least (days)"), min_value=0, max_value=36500, required=False
    )
    order = forms.ChoiceField(
        label=_("First"),
        required=False,
        choices=[("oldest", _("longest waiting")), ("newest", _("newest")), ("name", _("by name"))],
    )

    def __init__(self, *args: Any, sites: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["site"].queryset = sites  # type: ignore[attr-defined]
        finders = Person.objects.filter(finds__isnull=False).distinct().by_name()
        self.fields["finder"].queryset = finders  # type: ignore[attr-defined]
