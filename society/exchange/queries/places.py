"""The place of a find in a file: what is given, how coarsely, and what is kept back, in words."""

from collections.abc import Sequence
from decimal import Decimal

from django.utils.translation import gettext as _

from society.exchange.queries.tables import Cell
from society.finds.models import Find
from society.finds.queries import PlaceGiven
from society.safety import gate

DATUM = "WGS84"


def place_cells(find: Find, place: PlaceGiven, region: str) -> Sequence[Cell]:
    """Return locality, latitude, longitude, precision, uncertainty, datum, what was coarsened, what
    is kept back. Nothing here knows more of the place than ``place`` does."""
    has_point = place.lat is not None and place.lon is not None
    return (
        locality(place, region),
        _degrees(place.lat, place),
        _degrees(place.lon, place),
        _step(place),
        place.uncertainty_m,
        DATUM if has_point else "",
        _generalised(place),
        _withheld(find, place),
    )


def locality(place: PlaceGiven, region: str) -> str:
    """Return the place in words, as its reader may have them."""
    named = place.site.name if place.site is not None else ""
    words = gate.as_text(place.words)
    return ", ".join(filter(None, (named, words))) or (region if place.region_only else "")


def words_held_back(find: Find, place: PlaceGiven) -> str:
    """Return what stands in place of free words that might describe a place kept back, else ''."""
    return _("held back with the place") if place.holds_words_back else ""


def _degrees(value: float | None, place: PlaceGiven) -> Decimal | None:
    """Return degrees with as many decimals as are given, no more."""
    if value is None:
        return None
    exact, step = Decimal(f"{value:.7f}"), _step(place)
    return exact.normalize() if step is None else exact.quantize(step)


def _step(place: PlaceGiven) -> Decimal | None:
    if place.resolution_deg is None:
        return None
    return Decimal(str(place.resolution_deg)).normalize()


def _generalised(place: PlaceGiven) -> str:
    if place.region_only:
        return _("only the region is given")
    step = _step(place)
    if step is None:
        return ""
    return _("coordinates rounded to %(step)s degree on a grid of decimal degrees") % {
        "step": f"{step:f}"
    }


def _withheld(find: Find, place: PlaceGiven) -> str:
    if place.is_exact:
        return ""
    held = []
    if place.region_only:
        held.append(_("coordinates"))
    elif place.resolution_deg is not None:
        held.append(_("the exact place"))
    if place.is_held_back:
        held.append(_("the name of the site"))
    if words_held_back(find, place):
        held.append(_("notes that may describe it"))
    if not held:
        return ""
    if find.secrecy is not None:
        reason = _("the place of this find is kept secret; ask the society")
    else:
        reason = _("places are given out on a grid; ask the society")
    return f"{', '.join(held)}: {reason}"
