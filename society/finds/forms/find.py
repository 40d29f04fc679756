"""The form of a find, in the order one works in the wood."""

import uuid
from collections.abc import Callable, Iterable
from typing import Any

from django import forms
from django.db.models import Q
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from society.finds.forms.when_where import dates_read, place_read
from society.finds.models import (
    Base,
    Basis,
    Find,
    Growth,
    InHand,
    PositionSource,
    Qualifier,
    Soil,
    Stage,
    Substrate,
    WoodPart,
    WoodPosition,
)
from society.finds.services import FindEntry, PhotographEntry, PlaceEntry, SlipEntry
from society.finds.services.entry import PLAIN_FIELDS
from society.forays.models import Visit
from society.members.models import Person, one_line
from society.members.permissions import Viewer
from society.members.queries import society_settings
from society.names.models import Form, Sensitivity
from society.names.queries import written_name_read
from society.places.models import Picking, Site
from society.places.queries import sites_to_choose

# Far beyond any key in use, and within what a database's integer holds.
LARGEST_KEY = 2**53
MOST_VISITS = 200
# What makes the first slip of a find; an edit lays none.
SLIP_FIELDS = ("name", "taxon", "determiner", "basis", "literature")


def _blank(choices: Any, words: Any) -> list[tuple[str, Any]]:
    """Return choices with words of our own for 'nothing chosen'."""
    return [("", words), *[choice for choice in choices if choice[0] not in ("", None)]]


def _line(label: Any, most: int, **over: Any) -> forms.CharField:
    over.setdefault("validators", [one_line])
    return forms.CharField(label=label, max_length=most, required=False, **over)


NOT_SAID = gettext_lazy("not said")


def _choice(label: Any, choices: Any, words: Any = NOT_SAID, **over: Any) -> forms.ChoiceField:
    return forms.ChoiceField(label=label, choices=_blank(choices, words), required=False, **over)


class SiteChoiceField(forms.ModelChoiceField):
    """Sites by name, each with what its owner forbids: the one who stands there must know."""

    def label_from_instance(self, obj: Any) -> str:
        if obj.picking == Picking.NOTHING:
            return _("%(site)s (nothing may be lifted, cut or taken)") % {"site": obj.name}
        return str(obj.name)


class FindForm(forms.Form):
    """A whole find but for its repeated rows. ``entry`` gives what the service takes."""

    uuid = forms.UUIDField(widget=forms.HiddenInput)
    base_version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    # The first screen
    name = _line(
        gettext_lazy("Name"),
        200,
        help_text=gettext_lazy("As you would write it; leave it empty when it has none yet."),
    )
    taxon = forms.IntegerField(
        required=False, min_value=1, max_value=LARGEST_KEY, widget=forms.HiddenInput
    )
    site = SiteChoiceField(
        label=gettext_lazy("Site"),
        queryset=Site.objects.none(),
        required=False,
        empty_label=gettext_lazy("none of these"),
    )
    position = _line(
        gettext_lazy("Grid reference or degrees"),
        80,
        help_text=gettext_lazy("Such as NY 623 854, or 55.163 N 2.594 W."),
        widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
    )
    position_source = forms.ChoiceField(
        required=False, choices=PositionSource.choices, widget=forms.HiddenInput
    )
    uncertainty = forms.IntegerField(
        label=gettext_lazy("Within (metres)"),
        required=False,
        min_value=1,
        max_value=1_000_000,
        help_text=gettext_lazy("Follows from the position where it is empty."),
    )
    place_text = _line(
        gettext_lazy("Place in words"),
        200,
        help_text=gettext_lazy("Such as: by the lower gate."),
        validators=[],
    )
    date = forms.CharField(
        label=gettext_lazy("Date"),
        max_length=120,
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    date_words = _line(
        gettext_lazy("Or the date as written, when the day is not known"),
        80,
        help_text=gettext_lazy("Such as Oct 1998, or 12-14 October 2024. It counts instead."),
    )
    date_sure = forms.BooleanField(label=gettext_lazy("The date is right"), required=False)
    time_of_day = forms.TimeField(
        label=gettext_lazy("Time"),
        required=False,
        widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
    )
    substrate = _choice(gettext_lazy("Grew on"), Substrate.choices)
    substrate_note = _line(gettext_lazy("What it grew on, in words"), 120)

    # What it stood in
    form = _choice(
        gettext_lazy("Form of the fungus"),
        Form.choices,
        gettext_lazy("follows from the name"),
        widget=forms.Select(attrs={"data-form-choice": ""}),
    )
    wood_part = _choice(gettext_lazy("Part of the wood"), WoodPart.choices)
    wood_position = _choice(gettext_lazy("Wood standing or fallen"), WoodPosition.choices)
    wood_decay = forms.IntegerField(
        label=gettext_lazy("Decay, 1 fresh to 5 gone soft"),
        required=False,
        min_value=1,
        max_value=5,
    )
    wood_girth_cm = forms.IntegerField(
        label=gettext_lazy("Girth in cm"), required=False, min_value=1, max_value=3000
    )
    habitat = _line(gettext_lazy("Habitat"), 160)
    soil = _choice(gettext_lazy("Soil or rock"), Soil.choices, gettext_lazy("not known"))
    moss_layer = _line(gettext_lazy("Moss layer"), 80)

    # How it stood
    count = forms.IntegerField(
        label=gettext_lazy("How many"), required=False, min_value=1, max_value=1_000_000
    )
    growth = _choice(gettext_lazy("Growth"), Growth.choices)
    stage = _choice(gettext_lazy("Stage"), Stage.choices)
    base = _choice(gettext_lazy("Stem base"), Base.choices)

    # Evidence and what is in hand
    states = forms.TypedMultipleChoiceField(coerce=int, required=False)
    spore_print = _line(gettext_lazy("Colour of the spore print"), 40)
    in_hand = _choice(gettext_lazy("What is in hand"), InHand.choices)
    specimen_kept = forms.BooleanField(label=gettext_lazy("A specimen is kept"), required=False)
    specimen_number = _line(gettext_lazy("Specimen's number"), 40)
    fungarium = _line(gettext_lazy("Fungarium"), 80)
    notes = _line(
        gettext_lazy("Notes"), 8000, widget=forms.Textarea(attrs={"rows": 4}), validators=[]
    )

    # Who, and with what book
    finder = forms.ModelChoiceField(
        label=gettext_lazy("Finder"),
        queryset=Person.objects.none(),
        empty_label=gettext_lazy("choose"),
        error_messages={"required": gettext_lazy("Say who found it.")},
    )
    companions = forms.ModelMultipleChoiceField(
        label=gettext_lazy("Companions"),
        queryset=Person.objects.none(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    visit = forms.ModelChoiceField(
        label=gettext_lazy("Foray or walk"),
        queryset=Visit.objects.none(),
        required=False,
        empty_label=gettext_lazy("none"),
    )
    collector_number = _line(gettext_lazy("Collector's own number"), 40)
    determiner = forms.ModelChoiceField(
        label=gettext_lazy("Who named it"),
        queryset=Person.objects.none(),
        required=False,
        empty_label=gettext_lazy("the finder"),
    )
    basis = forms.ChoiceField(
        label=gettext_lazy("Named"),
        choices=[choice for choice in Basis.choices if choice[0] != Basis.BOOKS],
        initial=Basis.EYE,
        required=False,
    )
    literature = _line(
        gettext_lazy("Book or key used"),
        200,
        help_text=gettext_lazy("Author, year, page or couplet."),
    )
    made_secret = forms.TypedChoiceField(
        label=gettext_lazy("Keep the place more secret"),
        choices=_blank(Sensitivity.choices, gettext_lazy("no more than its name demands")),
        coerce=int,
        empty_value=None,
        required=False,
    )

    def __init__(
        self,
        *args: Any,
        viewer: Viewer,
        state_ids: Callable[[], Iterable[int]],
        find: Find | None = None,
        kept_people: Iterable[int] = (),
        **kwargs: Any,
    ) -> None:
        """``find`` is the one to change; ``kept_people`` may be chosen though they have left.

        ``state_ids`` is asked only where states of characters were sent.
        """
        super().__init__(*args, **kwargs)
        self.viewer, self.find = viewer, find
        self.asks_date = False
        self._dates: Any = None
        self._place = PlaceEntry()
        fields: Any = self.fields
        fields["site"].queryset = sites_to_choose(viewer)
        fields["visit"].queryset = self._visits()
        fields["states"].choices = lambda: [(pk, pk) for pk in state_ids()]
        self._people_offered(kept_people)
        if find is not None:
            for name in SLIP_FIELDS:
                del fields[name]

    def _visits(self) -> Any:
        """The latest visits, and the one the find was made on."""
        latest = Visit.objects.order_by("-date", "-pk").values("pk")[:MOST_VISITS]
        kept = self.find.visit_id if self.find else None
        return Visit.objects.filter(Q(pk__in=latest) | Q(pk=kept)).order_by("-date", "-pk")

    def _people_offered(self, kept_people: Iterable[int]) -> None:
        """Offer the same people in three fields, read once."""
        people = (Person.objects.present() | Person.objects.filter(pk__in=kept_people)).by_name()
        options = [(person.pk, str(person)) for person in people]
        fields: Any = self.fields
        for name in ("finder", "companions", "determiner"):
            fields[name].queryset = people
            fields[name].choices = options
        fields["finder"].choices = [("", fields["finder"].empty_label), *options]
        fields["determiner"].choices = [("", fields["determiner"].empty_label), *options]

    def clean_notes(self) -> str:
        """Browsers send two signs for a new line, other writers one."""
        return str(self.cleaned_data["notes"]).replace("\r\n", "\n")

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        self._date_read(data)
        self._place_read(data)
        if data.get("literature") and not data.get("name"):
            self.add_error("literature", _("Write the name this book led to, or leave it empty."))
        return data

    def _date_read(self, data: dict[str, Any]) -> None:
        """Read the date: the words where there are any, else the day chosen."""
        words, day = data.get("date_words") or "", data.get("date") or ""
        if not words and not day:
            if not self.errors.keys() & {"date", "date_words"}:
                self.add_error("date", _("Say when: choose the day, or write what is known."))
            return
        read = dates_read(words or day, society_settings())
        self.asks_date = read.is_question
        if read.start is None or (read.is_question and not data.get("date_sure")):
            self.add_error("date_words" if words else "date", read.fault)
            if not words and read.start is None:
                # A calendar field would not show what was typed into it.
                self.fields["date"].widget.attrs["type"] = "text"
            return
        self._dates = (read.start, read.end)

    def _place_read(self, data: dict[str, Any]) -> None:
        position, words = data.get("position") or "", data.get("place_text") or ""
        if self.errors.keys() & {"position", "place_text", "site", "uncertainty"}:
            return
        source = data.get("position_source") or ""
        read = place_read(position, words, data.get("uncertainty"), source, self.find)
        self._place = read.place
        if read.fault:
            self.add_error("position", read.fault)
        elif not (position or words or data.get("site")):
            self.add_error(
                "site", _("Say where: choose a site, give a position, or write the place in words.")
            )

    def entry(
        self, *, photographs: tuple[PhotographEntry, ...] = (), **rows: tuple[Any, ...]
    ) -> FindEntry:
        """Return what the service takes, once the form is valid. ``rows`` are the repeated ones."""
        data = self.cleaned_data
        start, end = self._dates
        return FindEntry(
            finder_id=data["finder"].pk,
            date_start=start,
            date_end=end,
            date_verbatim=data["date_words"],
            time_of_day=data["time_of_day"],
            uuid=data["uuid"],
            site_id=data["site"].pk if data["site"] else None,
            visit_id=data["visit"].pk if data["visit"] else None,
            place=self._place,
            made_secret=data["made_secret"],
            companion_ids=tuple(
                sorted({person.pk for person in data["companions"]} - {data["finder"].pk})
            ),
            collector_number=data["collector_number"],
            slip=self._slip(data) if self.find is None else None,
            state_ids=tuple(sorted(data["states"])),
            photographs=photographs,
            plain={name: data[name] for name in PLAIN_FIELDS},
            **rows,
        )

    def _slip(self, data: dict[str, Any]) -> SlipEntry | None:
        if not data["name"]:
            return None
        read = written_name_read(data["name"], data["taxon"])
        return SlipEntry(
            name_written=data["name"],
            taxon_id=read.taxon_id,
            qualifier=read.qualifier if read.qualifier in set(Qualifier.values) else "",
            by_id=(data["determiner"] or data["finder"]).pk,
            basis=data["basis"] or Basis.EYE,
            literature=data["literature"],
            # One slip a posting: the same send never lays a second.
            uuid=uuid.uuid5(data["uuid"], "slip"),
        )
