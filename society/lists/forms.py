"""The form that says which list is wanted; page, files and the page of its finds share it."""

import datetime as dt
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import Exists, OuterRef, Q, QuerySet
from django.db.models.functions import Coalesce
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from society.finds.models import AssociatedOrganism
from society.lists.queries.seasons import seasons_to_choose
from society.lists.queries.wanted import SpeciesListFilter
from society.members.models import Society
from society.members.permissions import Viewer
from society.names.models import Form, Group, Taxon
from society.places.models import Site
from society.places.queries import sites_to_choose
from society.science.dates import read_date

COUNTED_CHOICES = [
    ("stands", _("what stands, the unconfirmed apart")),
    ("only", _("what stands and nothing else")),
    ("settled", _("what stands, without the old books")),
    ("books", _("the old books alone")),
    ("with_unconfirmed", _("what stands and the unconfirmed together")),
]
SORT_CHOICES = [
    ("species", _("by name")),
    ("family", _("by family")),
    ("finds", _("by number of finds")),
    ("first", _("by first date")),
    ("last", _("by last date")),
]

# No number of a row has as many digits.
LONGEST_NUMBER = 19


class DaysField(forms.CharField):
    """A day, a month or a year as people write it, read as its first or last day."""

    def __init__(self, *, end: bool, society: Society, **options: Any) -> None:
        self.end = end
        self.society = society
        super().__init__(**options)

    def to_python(self, value: Any) -> Any:
        words = super().to_python(value)
        if not words:
            return None
        # Cut here: a validator of length would be handed the day, not the words.
        read = read_date(words[:80], today=timezone.localdate(), day_first=self.society.day_first)
        day = read.end if self.end else read.start
        if day is None:
            raise ValidationError(_("No such date. Write it as 2025-10-04, Oct 2025 or 2025."))
        return day


def hosts_to_choose(asked: str) -> QuerySet[Taxon]:
    """Return the trees and plants that a find was recorded with, under their accepted names, and
    the one an address asks for by its number, whether or not anything was found with it."""
    organisms = AssociatedOrganism.objects.filter(taxon=OuterRef("pk"))
    recorded = Taxon.objects.hosts().filter(Exists(organisms)).order_by()
    now = recorded.values_list(Coalesce("accepted_id", "pk"))
    wanted = Q(pk__in=now)
    if asked.isascii() and asked.isdigit() and len(asked) < LONGEST_NUMBER:
        wanted |= Q(pk=int(asked), accepted=None) & ~Q(group=Group.FUNGUS)
    return Taxon.objects.filter(wanted).only("scientific_name")


class SpeciesListForm(forms.Form):
    """Reads a list's query string: ``site``, ``season``, ``from``, ``to``, ``family``, ``host``,
    ``form``, ``counted``, ``sort``, ``by_family``. Three queries, and one
    for each of site and host named.

    A value that is not understood makes the form invalid: no list is better than another one.
    """

    site = forms.ModelChoiceField(
        queryset=Site.objects.none(),
        to_field_name="slug",
        required=False,
        label=_("Site or group of sites"),
        empty_label=_("the whole society"),
    )
    season = forms.TypedChoiceField(coerce=int, empty_value=None, required=False, label=_("Season"))
    family = forms.ChoiceField(required=False, label=_("Family"))
    host = forms.ModelChoiceField(
        queryset=Taxon.objects.none(),
        required=False,
        label=_("With or on"),
        empty_label=_("any tree or plant"),
    )
    form = forms.ChoiceField(
        choices=[("", _("any form")), *Form.choices], required=False, label=_("Form")
    )
    counted = forms.ChoiceField(choices=COUNTED_CHOICES, required=False, label=_("Count"))
    sort = forms.ChoiceField(choices=SORT_CHOICES, required=False, label=_("Order"))
    by_family = forms.BooleanField(required=False, label=_("under their families"))

    def __init__(self, *args: Any, viewer: Viewer, society: Society, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["site"].queryset = sites_to_choose(viewer)  # type: ignore[attr-defined]
        self.fields["host"].queryset = hosts_to_choose(str(self.data.get("host", "")))  # type: ignore[attr-defined]
        families = Taxon.objects.fungi().accepted().exclude(family="").order_by("family")
        self.fields["family"].choices = [  # type: ignore[attr-defined]
            ("", _("any family")),
            *((name, name) for name in families.values_list("family", flat=True).distinct()),
        ]
        self.fields["season"].choices = self._seasons(viewer, society)  # type: ignore[attr-defined]
        for name, end, label in (("from", False, _("From")), ("to", True, _("To"))):
            self.fields[name] = DaysField(end=end, society=society, required=False, label=label)
        self.order_fields(
            ["site", "season", "from", "to", "family", "host", "form", "counted", "sort"]
        )

    def _seasons(self, viewer: Viewer, society: Society) -> list[tuple[str, Any]]:
        """Return the seasons with finds, and one the address names beside them."""
        choices: list[tuple[str, Any]] = [("", _("all years"))]
        known = seasons_to_choose(viewer, society.season_start_month)
        choices += [(str(season), words) for season, words in known]
        asked = str(self.data.get("season", ""))
        is_year = asked.isascii() and asked.isdigit() and 1000 <= int(asked) <= 9998
        if is_year and asked not in dict(choices):
            choices.append((asked, asked))
        return choices

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        first, last = data.get("from"), data.get("to")
        if isinstance(first, dt.date) and isinstance(last, dt.date) and first > last:
            self.add_error("to", _("This is before the first day."))
        return data

    def wanted(self) -> SpeciesListFilter:
        """Return what is asked for; only of a valid form."""
        data = self.cleaned_data
        return SpeciesListFilter(
            site=data["site"],
            season=data["season"],
            date_from=data["from"],
            date_to=data["to"],
            family=data["family"],
            host=data["host"],
            form=data["form"],
            counted=data["counted"] or "stands",
            sort=data["sort"] or "species",
            by_family=data["by_family"],
        )
