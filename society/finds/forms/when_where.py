"""Reading when and where: from what was typed to what is stored, or to a sentence with its cure."""

import datetime as dt
import re
from dataclasses import dataclass

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from society.core.free_text import FreeText
from society.finds.forms.questions import date_sentence
from society.finds.models import Find, PositionSource
from society.finds.services import PlaceEntry
from society.members.models import Society
from society.places.forms import place_sentence
from society.places.models import E7
from society.places.queries import region_box
from society.science.dates import read_date
from society.science.positions import Position, Refusal, read_position

# What the scripts of map and phone write into the field: decimal degrees to six figures.
WRITTEN_BY_SCRIPT = re.compile(r"-?\d{1,2}\.\d{6}, -?\d{1,3}\.\d{6}")


@dataclass(frozen=True, slots=True)
class DatesRead:
    """Two local days, both included; or a fault, which a tick may answer when ``is_question``."""

    start: dt.date | None
    end: dt.date | None
    fault: str = ""
    is_question: bool = False


def dates_read(text: str, society: Society) -> DatesRead:
    """Read a day or a span of days as written."""
    read = read_date(
        text,
        today=timezone.localdate(),
        day_first=society.day_first,
        earliest_year=society.earliest_year,
    )
    if read.outcome == "refused" or read.start is None or read.end is None:
        return DatesRead(None, None, date_sentence(read.code))
    if read.outcome == "ok":
        return DatesRead(read.start, read.end)
    said = date_format(read.start, "DATE_FORMAT")
    if read.end != read.start:
        said = f"{said} – {date_format(read.end, 'DATE_FORMAT')}"
    fault = _("%(question)s It is read as %(dates)s. Tick 'the date is right', or mend it.") % {
        "question": date_sentence(read.code),
        "dates": said,
    }
    return DatesRead(read.start, read.end, fault, is_question=True)


@dataclass(frozen=True, slots=True)
class PlaceRead:
    """A place, or what is wrong with the position as typed."""

    place: PlaceEntry
    fault: str = ""


def place_read(
    position: str, words: str, uncertainty_m: int | None, source: str, stored: Find | None
) -> PlaceRead:
    """Read a position (grid reference, degrees) and the place in words; either may be empty.

    A position that stands in the field as it is stored stays as it is stored, to the last digit.
    """
    if not position and isinstance(read_position(words), Position):
        position = words
    if not position:
        return PlaceRead(PlaceEntry(verbatim=words))
    if stored is not None and position == position_text(stored):
        if uncertainty_m == stored.uncertainty_m:
            return PlaceRead(_as_stored(stored, words))
        source = source or stored.position_source
    read = read_position(position, region_box=region_box())
    if isinstance(read, Refusal):
        return PlaceRead(PlaceEntry(), _position_fault(read))
    if not (source and WRITTEN_BY_SCRIPT.fullmatch(position)):
        source = PositionSource.TYPED
    typed = position if source == PositionSource.TYPED else ""
    return PlaceRead(
        PlaceEntry(
            lat_e7=read.lat_e7,
            lon_e7=read.lon_e7,
            uncertainty_m=max(uncertainty_m or 0, read.uncertainty_m),
            source=source,
            verbatim=words or typed,
            position_verbatim=typed,
        )
    )


def _position_fault(refused: Refusal) -> str:
    if refused.code == "not_understood":
        return _(
            "This is read neither as a grid reference nor as degrees. Words go in 'place in words'."
        )
    return place_sentence(refused.code, refused.detail)


def _as_stored(stored: Find, words: str) -> PlaceEntry:
    return PlaceEntry(
        lat_e7=stored.lat_e7,
        lon_e7=stored.lon_e7,
        uncertainty_m=stored.uncertainty_m,
        source=stored.position_source,
        verbatim=words or stored.position_verbatim,
        position_verbatim=stored.position_verbatim,
    )


def position_text(find: Find) -> str:
    """Return a stored position as the field shows it: as it was typed, else in degrees."""
    if find.position_verbatim or find.lat_e7 is None or find.lon_e7 is None:
        return find.position_verbatim
    return f"{find.lat_e7 / E7:.6f}, {find.lon_e7 / E7:.6f}"


def words_text(find: Find) -> str:
    """Return the place in words as the field shows it, empty where only a position was typed."""
    words = FreeText(find.place_verbatim).raw
    return "" if words == find.position_verbatim else words
