"""Reads of finds: who sees which place, and what counts under a site for whom."""

import math
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from django.db.models import Q

from society.core.free_text import FreeText
from society.finds.models import DeterminationSlip, Find
from society.members.permissions import Viewer
from society.names.models import Sensitivity
from society.places.models import E7, Openness, Site
from society.science import blurring


@dataclass(frozen=True, slots=True)
class PlaceGiven:
    """The place of a find as this viewer may have it.

    ``site`` is set where its name may be shown; ``region_only`` where nothing but the society's
    region is given; ``resolution_deg`` is None for an exact place.
    """

    site: Site | None
    words: FreeText
    lat: float | None
    lon: float | None
    uncertainty_m: int | None
    resolution_deg: float | None
    region_only: bool
    is_exact: bool
    is_held_back: bool
    # Whether words that may tell the place (notes, habitat, captions, the thread) are kept back.
    holds_words_back: bool

    @property
    def digits(self) -> str:
        """How many decimals to print, as an argument of the ``floatformat`` filter."""
        if self.resolution_deg is None:
            return "5u"
        return f"{max(0, round(-math.log10(self.resolution_deg)))}u"


def reader_of(viewer: Viewer, is_exact: bool) -> blurring.Reader:
    if is_exact:
        return "exact"
    return "member" if viewer.is_member else "guest"


def scopes_condition(viewer: Viewer, prefix: str) -> Q:
    """Return the condition that a name, reached by ``prefix``, lies in one of the viewer's scopes.

    Never true for a viewer without scopes.
    """
    condition = Q(pk__in=[])
    for rank, name in viewer.scopes:
        if rank == "all":
            return ~Q(pk__in=[])
        for hop in ("", "accepted__"):
            condition |= Q(**{f"{prefix}{hop}{rank}__iexact": name})
    return condition


def exact_condition(viewer: Viewer, find_ids: Collection[int] | None = None) -> Q:
    """Return the condition on ``Find`` under which this viewer has the exact place.

    Finder, companions, who entered it, referees in scope of a name laid on it, keepers.
    ``find_ids``: the finds it is asked of, so that the slips and companions of no others are read.
    """
    if viewer.person_id is None:
        return Q(pk__in=[])
    if viewer.is_keeper or ("all", "") in viewer.scopes:
        return ~Q(pk__in=[])
    asked = Q() if find_ids is None else Q(find_id__in=find_ids)
    accompanied = Find.companions.through.objects.filter(asked, person_id=viewer.person_id)
    condition = (
        Q(finder_id=viewer.person_id)
        | Q(entered_by_id=viewer.person_id)
        | Q(pk__in=accompanied.values("find_id"))
    )
    if viewer.scopes:
        slips = DeterminationSlip.objects.filter(asked, scopes_condition(viewer, "taxon__"))
        condition |= Q(pk__in=slips.order_by().values("find_id"))
    return condition


def exact_find_ids(viewer: Viewer, finds: Iterable[Find]) -> set[int]:
    """Return the ids of those finds whose exact place this viewer has. One query at most."""
    ids = [find.pk for find in finds]
    if viewer.person_id is None or not ids:
        return set()
    if viewer.is_keeper or ("all", "") in viewer.scopes:
        return set(ids)
    return set(
        Find.objects.filter(pk__in=ids)
        .filter(exact_condition(viewer, ids))
        .order_by()
        .values_list("pk", flat=True)
    )


def places_given(viewer: Viewer, finds: Iterable[Find]) -> dict[int, PlaceGiven]:
    """Return the place of each find as this viewer may have it; sites must be selected with them.

    One query.
    """
    rows = list(finds)
    exact = exact_find_ids(viewer, rows)
    return {find.pk: place_given(viewer, find, is_exact=find.pk in exact) for find in rows}


def place_given(viewer: Viewer, find: Find, *, is_exact: bool) -> PlaceGiven:
    """Return the place of one find as this viewer may have it. The one place that decides."""
    reader = reader_of(viewer, is_exact)
    site = find.site if site_is_named(viewer, find, is_exact=is_exact) else None
    held_back = find.site_id is not None and site is None
    words = FreeText(find.place_verbatim if is_exact else "")
    words_back = not is_exact and (find.secrecy is not None or held_back)
    if find.lat_e7 is None or find.lon_e7 is None:
        return PlaceGiven(
            site=site,
            words=words,
            lat=None,
            lon=None,
            uncertainty_m=None,
            resolution_deg=None,
            region_only=site is None and not words,
            is_exact=is_exact,
            is_held_back=held_back,
            holds_words_back=words_back,
        )
    given = blurring.given_place(find.lat_e7, find.lon_e7, find.uncertainty_m, reader, find.secrecy)
    return PlaceGiven(
        site=site,
        words=words,
        lat=None if given.lat_e7 is None else given.lat_e7 / E7,
        lon=None if given.lon_e7 is None else given.lon_e7 / E7,
        uncertainty_m=given.uncertainty_m,
        resolution_deg=None if given.step_e7 is None else given.step_e7 / E7,
        region_only=given.region_only and site is None,
        is_exact=given.exact,
        is_held_back=held_back,
        holds_words_back=words_back,
    )


def site_is_named(viewer: Viewer, find: Find, *, is_exact: bool) -> bool:
    """Whether this viewer may learn the find's site.

    A kept site is named to members only. Where a find is sensitive or made secret and the
    viewer's cell is coarser than the site, naming the site would give the place away.
    """
    if find.site is None:
        return False
    if is_exact:
        return True
    if find.site.openness == Openness.KEPT and not viewer.is_member:
        return False
    return blurring.site_shown(reader_of(viewer, False), find.secrecy, find.site.extent_m)


def site_named_condition(viewer: Viewer) -> Q:
    """Return ``site_is_named`` as a condition on ``Find``: for lists, counts, filters by site."""
    named = Q(secrecy=None)
    for category in Sensitivity.values:
        smallest = blurring.smallest_site_m(reader_of(viewer, False), category)
        if smallest is not None:
            named |= Q(secrecy=category, site__extent_m__gte=smallest)
    if not viewer.is_member:
        named &= Q(site__openness=Openness.OPEN)
    return Q(site__isnull=False) & (named | exact_condition(viewer))


def finds_bearing(taxon_ids: Iterable[int]) -> int:
    """Return how many laid finds have a slip of one of these names or a synonym. One query."""
    ids = list(taxon_ids)
    slips = DeterminationSlip.objects.filter(Q(taxon__in=ids) | Q(taxon__accepted__in=ids))
    return Find.objects.laid().filter(pk__in=slips.values("find_id")).count()
