"""Choosing a name of the checklist by writing it, with or without the look-up's help."""

from typing import Any

from django import forms
from django.utils.translation import gettext

from society.names.models import Taxon
from society.names.queries import name_index
from society.science.names import fold

LARGEST_KEY = 2**63 - 1


def name_field(label: Any, key: str, *, groups: str = "", **over: Any) -> forms.CharField:
    """Return a field for a written name; ``key`` is the id of the hidden field of its row."""
    query = f"?groups={groups}" if groups else ""
    return forms.CharField(
        label=label,
        max_length=200,
        widget=forms.TextInput(
            attrs={
                "data-name-lookup": f"/names/lookup/{query}",
                "data-name-key": key,
                "autocomplete": "off",
            }
        ),
        **over,
    )


def key_field() -> forms.IntegerField:
    return forms.IntegerField(
        required=False, min_value=1, max_value=LARGEST_KEY, widget=forms.HiddenInput
    )


def name_chosen(written: str, key: int | None, group: str | None) -> Taxon:
    """Return the row that was chosen, or that the words name beyond doubt.

    The choice counts only while the words still say its name. Else a ``ValidationError``.
    """
    chosen = Taxon.objects.filter(pk=key or 0, folded=fold(written)).first()
    if chosen is None:
        match = name_index().resolve(written, groups=(group,) if group else None).match
        chosen = Taxon.objects.filter(pk=match.key).first() if match else None
    if chosen is None:
        raise forms.ValidationError(
            gettext("The checklist holds no such name. Choose one from the list, or add it."),
            "not_held",
        )
    return chosen
