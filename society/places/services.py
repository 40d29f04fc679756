"""Writes to sites."""

from typing import Any

from django.db import transaction
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from society.core.errors import NotPermitted, Refused
from society.core.history import change_record, values_before
from society.members.permissions import Viewer, may_organise
from society.places.models import E7, Site
from society.places.queries import region_box
from society.science import polygons
from society.science.names import fold
from society.science.positions import swapped

EDITABLE = (
    "name",
    "parent",
    "openness",
    "boundary",
    "lat_e7",
    "lon_e7",
    "extent_m",
    "soil",
    "habitat",
    "picking",
    "owner_note",
    "cautions",
    "access_note",
)
BOUNDARIES: dict[str, Any] = {
    "not_a_polygon": gettext_lazy(
        "The boundary must be a GeoJSON Polygon or MultiPolygon, longitude first."
    ),
    "ring_too_short": gettext_lazy("A ring of a boundary needs at least three corners."),
    "ring_open": gettext_lazy(
        "A ring of the boundary is not closed: its last position must be its first one again."
    ),
    "bad_position": gettext_lazy(
        "A position of the boundary is not a pair of numbers, longitude then latitude."
    ),
    "out_of_range": gettext_lazy(
        "A position of the boundary is not on the earth. Longitude comes first, then latitude, "
        "both in degrees."
    ),
    "no_area": gettext_lazy("The boundary encloses nothing, or its ring crosses itself."),
    "too_many_positions": gettext_lazy(
        "The boundary has too many positions. Draw it with fewer than 20,000."
    ),
}
# Addresses that are pages of their own.
RESERVED_SLUGS = frozenset({"new"})


@transaction.atomic
def site_add(values: dict[str, Any], *, by: Viewer) -> Site:
    """Add a site. With a boundary its middle and extent are worked out from that."""
    if not may_organise(by):
        raise NotPermitted(_("Only organisers and keepers may add sites."))
    values = _measured(values)
    site = Site(slug=_free_slug(values.get("name", "")))
    _written(site, values)
    change_record("site.added", site, actor_id=by.person_id)
    return site


@transaction.atomic
def site_edit(site_id: int, values: dict[str, Any], *, by: Viewer) -> Site:
    """Change a site; its address stays. Where nothing differs nothing is written."""
    if not may_organise(by):
        raise NotPermitted(_("Only organisers and keepers may change sites."))
    site = Site.objects.select_for_update().get(pk=site_id)
    values = _measured(values)
    prior = values_before(site, values)
    if prior:
        _written(site, values)
        change_record("site.edited", site, actor_id=by.person_id, prior=prior)
    return site


def _written(site: Site, values: dict[str, Any]) -> None:
    unknown = set(values) - set(EDITABLE)
    if unknown:
        raise ValueError(f"not editable: {sorted(unknown)}")
    for name, value in values.items():
        setattr(site, name, value)
    site.name = " ".join(site.name.split())
    site.folded = fold(site.name)
    _named_alone(site)
    _no_circle(site)
    site.full_clean()
    site.save()


def _named_alone(site: Site) -> None:
    if site.name and not site.folded:
        raise Refused(_("A name needs letters or figures."), "no_letters", field="name")
    if Site.objects.filter(folded=site.folded).exclude(pk=site.pk).exists():
        raise Refused(_("There is already a site of this name."), "held_already", field="name")


def _measured(values: dict[str, Any]) -> dict[str, Any]:
    """Return the values with the boundary tidied, and middle and extent worked out from it."""
    if not values.get("boundary"):
        return {**values, "boundary": None} if "boundary" in values else values
    try:
        parts = polygons.parts_of(values["boundary"])
    except polygons.BadShape as error:
        raise Refused(BOUNDARIES[error.code], error.code, field="boundary") from error
    boundary = _geometry(parts)
    lat, lon = polygons.centroid(boundary)
    box = region_box()
    if box is not None and swapped(lat, lon, box) is not None:
        raise Refused(
            _("Latitude and longitude are the wrong way round: GeoJSON has longitude first."),
            "perhaps_swapped",
            field="boundary",
        )
    return {
        **values,
        "boundary": boundary,
        "lat_e7": round(lat * E7),
        "lon_e7": round(lon * E7),
        "extent_m": max(1, round(polygons.extent_m(boundary))),
    }


def _geometry(parts: list[polygons.Part]) -> dict[str, Any]:
    """Return plain GeoJSON, without heights, to a centimetre."""
    rounded = [
        [[[round(lon, 7), round(lat, 7)] for lon, lat in ring] for ring in part] for part in parts
    ]
    if len(rounded) == 1:
        return {"type": "Polygon", "coordinates": rounded[0]}
    return {"type": "MultiPolygon", "coordinates": rounded}


def _no_circle(site: Site) -> None:
    above, seen = site.parent, {site.pk}
    while above is not None:
        if above.pk in seen:
            raise Refused(
                _("A site cannot belong to itself or to one of its own parts."),
                "circle",
                field="parent",
            )
        seen.add(above.pk)
        above = above.parent


def _free_slug(name: str) -> str:
    base = slugify(name)[:70].strip("-") or "site"
    slug, number = base, 2
    while slug in RESERVED_SLUGS or Site.objects.filter(slug=slug).exists():
        slug, number = f"{base}-{number}", number + 1
    return slug
