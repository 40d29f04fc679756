"""Reads of sites."""

from typing import Any

from django.db.models import Max, Min

from society.members.permissions import Viewer
from society.places.models import E7, Site
from society.science.positions import RegionBox

# Degrees round the society's sites within which a place is expected.
ROUND_ABOUT = 2.0


def sites_to_choose(viewer: Viewer) -> Any:
    """Return the sites this viewer may name, by name."""
    return Site.objects.visible_to(viewer).order_by("folded", "pk")


def site_with_parts_ids(site: Site) -> list[int]:
    """Return the ids of a site and of everything that belongs to it, however deep. One query."""
    children: dict[int | None, list[int]] = {}
    for pk, parent_id in Site.objects.values_list("pk", "parent_id"):
        children.setdefault(parent_id, []).append(pk)
    found, waiting = [], [site.pk]
    while waiting:
        pk = waiting.pop()
        found.append(pk)
        waiting.extend(children.get(pk, ()))
    return found


def region_box() -> RegionBox | None:
    """Return a box well round the society's sites, None before any has a position. One query.

    Only to ask whether latitude and longitude were swapped; it refuses no place.
    """
    edges = Site.objects.aggregate(
        south=Min("lat_e7"), west=Min("lon_e7"), north=Max("lat_e7"), east=Max("lon_e7")
    )
    if edges["south"] is None or edges["west"] is None:
        return None
    return RegionBox(
        south=max(-90.0, edges["south"] / E7 - ROUND_ABOUT),
        west=max(-180.0, edges["west"] / E7 - ROUND_ABOUT),
        north=min(90.0, edges["north"] / E7 + ROUND_ABOUT),
        east=min(180.0, edges["east"] / E7 + ROUND_ABOUT),
    )


def boundaries(viewer: Viewer) -> dict[str, Any]:
    """Return the boundaries of the sites this viewer may see, as a GeoJSON FeatureCollection."""
    sites = Site.objects.visible_to(viewer).exclude(boundary=None)
    return {
        "type": "FeatureCollection",
        "features": [
            {
                "type": "Feature",
                "id": site.slug,
                "properties": {"name": site.name, "id": site.pk},
                "geometry": site.boundary,
            }
            for site in sites
        ],
    }
