"""The demo's sites and forays, through the services of their rooms."""

from society.demo.rules import Plan, World
from society.demo.services.people import People
from society.forays.services import visit_add
from society.members.permissions import Viewer
from society.places.models import Site
from society.places.services import site_add


def sites_add(world: World, *, by: Viewer) -> dict[str, Site]:
    """Add the groups and their sites; return them by key."""
    sites: dict[str, Site] = {}
    for group in world.groups:
        sites[group["key"]] = site_add({"name": group["name"]}, by=by)
    for site in world.sites:
        sites[site.key] = site_add(
            {
                "name": site.name,
                "parent": sites.get(site.parent or ""),
                "openness": site.openness,
                "boundary": dict(site.boundary),
                "soil": site.soil,
                "habitat": ", ".join(site.habitats)[:120],
                "picking": site.picking,
                "owner_note": f"{site.owner}: {site.picking_rule}",
                "cautions": "; ".join(site.cautions),
            },
            by=by,
        )
    return sites


def forays_add(plan: Plan, sites: dict[str, Site], people: People) -> dict[str, int]:
    """Add the forays; return their ids by key."""
    return {
        foray.key: visit_add(
            site_id=sites[foray.site].pk,
            date=foray.day,
            title=foray.title,
            leader_id=people.ids[foray.leader],
            people_ids=[people.ids[key] for key in foray.people],
            starts_at=foray.starts,
            ends_at=foray.ends,
            all_species=foray.all_species,
            notes=foray.notes,
            by=people.keeper,
        ).pk
        for foray in plan.forays
    }
