"""Forms of the species accounts and of the vocabulary they are written in."""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from society.members.models import one_line
from society.names.models import (
    AccountReading,
    Character,
    Exposed,
    Form,
    TurnedColour,
    Usual,
)
from society.names.queries import SporesShown

USUAL = [("", _("not known")), *Usual.choices]
SIZES = ("length_from", "length_to", "width_from", "width_to", "q_from", "q_to")
EVERY_FORM = "all"


def source_field() -> forms.CharField:
    return forms.CharField(
        label=_("Source"),
        max_length=200,
        validators=[one_line],
        help_text=_("Book, find, or 'from memory'."),
    )


class UsualForm(forms.Form):
    """How usual each of some things is; what is left at 'not known' is not held."""

    source = source_field()

    def __init__(
        self,
        *args: Any,
        things: Iterable[tuple[str, Any]],
        held: Mapping[str, str] | None = None,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.things = [code for code, _label in things if code]
        for code, label in things:
            self.fields[f"usual-{code}"] = forms.ChoiceField(
                label=label, choices=USUAL, required=False, initial=(held or {}).get(code, "")
            )

    @property
    def usual_fields(self) -> list[forms.BoundField]:
        return [self[f"usual-{code}"] for code in self.things]

    def usual(self) -> dict[str, str]:
        """Return how usual each is that is known, by its code."""
        found = {code: self.cleaned_data[f"usual-{code}"] for code in self.things}
        return {code: usual for code, usual in found.items() if usual}


def states_form(data: Any, character: Character, held: Mapping[str, str], source: str) -> UsualForm:
    """Return the form for one character of an account."""
    things = [(state.code, state.name) for state in character.states.all()]
    return UsualForm(data, things=things, held=held, initial={"source": source})


class ReadingForm(UsualForm):
    """What colours something turns, from one minute to another."""

    exposed = forms.ChoiceField(label=_("What is exposed"), choices=Exposed.choices)
    reagent = forms.CharField(
        label=_("Reagent"),
        max_length=40,
        required=False,
        help_text=_("Only where one was applied: its code, such as KOH."),
    )
    minute_from = forms.DecimalField(
        label=_("From minute"), min_value=0, max_digits=6, decimal_places=1
    )
    minute_to = forms.DecimalField(
        label=_("To minute"), min_value=Decimal("0.1"), max_digits=6, decimal_places=1
    )

    def __init__(self, *args: Any, rows: list[AccountReading] | None = None, **kwargs: Any) -> None:
        held = {row.colour: row.usual for row in rows or ()}
        if rows:
            first = rows[0]
            names = ("exposed", "reagent", "minute_from", "minute_to", "source")
            kwargs["initial"] = {name: getattr(first, name) for name in names}
        super().__init__(*args, things=TurnedColour.choices, held=held, **kwargs)
        if rows:
            # What the reading is known by stays; another beginning is another reading.
            for name in ("exposed", "reagent", "minute_from"):
                self.fields[name].disabled = True

    @property
    def values(self) -> dict[str, Any]:
        """What ``account_reading_set`` takes, once the form is valid."""
        names = ("exposed", "reagent", "minute_from", "minute_to", "source")
        return {name: self.cleaned_data[name] for name in names} | {"colours": self.usual()}


def _size(label: Any, *, required: bool = True) -> forms.DecimalField:
    return forms.DecimalField(
        label=label,
        required=required,
        min_value=Decimal("0.01"),
        max_value=999,
        max_digits=5,
        decimal_places=2,
    )


class SporesForm(forms.Form):
    """Usual limits of the spores."""

    length_from = _size(_("Length from, µm"))
    length_to = _size(_("Length to, µm"))
    width_from = _size(_("Width from, µm"))
    width_to = _size(_("Width to, µm"))
    q_from = _size(_("Q from"), required=False)
    q_to = _size(_("Q to"), required=False)
    source = source_field()

    def __init__(self, *args: Any, held: SporesShown | None = None, **kwargs: Any) -> None:
        if held is not None:
            names = (*SIZES, "source")
            kwargs.setdefault("initial", {name: getattr(held, name) for name in names})
        super().__init__(*args, **kwargs)

    def sizes(self) -> dict[str, Decimal | None]:
        return {name: self.cleaned_data[name] for name in SIZES}


class SourcesForm(forms.Form):
    """From what an account is drawn, and whether it is in doubt."""

    sources = forms.CharField(
        label=_("Sources"),
        max_length=400,
        required=False,
        validators=[one_line],
        help_text=_("The works it is drawn from, parted by semicolons."),
    )
    is_doubtful = forms.BooleanField(label=_("This account is in doubt"), required=False)


class CharacterWordsForm(forms.Form):
    """The words of a character."""

    name = forms.CharField(label=_("Name"), max_length=80, validators=[one_line])
    sentence = forms.CharField(
        label=_("One sentence"),
        max_length=240,
        required=False,
        validators=[one_line],
        help_text=_("What is looked at, and how."),
    )


class CharacterForm(CharacterWordsForm):
    """A new character with its states."""

    part = forms.SlugField(
        label=_("Part"), max_length=30, help_text=_("Such as cap, gills, stem, spores.")
    )
    forms_meant = forms.MultipleChoiceField(
        label=_("For which forms"),
        choices=[(EVERY_FORM, _("every form")), *Form.choices],
        widget=forms.CheckboxSelectMultiple,
    )
    cost = forms.ChoiceField(label=_("What it costs"), choices=Character.Cost.choices)
    wait_minutes = forms.IntegerField(
        label=_("Minutes to wait"), required=False, min_value=1, max_value=10_000
    )
    cuts = forms.BooleanField(label=_("Needs lifting or cutting"), required=False)
    never_asked = forms.BooleanField(
        label=_("Kept where somebody wrote it, never asked for"), required=False
    )
    states = forms.CharField(
        label=_("States"),
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 5}),
        help_text=_("One a line, at least two."),
    )

    @property
    def values(self) -> dict[str, Any]:
        """What ``character_add`` takes, once the form is valid."""
        names = ("name", "sentence", "part", "cost", "wait_minutes", "cuts", "never_asked")
        values = {name: self.cleaned_data[name] for name in names}
        return {**values, "forms": self.cleaned_data["forms_meant"]}


class StateForm(forms.Form):
    """The words of a state."""

    name = forms.CharField(label=_("State"), max_length=80, validators=[one_line])
    sentence = forms.CharField(
        label=_("One sentence"),
        max_length=240,
        required=False,
        validators=[one_line],
        help_text=_("How the state is told."),
    )
