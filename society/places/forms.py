"""The form of a site, and sentences for positions that cannot be read."""

import json
from collections.abc import Mapping
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from society.core.free_text import FreeTextFormField
from society.members.permissions import Viewer
from society.places.models import E7, Openness, Picking, Site
from society.places.queries import region_box, site_with_parts_ids, sites_to_choose
from society.places.services import BOUNDARIES
from society.science.positions import Position, Refusal, read_position

BOUNDARY_MAX_MB = 2

PLACES = {
    "too_long": gettext_lazy("This is too long for a place."),
    "odd_figures": gettext_lazy(
        "A grid reference has an even number of figures; this one has %(figures)s. "
        "One is missing or too many."
    ),
    "uneven_figures": gettext_lazy(
        "Both halves of a grid reference have the same number of figures."
    ),
    "too_many_figures": gettext_lazy("This grid reference has too many figures."),
    "stray_letter": gettext_lazy("There is a letter where a figure should be."),
    "bare_square": gettext_lazy("Letters alone name a square of 100 km. Add the figures."),
    "unknown_square": gettext_lazy("There is no such grid square."),
    "unknown_tetrad": gettext_lazy("There is no such tetrad letter."),
    "out_of_range": gettext_lazy("Latitude goes to 90, longitude to 180 degrees."),
    "perhaps_swapped": gettext_lazy(
        "Latitude and longitude may be the wrong way round. If so, write %(lat)s, %(lon)s."
    ),
    "minutes_out_of_range": gettext_lazy("Minutes and seconds go to 59."),
    "sign_and_letter": gettext_lazy("Give a sign or a letter for the hemisphere, not both."),
    "hemisphere_missing": gettext_lazy("Say north or south, east or west."),
    "same_axis_twice": gettext_lazy("Both values are given for the same direction."),
}
SOIL = [
    ("", gettext_lazy("not known")),
    ("lime", gettext_lazy("lime")),
    ("neutral", gettext_lazy("neutral")),
    ("acid", gettext_lazy("acid")),
]


def place_sentence(code: str, detail: Mapping[str, object]) -> str:
    """Say what is wrong with a position as typed."""
    sentence = str(PLACES.get(code, _("This position cannot be read.")))
    return sentence % detail


def _text(label: Any, help_text: Any) -> FreeTextFormField:
    return FreeTextFormField(
        label=label,
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=help_text,
    )


class SiteForm(forms.Form):
    """A site as an organiser writes it. ``values`` gives what the services take."""

    name = forms.CharField(label=gettext_lazy("Name"), max_length=80)
    parent = forms.ModelChoiceField(
        label=gettext_lazy("Belongs to"),
        queryset=Site.objects.none(),
        required=False,
        empty_label=gettext_lazy("nothing larger"),
        help_text=gettext_lazy("A list of the larger site holds this one's finds too."),
    )
    openness = forms.ChoiceField(
        label=gettext_lazy("Who may see its name"),
        choices=Openness.choices,
        initial=Openness.OPEN,
        widget=forms.RadioSelect,
    )
    boundary = forms.CharField(
        label=gettext_lazy("Boundary, as GeoJSON"),
        max_length=BOUNDARY_MAX_MB * 1_000_000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4, "spellcheck": "false"}),
        help_text=gettext_lazy(
            "A Polygon or MultiPolygon, longitude first. Middle and extent follow from it."
        ),
    )
    boundary_file = forms.FileField(
        label=gettext_lazy("Or a file with the boundary"),
        required=False,
        widget=forms.FileInput(attrs={"accept": ".geojson,.json,application/geo+json"}),
    )
    middle = forms.CharField(
        label=gettext_lazy("Its middle, where no boundary is drawn"),
        max_length=200,
        required=False,
        help_text=gettext_lazy("A grid reference or degrees, such as NY 623 854."),
    )
    extent_m = forms.IntegerField(
        label=gettext_lazy("Longest way across (metres)"),
        required=False,
        min_value=1,
        max_value=100_000,
        initial=1000,
        help_text=gettext_lazy("Decides whether secret finds may stand under its name."),
    )
    soil = forms.ChoiceField(label=gettext_lazy("Soil or rock"), choices=SOIL, required=False)
    habitat = forms.CharField(label=gettext_lazy("Habitat"), max_length=120, required=False)
    picking = forms.ChoiceField(
        label=gettext_lazy("Picking"),
        choices=Picking.choices,
        required=False,
        help_text=gettext_lazy("What may not be taken is never asked for as evidence."),
    )
    owner_note = _text(
        gettext_lazy("The owner's leave"),
        gettext_lazy("Who gave it, for what, until when. The law comes first."),
    )
    cautions = _text(gettext_lazy("Cautions"), gettext_lazy("What walkers must know."))
    access_note = _text(gettext_lazy("How to get there"), "")

    def __init__(self, *args: Any, viewer: Viewer, site: Site | None = None, **kwargs: Any) -> None:
        if site is not None:
            kwargs.setdefault("initial", _initial(site))
        super().__init__(*args, **kwargs)
        parents = sites_to_choose(viewer)
        if site is not None:
            parents = parents.exclude(pk__in=site_with_parts_ids(site))
        self.fields["parent"].queryset = parents  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        self._boundary_read(data)
        self._middle_read(data)
        unsaid = data.get("extent_m") is None and "extent_m" not in self.errors
        if unsaid and not data.get("boundary"):
            self.add_error("extent_m", _("Without a boundary, say how far across it is."))
        return data

    def _boundary_read(self, data: dict[str, Any]) -> None:
        """Read the file where there is one, else the text; either is kept in the text field."""
        text, field = data.get("boundary") or "", "boundary"
        file = data.get("boundary_file")
        if file:
            field = "boundary_file"
            text = self._file_text(file)
        data["boundary"] = None
        if not text:
            return
        try:
            shape = boundary_of(json.loads(text))
        except (ValueError, RecursionError):
            self.add_error(field, _("This is not GeoJSON: it cannot be read as JSON."))
            return
        if not shape:
            self.add_error(field, BOUNDARIES["not_a_polygon"])
        data["boundary"] = shape
        if file:
            # A browser does not send a chosen file again, so what it held is kept as typed.
            self.data = {**self.data.dict(), self.add_prefix("boundary"): text}  # type: ignore[attr-defined]

    def _file_text(self, file: UploadedFile) -> str:
        if (file.size or 0) > BOUNDARY_MAX_MB * 1_000_000:
            message = _(
                "This file is larger than %(most)s MB. Draw the boundary with fewer corners."
            )
            self.add_error("boundary_file", message % {"most": BOUNDARY_MAX_MB})
            return ""
        try:
            return file.read().decode("utf-8-sig")
        except UnicodeDecodeError:
            self.add_error("boundary_file", _("This file is not text. GeoJSON is text in UTF-8."))
            return ""

    def _middle_read(self, data: dict[str, Any]) -> None:
        text = data.pop("middle", "")
        if data.get("boundary"):
            return
        data["lat_e7"] = data["lon_e7"] = None
        if not text:
            return
        read = read_position(text, region_box=region_box())
        if isinstance(read, Refusal):
            self.add_error("middle", place_sentence(read.code, read.detail))
        else:
            data["lat_e7"], data["lon_e7"] = read.lat_e7, read.lon_e7

    @property
    def values(self) -> dict[str, Any]:
        """What ``site_add`` and ``site_edit`` take, once the form is valid."""
        left = {"boundary_file"}
        if self.cleaned_data["boundary"]:
            left.add("extent_m")
        return {name: value for name, value in self.cleaned_data.items() if name not in left}


def boundary_of(value: object) -> object:
    """Return one geometry: of a collection of features all their polygons together.

    Anything else is returned as it is, for the service to judge.
    """
    if not isinstance(value, dict) or value.get("type") != "FeatureCollection":
        return value
    features = value.get("features")
    coordinates: list[Any] = []
    for feature in features if isinstance(features, list) else ():
        shape = feature.get("geometry") if isinstance(feature, dict) else None
        if not isinstance(shape, dict) or shape.get("type") not in ("Polygon", "MultiPolygon"):
            return value
        kind, held = shape["type"], shape.get("coordinates")
        coordinates += [held] if kind == "Polygon" else held if isinstance(held, list) else [held]
    return {"type": "MultiPolygon", "coordinates": coordinates}


def _initial(site: Site) -> dict[str, Any]:
    plain = (
        *("name", "openness", "extent_m", "soil", "habitat", "picking"),
        *("owner_note", "cautions", "access_note"),
    )
    return {
        **{name: getattr(site, name) for name in plain},
        "parent": site.parent_id,
        "boundary": json.dumps(site.boundary, separators=(",", ":")) if site.boundary else "",
        "middle": degrees_written(site.lat_e7, site.lon_e7),
    }


def degrees_written(lat_e7: int | None, lon_e7: int | None) -> str:
    """Return stored degrees so that reading them gives the same integers again."""
    if lat_e7 is None or lon_e7 is None:
        return ""
    return f"{lat_e7 / E7:.7f}, {lon_e7 / E7:.7f}"


def place_answer(text: str) -> dict[str, Any]:
    """Return what a line says of a place, for JSON: the position, or why it cannot be read."""
    read = read_position(text, region_box=region_box())
    if isinstance(read, Position):
        return {
            "outcome": "read",
            "lat": read.lat,
            "lon": read.lon,
            "uncertainty_m": read.uncertainty_m,
            "grid_reference": read.grid_reference,
            "system": read.system,
        }
    return {
        "outcome": "refused",
        "code": read.code,
        "message": place_sentence(read.code, read.detail),
    }
