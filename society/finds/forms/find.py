"""The form of a find, in the order one works in the wood."""

import datetime as dt
import uuid
from decimal import Decimal
from typing import Any

from django import forms
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from society.finds.forms.questions import date_sentence, place_sentence
from society.finds.models import (
    Base,
    Basis,
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
from society.finds.services import FindEntry, PlaceEntry, SlipEntry
from society.finds.services.entry import PLAIN_FIELDS
from society.forays.models import Visit
from society.members.models import Person
from society.members.permissions import Viewer
from society.members.queries import society_settings
from society.names.models import Form, Sensitivity
from society.names.queries import written_name_read
from society.places.models import E7, Site
from society.places.queries import sites_to_choose
from society.science.dates import read_date
from society.science.positions import Refusal, read_position


def _blank(choices: Any, words: Any) -> list[tuple[str, Any]]:
    """Return choices with words of our own for 'nothing chosen'."""
    return [("", words), *[choice for choice in choices if choice[0] not in ("", None)]]


def _line(label: Any, most: int, **over: Any) -> forms.CharField:
    return forms.CharField(label=label, max_length=most, required=False, **over)


def _choice(label: Any, choices: Any, words: Any = gettext_lazy("not said")) -> forms.ChoiceField:
    return forms.ChoiceField(label=label, choices=_blank(choices, words), required=False)


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
    taxon = forms.IntegerField(required=False, widget=forms.HiddenInput)
    site = forms.ModelChoiceField(
        label=gettext_lazy("Site"),
        queryset=Site.objects.none(),
        required=False,
        empty_label=gettext_lazy("none of these"),
    )
    place_text = _line(
        gettext_lazy("Grid reference, degrees, or the place in words"),
        200,
        help_text=gettext_lazy("Such as NY 623 854, or 55.163 N 2.594 W, or 'by the lower gate'."),
    )
    lat = forms.DecimalField(required=False, min_value=-90, max_value=90, widget=forms.HiddenInput)
    lon = forms.DecimalField(
        required=False, min_value=-180, max_value=180, widget=forms.HiddenInput
    )
    position_source = forms.ChoiceField(
        required=False, choices=PositionSource.choices, widget=forms.HiddenInput
    )
    uncertainty = forms.IntegerField(
        label=gettext_lazy("Within (metres)"), required=False, min_value=1, max_value=1_000_000
    )
    date = forms.DateField(
        label=gettext_lazy("Date"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    date_words = _line(
        gettext_lazy("Or the date as written, when the day is not known"),
        80,
        help_text=gettext_lazy("Such as Oct 1998, or 12-14 October 2024."),
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
        gettext_lazy("Form of the fungus"), Form.choices, gettext_lazy("follows from the name")
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
    notes = _line(gettext_lazy("Notes"), 8000, widget=forms.Textarea(attrs={"rows": 4}))

    # Who, and with what book
    finder = forms.ModelChoiceField(
        label=gettext_lazy("Finder"), queryset=Person.objects.none(), empty_label=None
    )
    companions = forms.ModelMultipleChoiceField(
        label=gettext_lazy("Companions"),
        queryset=Person.objects.none(),
        required=False,
        help_text=gettext_lazy("Those who were there with the finder."),
    )
    visit = forms.ModelChoiceField(
        label=gettext_lazy("Foray or walk"),
        queryset=Visit.objects.none(),
        required=False,
        empty_label=gettext_lazy("none"),
    )
    collector_number = _line(gettext_lazy("Collector's own number"), 40)
    basis = forms.ChoiceField(
        label=gettext_lazy("Named by"),
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

    def __init__(self, *args: Any, viewer: Viewer, state_ids: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.viewer = viewer
        people = Person.objects.present().by_name()
        fields: Any = self.fields
        fields["site"].queryset = sites_to_choose(viewer)
        fields["finder"].queryset = people
        fields["companions"].queryset = people
        fields["visit"].queryset = Visit.objects.select_related("site").order_by("-date", "-pk")
        fields["states"].choices = [(pk, pk) for pk in state_ids]
        self.date_question = ""
        self._dates: tuple[dt.date, dt.date] | None = None
        self._place = PlaceEntry()

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        self._date_read(data)
        self._place_read(data)
        return data

    def _date_read(self, data: dict[str, Any]) -> None:
        """Read the date: the words where there are any, else the day chosen."""
        society = society_settings()
        words = data.get("date_words") or ""
        day = data.get("date")
        field = "date_words" if words else "date"
        if not words and day is None:
            if "date" not in self.errors:
                self.add_error("date", _("Say when: choose the day, or write what is known."))
            return
        read = read_date(
            words or day.isoformat(),  # type: ignore[union-attr]
            today=timezone.localdate(),
            day_first=society.day_first,
            earliest_year=society.earliest_year,
        )
        if read.outcome == "refused" or read.start is None or read.end is None:
            self.add_error(field, date_sentence(read.code))
            return
        if read.outcome == "ask" and not data.get("date_sure"):
            self.date_question = date_sentence(read.code)
            self.add_error(
                field,
                _("%(question)s Read as %(start)s. Tick 'the date is right', or mend it.")
                % {"question": self.date_question, "start": read.start.isoformat()},
            )
            return
        self._dates = (read.start, read.end)

    def _place_read(self, data: dict[str, Any]) -> None:
        """Read the place: a position of the map or phone, else the words, else the site alone."""
        text = (data.get("place_text") or "").strip()
        lat, lon = data.get("lat"), data.get("lon")
        uncertainty = data.get("uncertainty")
        if lat is not None and lon is not None:
            self._place = PlaceEntry(
                round(lat * E7),
                round(lon * E7),
                uncertainty,
                data.get("position_source") or PositionSource.MAP,
                text,
            )
        elif text:
            self._typed_place_read(text, uncertainty)
        elif data.get("site") is None and "site" not in self.errors:
            self.add_error(
                "site", _("Say where: choose a site, give a position, or write the place in words.")
            )

    def _typed_place_read(self, text: str, uncertainty: int | None) -> None:
        read = read_position(text)
        if isinstance(read, Refusal):
            if read.code != "not_understood":
                self.add_error("place_text", place_sentence(read.code, read.detail))
            self._place = PlaceEntry(verbatim=text)
            return
        self._place = PlaceEntry(
            read.lat_e7,
            read.lon_e7,
            max(uncertainty or 0, read.uncertainty_m),
            PositionSource.TYPED,
            text,
        )

    def entry(self, **rows: Any) -> FindEntry:
        """Return what the service takes, once the form is valid. ``rows`` are the repeated ones."""
        data = self.cleaned_data
        assert self._dates is not None
        return FindEntry(
            finder_id=data["finder"].pk,
            date_start=self._dates[0],
            date_end=self._dates[1],
            date_verbatim=data["date_words"],
            time_of_day=data["time_of_day"],
            uuid=data["uuid"],
            site_id=data["site"].pk if data["site"] else None,
            visit_id=data["visit"].pk if data["visit"] else None,
            place=self._place,
            made_secret=data["made_secret"],
            companion_ids=tuple(sorted(person.pk for person in data["companions"])),
            collector_number=data["collector_number"],
            slip=self._slip(data),
            state_ids=tuple(sorted(data["states"])),
            plain={name: data[name] for name in PLAIN_FIELDS},
            **rows,
        )

    def _slip(self, data: dict[str, Any]) -> SlipEntry | None:
        if not data["name"]:
            return None
        read = written_name_read(data["name"], data["taxon"])
        known = set(Qualifier.values)
        return SlipEntry(
            name_written=data["name"],
            taxon_id=read.taxon_id,
            qualifier=read.qualifier if read.qualifier in known else "",
            by_id=data["finder"].pk,
            basis=data["basis"] or Basis.EYE,
            literature=data["literature"],
            # One slip a posting: the same send never lays a second.
            uuid=uuid.uuid5(data["uuid"], "slip"),
        )


def position_initial(lat_e7: int | None, lon_e7: int | None) -> dict[str, Decimal | None]:
    """Return the hidden fields of a stored position."""
    if lat_e7 is None or lon_e7 is None:
        return {"lat": None, "lon": None}
    return {"lat": Decimal(lat_e7) / E7, "lon": Decimal(lon_e7) / E7}
