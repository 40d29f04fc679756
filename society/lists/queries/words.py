"""What a list is called: its place and time in words."""

import datetime as dt

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from society.finds.models import Qualifier
from society.lists.queries.wanted import SpeciesListFilter
from society.science.dates import season_span
from society.science.names import render_parts


def season_words(season: int, start_month: int) -> str:
    """Return a season's name: '2025', or '2025/26' where it runs over the turn of the year."""
    first, last = season_span(season, start_month)
    if first.year == last.year:
        return str(season)
    return f"{season}/{last.year % 100:02d}"


def list_title(wanted: SpeciesListFilter, first: dt.date | None, last: dt.date | None) -> str:
    """Return place and time of a list, for a heading, a caption or the name of a file."""
    place = wanted.site.name if wanted.site is not None else _("the whole society")
    return _("%(place)s, %(time)s") % {"place": place, "time": time_words(wanted, first, last)}


def time_words(wanted: SpeciesListFilter, first: dt.date | None, last: dt.date | None) -> str:
    """Return the time of a list in words."""
    if wanted.season is not None and not (wanted.date_from or wanted.date_to) and first and last:
        name = str(first.year) if first.year == last.year else f"{first.year}/{last.year % 100:02d}"
        return _("season %(season)s") % {"season": name}
    if first and last:
        return _("%(first)s to %(last)s") % {"first": day_words(first), "last": day_words(last)}
    if first:
        return _("from %(first)s on") % {"first": day_words(first)}
    if last:
        return _("up to %(last)s") % {"last": day_words(last)}
    return _("all years")


def day_words(day: dt.date) -> str:
    return str(date_format(day, "j M Y"))


def qualified_parts(name: str, authorship: str, qualifier: str) -> list[tuple[str, bool]]:
    """Return a name with its qualifier where it is written: *Russula* cf. *emetica*, ... agg."""
    genus, _space, rest = name.partition(" ")
    if qualifier in (Qualifier.CF, Qualifier.AFF) and rest:
        return render_parts(f"{genus} {qualifier} {rest}", authorship)
    if qualifier in (Qualifier.NONE, Qualifier.SP):
        return render_parts(name, authorship)
    return render_parts(f"{name} {qualifier}")
