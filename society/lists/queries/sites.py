"""Pages of sites: the tree of sites, and what one holds."""

from dataclasses import dataclass

from django.db.models import Count, Max

from society.finds.models import Find, Soil
from society.finds.queries import site_named_condition
from society.lists.queries.find_lines import FindLine, find_lines, latest_finds
from society.lists.queries.listed import finds_at
from society.lists.queries.seasons import SeasonCount, seasons_counted
from society.members.permissions import Viewer
from society.places.models import E7, Site

LATEST = 12


@dataclass(frozen=True, slots=True)
class SiteBranch:
    """A site the viewer may name, with its own finds and how deep in the tree."""

    site: Site
    depth: int
    finds: int

    @property
    def levels(self) -> range:
        """What a template counts the depth by."""
        return range(self.depth)


def sites_as_tree(viewer: Viewer) -> list[SiteBranch]:
    """Return the sites in the order of a tree, each after what it belongs to. Two queries.

    A part of a site that the viewer may not name stands by itself.
    """
    sites = list(Site.objects.visible_to(viewer))
    numbers = dict(
        Find.objects.visible_to(viewer)
        .laid()
        .filter(site_named_condition(viewer))
        .order_by()
        .values_list("site_id")
        .annotate(n=Count("pk"))
    )
    known = {site.pk for site in sites}
    parts: dict[int | None, list[Site]] = {}
    for site in sites:
        parent = site.parent_id if site.parent_id in known else None
        parts.setdefault(parent, []).append(site)
    flat: list[SiteBranch] = []

    def walk(parent: int | None, depth: int) -> None:
        for site in parts.get(parent, ()):
            flat.append(SiteBranch(site, depth, numbers.get(site.pk, 0)))
            walk(site.pk, depth + 1)

    walk(None, 0)
    return flat


@dataclass(frozen=True, slots=True)
class SitePage:
    """What a site's page shows; finds of its parts are among the site's own."""

    site: Site
    parent: Site | None
    parts: list[Site]
    seasons: list[SeasonCount]
    latest: list[FindLine]

    @property
    def lat(self) -> float | None:
        return None if self.site.lat_e7 is None else self.site.lat_e7 / E7

    @property
    def lon(self) -> float | None:
        return None if self.site.lon_e7 is None else self.site.lon_e7 / E7

    @property
    def soil_words(self) -> str:
        return str(dict(Soil.choices).get(self.site.soil, self.site.soil))


def site_page(viewer: Viewer, site: Site, start_month: int) -> SitePage:
    """Return a site's page. Ten queries, however many finds."""
    visible = Site.objects.visible_to(viewer)
    finds = finds_at(viewer, site)
    return SitePage(
        site=site,
        parent=visible.filter(pk=site.parent_id).first() if site.parent_id else None,
        parts=list(visible.filter(parent=site)),
        seasons=seasons_counted(finds, start_month),
        latest=find_lines(viewer, latest_finds(finds, LATEST)),
    )


def sites_with_finds(viewer: Viewer) -> list[tuple[Site, int]]:
    """Return the sites with finds, those last walked first, for the page that offers lists.

    Two queries.
    """
    rows = (
        Find.objects.visible_to(viewer)
        .laid()
        .filter(site_named_condition(viewer))
        .order_by()
        .values_list("site_id")
        .annotate(n=Count("pk"), last=Max("date_start"))
    )
    numbers = {site_id: (last, n) for site_id, n, last in rows}
    sites = Site.objects.visible_to(viewer).in_bulk(numbers.keys())
    order = sorted(
        sites.values(), key=lambda site: (numbers[site.pk][0], site.folded), reverse=True
    )
    return [(site, numbers[site.pk][1]) for site in order]
