"""Forms of the find's page and the desk."""

import uuid
from dataclasses import dataclass
from typing import Any

from django import forms
from django.urls import reverse
from django.utils.dates import MONTHS
from django.utils.functional import Promise, lazy
from django.utils.translation import gettext_lazy as _

from society.finds.models import Basis, Qualifier, Substrate
from society.members.models import Person
from society.names.models import Form, Rank, Usual
from society.names.queries import (
    CharacterWords,
    NameDoubt,
    account_book,
    host_genus,
    name_doubt,
    part_words,
    written_name_read,
)
from society.review.models import Scope, ScopeRank, Wanted
from society.review.queries import ContrastPage, CorrectionPage, FindPage, finders_waiting
from society.science.contrast import Observed

LOOK_UP = {
    "data-name-lookup": lazy(lambda: f"{reverse('names:lookup')}?groups=fungus", str)(),
    "autocomplete": "off",
}
WIDER: tuple[tuple[str, str | Promise], ...] = (
    (Rank.AGGREGATE, _("aggregate")),
    (Rank.SECTION, _("section")),
    (Rank.GENUS, _("genus")),
)


class OnEvidenceForm(forms.Form):
    """A form that holds what its reader saw: the evidence's version, and the act's own identity."""

    evidence_version = forms.IntegerField(widget=forms.HiddenInput, required=False)
    uuid = forms.UUIDField(widget=forms.HiddenInput)

    def seen_anew(self, evidence_version: int) -> None:
        """Go on from a page shown anew: the next thing sent is another act, on what is seen now."""
        fresh = {"evidence_version": str(evidence_version), "uuid": str(uuid.uuid4())}
        if self.is_bound:
            data: Any = self.data.copy()  # type: ignore[attr-defined]
            data.update({self.add_prefix(name): value for name, value in fresh.items()})
            self.data = data
        else:
            self.initial.update(fresh)


class SlipForm(OnEvidenceForm):
    """A name for a find, written freely; its row comes from the look-up or from the words.

    A name that leads nowhere but is near others comes back once, with those to choose from; sent
    again it is kept as written (`name_as_written` holds the words that were asked about).
    """

    prefix = "slip"
    doubt: NameDoubt | None = None
    name = forms.CharField(
        label=_("Name"),
        max_length=200,
        help_text=_("As you would write it on the slip; it is kept as written."),
        widget=forms.TextInput(attrs={**LOOK_UP, "data-name-key": "id_slip-taxon"}),
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

    name_as_written = forms.CharField(max_length=200, required=False, widget=forms.HiddenInput)
    candidate = forms.IntegerField(required=False, widget=forms.HiddenInput)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        asked, chosen = data.pop("name_as_written", ""), data.pop("candidate", None)
        data = {**data, **name_values(data)}
        name: str = data.get("name") or ""
        self.doubt = name_doubt(name) if name and data["taxon"] is None else None
        if self.doubt is None:
            return data
        if asked != name:
            self._ask(name, self.doubt)
            return data
        for row in self.doubt.rows:
            if row.key == chosen:
                return {**data, "name": row.name, "taxon": row.key}
        return data

    def _ask(self, name: str, doubt: NameDoubt) -> None:
        held_not = _("The checklist does not hold this name. Did you mean one of those below?")
        several = _("These words may mean more than one name of the checklist. Which do you mean?")
        self.add_error("name", held_not if doubt.is_near else several)
        data: Any = self.data.copy()  # type: ignore[attr-defined]
        data.update({self.add_prefix("name_as_written"): name, self.add_prefix("candidate"): ""})
        # What QueryDict.update adds to, a plain dictionary replaces; the last value counts in both.
        self.data = data


def name_values(data: dict[str, Any]) -> dict[str, Any]:
    """Return the row and the doubt that the written name and the look-up's choice come to."""
    read = written_name_read(data.get("name") or "", data.get("taxon"))
    return {"taxon": read.taxon_id, "qualifier": data.get("qualifier") or read.qualifier}


class VerdictForm(OnEvidenceForm):
    """One act of a referee, on one of the slips that lie in their scope."""

    kind = forms.ChoiceField(
        choices=[("confirm", ""), ("dispute", ""), ("ask", ""), ("leave_open", ""), ("reopen", "")]
    )
    slip = forms.TypedChoiceField(
        label=_("The slip this is about"), coerce=int, empty_value=None, required=False
    )
    at_rank = forms.ChoiceField(
        label=_("As far as"), required=False, choices=[("", _("the slip goes")), *WIDER]
    )
    holds = forms.ChoiceField(
        label=_("What holds all the same"), required=False, choices=[("", _("nothing")), *WIDER]
    )
    reason = forms.CharField(
        label=_("What speaks against it"),
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    name = forms.CharField(
        label=_("Another name, if you wish"),
        max_length=200,
        required=False,
        widget=forms.TextInput(attrs={**LOOK_UP, "data-name-key": "id_taxon"}),
    )
    taxon = forms.IntegerField(required=False, widget=forms.HiddenInput)
    wanted = forms.ChoiceField(label=_("Evidence that would settle it"), required=False)
    wanted_note = forms.CharField(label=_("A word on it"), max_length=2000, required=False)
    holds_note = forms.CharField(label=_("Why"), max_length=2000, required=False)

    def __init__(self, *args: Any, page: FindPage, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        slips = page.slips_to_settle
        chosen = page.entry.current_slip_id if page.entry else None
        self.initial["slip"] = chosen if chosen in {slip.pk for slip in slips} else None
        if slips and self.initial["slip"] is None:
            self.initial["slip"] = slips[-1].pk
        fields: Any = self.fields
        fields["slip"].choices = [
            (slip.pk, f"{slip.name_written} ({slip.by.display_name})") for slip in slips
        ]
        fields["wanted"].choices = [(code, Wanted(code).label) for code in page.askable]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        return {**data, **name_values(data)}


class CommentForm(forms.Form):
    prefix = "comment"
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
        name = "" if data.get("rank") == ScopeRank.ALL else (data.get("name") or "").strip()
        if Scope.objects.filter(
            person=data.get("person"), rank=data.get("rank"), name__iexact=name, ended_at=None
        ).exists():
            self.add_error("name", _("This person has this scope already."))
        return {**data, "name": name}


class DeskFilterForm(forms.Form):
    """What of the queue is shown."""

    show = forms.ChoiceField(
        label=_("Finds"),
        required=False,
        choices=[("", _("what waits")), ("split", _("to look at again"))],
    )
    whose = forms.ChoiceField(
        label=_("Names"),
        required=False,
        choices=[("", _("my scope first")), ("mine", _("my scope only"))],
    )
    genus = forms.CharField(
        label=_("Genus"),
        max_length=60,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
    )
    site: Any = forms.ModelChoiceField(
        label=_("Site"), queryset=None, required=False, empty_label=_("any")
    )
    finder: Any = forms.ModelChoiceField(
        label=_("Finder"), queryset=None, required=False, empty_label=_("any")
    )
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
        self.fields["finder"].queryset = finders_waiting()  # type: ignore[attr-defined]


class RatioForm(forms.Form):
    """Which two names of a contrast are to be compared."""

    one = forms.TypedChoiceField(label=_("This name"), coerce=int)
    other = forms.TypedChoiceField(label=_("and that"), coerce=int)

    def __init__(self, *args: Any, page: ContrastPage, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        groups = ((_("named here"), page.candidates), (_("further ones"), page.further))
        choices = [
            (group, [(row.taxon.pk, row.taxon.scientific_name) for row in rows if row.taxon])
            for group, rows in groups
        ]
        keys = [key for _group, rows in choices for key, _name in rows]
        for position, name in enumerate(("one", "other")):
            field = self.fields[name]
            field.choices = choices  # type: ignore[attr-defined]
            field.initial = keys[min(position, len(keys) - 1)]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if "one" in data and data["one"] == data.get("other"):
            self.add_error("other", _("Choose two different names."))
        return data


@dataclass(frozen=True, slots=True)
class TypedCharacter:
    """A character to be ticked: the forms it applies to, and its states: value, name, ticked."""

    words: CharacterWords
    forms: str
    states: list[tuple[str, str, bool]]


@dataclass(frozen=True, slots=True)
class TypedPart:
    """The characters of one part of a fungus, shown open where one of them is ticked."""

    code: str
    characters: list[TypedCharacter]

    @property
    def name(self) -> str:
        return part_words(self.code)

    @property
    def forms(self) -> str:
        return " ".join(
            dict.fromkeys(form for row in self.characters for form in row.forms.split())
        )

    @property
    def is_open(self) -> bool:
        return any(ticked for row in self.characters for _value, _name, ticked in row.states)


# Said by the page's own words: an old link may ask for what the lists no longer hold.
CHOOSE_AGAIN = {"invalid_choice": _("This is not in the list. Choose again.")}


class TypedCharactersForm(forms.Form):
    """Characters seen, where there is no find: read into what a contrast takes."""

    form = forms.ChoiceField(
        label=_("Form"),
        choices=Form.choices,
        widget=forms.Select(attrs={"data-form-choice": ""}),
        error_messages={"required": _("Choose the form."), **CHOOSE_AGAIN},
    )
    month = forms.TypedChoiceField(
        label=_("Month"),
        required=False,
        coerce=int,
        empty_value=None,
        choices=[("", _("not said")), *((number, name) for number, name in MONTHS.items())],
        error_messages=CHOOSE_AGAIN,
    )
    substrate = forms.ChoiceField(
        label=_("Grew on"),
        choices=Substrate.choices,
        required=False,
        error_messages=CHOOSE_AGAIN,
    )
    hosts = forms.CharField(
        label=_("Trees and plants within reach of its roots"),
        required=False,
        max_length=200,
        help_text=_("Names parted by commas; a genus is enough."),
        error_messages={
            "null_characters_not_allowed": _("A sign in this cannot be read. Write the names anew.")
        },
    )
    seen = forms.TypedMultipleChoiceField(
        label=_("What you saw"),
        required=False,
        error_messages={
            "invalid_choice": _(
                "One of the ticked boxes is no longer in the vocabulary: tick again."
            )
        },
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.book = account_book()
        self.fields["seen"].choices = [  # type: ignore[attr-defined]
            (f"{code}.{state}", name)
            for code, words in self.book.words.items()
            if not self.book.characters[code].never_asked
            for state, name in words.states.items()
        ]

    @property
    def parts(self) -> list[TypedPart]:
        """The characters that may be asked for, by part of the fungus, with what was ticked."""
        chosen = set(self["seen"].value() or ())
        parts: dict[str, list[TypedCharacter]] = {}
        for code, words in self.book.words.items():
            character = self.book.characters[code]
            if character.never_asked:
                continue
            states = [
                (f"{code}.{state}", name, f"{code}.{state}" in chosen)
                for state, name in words.states.items()
            ]
            forms = Form.values if "all" in character.forms else sorted(character.forms)
            parts.setdefault(words.part, []).append(TypedCharacter(words, " ".join(forms), states))
        return [TypedPart(part, held) for part, held in parts.items()]

    def clean_hosts(self) -> dict[str, str]:
        """Return the genera the names lead to, each as a host; a name not held is told."""
        genera: dict[str, str] = {}
        for written in filter(None, map(str.strip, self.cleaned_data["hosts"].split(","))):
            genus = host_genus(written)
            if not genus:
                raise forms.ValidationError(
                    _("No tree or plant of the checklist is called '%(name)s'."),
                    params={"name": written},
                )
            genera[genus] = "probable_host"
        return genera

    @property
    def observed(self) -> Observed:
        """What was typed, once valid, in the terms of the accounts."""
        states: dict[str, set[str]] = {}
        for value in self.cleaned_data["seen"]:
            code, _dot, state = value.partition(".")
            states.setdefault(code, set()).add(state)
        return Observed(
            states={code: frozenset(seen) for code, seen in states.items()},
            hosts=self.cleaned_data["hosts"],
            substrate=self.cleaned_data["substrate"],
            month=self.cleaned_data["month"],
        )


class CorrectionForm(forms.Form):
    """How usual one state of a character is, as a find shows it."""

    uuid = forms.UUIDField(widget=forms.HiddenInput)
    account_version = forms.IntegerField(widget=forms.HiddenInput, required=False)
    state = forms.ChoiceField(label=_("What the find shows"), widget=forms.RadioSelect)
    usual = forms.ChoiceField(
        label=_("How usual it is in this species"), choices=[("", _("choose")), *Usual.choices]
    )
    remarks = forms.CharField(
        label=_("Remarks"),
        max_length=2000,
        required=False,
        help_text=_("Needed where the find does not hold the state among what was observed."),
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def __init__(self, *args: Any, page: CorrectionPage, state: str = "", **kwargs: Any) -> None:
        seen = [row.code for row in page.states if row.is_seen]
        codes = {row.code for row in page.states}
        kwargs["initial"] = {
            "uuid": uuid.uuid4(),
            "account_version": page.version,
            "state": state if state in codes else next(iter(seen), ""),
        }
        super().__init__(*args, **kwargs)
        choices: Any = self.fields["state"]
        choices.choices = [
            (row.code, _("%(state)s (observed)") % {"state": row.name} if row.is_seen else row.name)
            for row in page.states
        ]

    def seen_anew(self, account_version: int) -> None:
        """Go on from a page shown anew, which tells what the account holds now."""
        data: Any = self.data.copy()  # type: ignore[attr-defined]
        data["account_version"] = str(account_version)
        self.data = data
