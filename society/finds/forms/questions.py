"""Sentences for what the readers of dates and places refuse or ask, each with its cure."""

from collections.abc import Mapping

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

DATES = {
    "not_understood": gettext_lazy("This date cannot be read. Write it like 12 Oct 2026."),
    "too_long": gettext_lazy("This is too long for a date."),
    "no_such_day": gettext_lazy("That month has no such day."),
    "no_such_month": gettext_lazy("There is no such month."),
    "no_such_year": gettext_lazy("There is no such year."),
    "future": gettext_lazy("This date lies in the future."),
    "reversed": gettext_lazy("The last day comes before the first."),
    "year_missing": gettext_lazy("The year is missing."),
    "order_unclear": gettext_lazy("Day and month may be the wrong way round."),
    "century_unclear": gettext_lazy("The century is not clear."),
    "weekday_differs": gettext_lazy("That date falls on another day of the week."),
    "before_earliest_year": gettext_lazy(
        "This is earlier than the society's earliest year of records."
    ),
}

PLACES = {
    "too_long": gettext_lazy("This is too long for a place."),
    "odd_figures": gettext_lazy(
        "A grid reference has an even number of figures; this one has %(figures)s. One is missing or too many."
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
    "perhaps_swapped": gettext_lazy("Latitude and longitude may be the wrong way round."),
    "minutes_out_of_range": gettext_lazy("Minutes and seconds go to 59."),
    "sign_and_letter": gettext_lazy("Give a sign or a letter for the hemisphere, not both."),
    "hemisphere_missing": gettext_lazy("Say north or south, east or west."),
    "same_axis_twice": gettext_lazy("Both values are given for the same direction."),
}


def date_sentence(code: str | None) -> str:
    """Say what is wrong with, or asked about, a date."""
    return str(DATES.get(code or "", DATES["not_understood"]))


def place_sentence(code: str, detail: Mapping[str, object]) -> str:
    """Say what is wrong with a position as typed."""
    sentence = str(PLACES.get(code, _("This position cannot be read.")))
    try:
        return sentence % detail
    except (KeyError, TypeError):
        return sentence.split(";")[0]
