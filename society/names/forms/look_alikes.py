"""The form of a pair of look-alikes."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from society.members.models import one_line
from society.names.forms.choosing import key_field, name_chosen, name_field
from society.names.models import Group
from society.names.services import LookAlikeEntry


class LookAlikeForm(forms.Form):
    """Which fungus is taken for the name, and what separates them."""

    other = name_field(_("Taken for it, or it for this"), "id_other_key", groups="fungus")
    other_key = key_field()
    separated_by = forms.CharField(
        label=_("What separates them"),
        max_length=400,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("By what can be looked at. It is shown as no test for eating."),
    )
    source = forms.CharField(label=_("Source"), max_length=200, validators=[one_line])
    is_verified = forms.BooleanField(label=_("I read it in that source"), required=False)
    in_poisonings = forms.BooleanField(label=_("The pair is known from poisonings"), required=False)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("other"):
            try:
                data["chosen"] = name_chosen(data["other"], data.get("other_key"), Group.FUNGUS)
            except forms.ValidationError as fault:
                self.add_error("other", fault)
        return data

    def entry(self) -> LookAlikeEntry:
        names = ("separated_by", "source", "is_verified", "in_poisonings")
        return LookAlikeEntry(**{name: self.cleaned_data[name] for name in names})
