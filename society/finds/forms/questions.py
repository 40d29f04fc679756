"""Sentences for what the reader of dates refuses or asks, each with its cure."""

from django.utils.translation import gettext_lazy

DATES = {
    "empty": gettext_lazy("The date is missing."),
    "not_understood": gettext_lazy("This date cannot be read. Write it like 12 Oct 2026."),
    "too_long": gettext_lazy("This is too long for a date."),
    "no_such_day": gettext_lazy("That month has no such day."),
    "no_such_month": gettext_lazy("There is no such month."),
    "no_such_year": gettext_lazy("There is no such year."),
    "future": gettext_lazy("This date lies in the future."),
    "reversed": gettext_lazy("The last day comes before the first."),
    "year_missing": gettext_lazy("The year is missing."),
    "order_unclear": gettext_lazy("Day and month may be the wrong way round."),
    "day_or_year": gettext_lazy("A figure here may be the day or the year."),
    "month_or_years": gettext_lazy("This may be a year and a month, or two years."),
    "which_winter": gettext_lazy("A winter lies in two years."),
    "century_unclear": gettext_lazy("The century is not clear."),
    "weekday_differs": gettext_lazy("That date falls on another day of the week."),
    "before_earliest_year": gettext_lazy(
        "This is earlier than the society's earliest year of records."
    ),
}


def date_sentence(code: str | None) -> str:
    """Say what is wrong with, or asked about, a date."""
    return str(DATES.get(code or "", DATES["not_understood"]))
