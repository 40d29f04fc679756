"""Writes to sites."""

from typing import Any

from django.db import transaction
from django.utils.text import slugify
from django.utils.translation import gettext as _

from society.core.errors import NotPermitted, Refused
from society.core.history import change_record, values_before
from society.members.permissions import Viewer, may_organise
from society.places.models import E7, Site
from society.science import polygons
from society.science.names import fold

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


@transaction.atomic
def site_add(values: dict[str, Any], *, by: Viewer) -> Site:
    """Add a site. With a boundary its middle and extent are worked out from that."""
    if not may_organise(by):
        raise NotPermitted(_("Only organisers and keepers may add sites."))
    site = Site(slug=_free_slug(values.get("name", "")))
    _written(site, values)
    change_record("site.added", site, actor_id=by.person_id)
    return site


@transaction.atomic
def site_edit(site_id: int, values: dict[str, Any], *, by: Viewer) -> Site:
    """Change a site; its address stays."""
    if not may_organise(by):
        raise NotPermitted(_("Only organisers and keepers may change sites."))
    site = Site.objects.select_for_update().get(pk=site_id)
    prior = values_before(site, values)
    _written(site, values)
    change_record("site.edited", site, actor_id=by.person_id, prior=prior)
    return site


def _written(site: Site, values: dict[str, Any]) -> None:
    unknown = set(values) - set(EDITABLE)
    if unknown:
        raise ValueError(f"not editable: {sorted(unknown)}")
    for name, value in values.items():
        setattr(site, name, value)
    site.folded = fold(site.name)
    if site.boundary:
        _measured(site)
    _no_circle(site)
    site.full_clean()
    site.save()


def _measured(site: Site) -> None:
    """Set the middle and the extent from the boundary."""
    try:
        lat, lon = polygons.centroid(site.boundary)
        extent = polygons.extent_m(site.boundary)
    except ValueError as error:
        raise Refused(
            _("The boundary must be a GeoJSON Polygon or MultiPolygon, longitude first."),
            "bad_boundary",
            field="boundary",
        ) from error
    site.lat_e7, site.lon_e7 = round(lat * E7), round(lon * E7)
    site.extent_m = max(1, round(extent))


def _no_circle(site: Site) -> None:
    above, seen = site.parent, {site.pk}
    while above is not None:
        if above.pk in seen:
            raise Refused(_("A site cannot belong to one of its own parts."), "circle", field="parent")
        seen.add(above.pk)
        above = above.parent


def _free_slug(name: str) -> str:
    base = slugify(name)[:70] or "site"
    slug, number = base, 2
    while Site.objects.filter(slug=slug).exists():
        slug, number = f"{base}-{number}", number + 1
    return slug
