"""Reads of sites."""

from typing import Any

from society.members.permissions import Viewer
from society.places.models import Site


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
