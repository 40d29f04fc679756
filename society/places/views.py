"""Adding and editing sites, their boundaries for the maps, and reading a place as typed."""

from typing import Any

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from society.core.errors import Refused
from society.core.forms import refusal_shown
from society.members.permissions import Viewer, may_organise
from society.members.queries import viewer_of
from society.places import queries, services
from society.places.forms import SiteForm, place_answer
from society.places.models import E7, Site


def organiser_of(request: HttpRequest) -> Viewer:
    """Return the viewer, an organiser or keeper; anybody else is answered 403."""
    viewer = viewer_of(request.user)
    if not may_organise(viewer):
        raise PermissionDenied
    return viewer


@never_cache
def add(request: HttpRequest) -> HttpResponse:
    viewer = organiser_of(request)
    form = SiteForm(request.POST or None, request.FILES or None, viewer=viewer)
    if request.method == "POST" and form.is_valid():
        try:
            site = services.site_add(form.values, by=viewer)
        except (Refused, ValidationError) as error:
            refusal_shown(form, error)
        else:
            messages.success(request, _("%(name)s is among the sites.") % {"name": site})
            return redirect("lists:site", slug=site.slug)
    return render(request, "places/add.html", {"form": form})


@never_cache
def edit(request: HttpRequest, slug: str) -> HttpResponse:
    viewer = organiser_of(request)
    site = get_object_or_404(Site.objects.visible_to(viewer), slug=slug)
    form = SiteForm(request.POST or None, request.FILES or None, viewer=viewer, site=site)
    if request.method == "POST" and form.is_valid():
        try:
            services.site_edit(site.pk, form.values, by=viewer)
        except (Refused, ValidationError) as error:
            refusal_shown(form, error)
        else:
            messages.success(request, _("Kept."))
            return redirect("lists:site", slug=site.slug)
    return render(request, "places/edit.html", {"form": form, "site": site, **_map_of(site)})


def _map_of(site: Site) -> dict[str, Any]:
    return {
        "lat": None if site.lat_e7 is None else site.lat_e7 / E7,
        "lon": None if site.lon_e7 is None else site.lon_e7 / E7,
        "map_tiles": settings.MAP_TILES,
        "map_tiles_credit": settings.MAP_TILES_CREDIT,
    }


@login_not_required
@never_cache
@require_safe
def boundaries(request: HttpRequest) -> HttpResponse:
    """Answer the boundaries of the sites this viewer may see, as GeoJSON."""
    found = queries.boundaries(viewer_of(request.user))
    return JsonResponse(found, content_type="application/geo+json")


@never_cache
@require_safe
def read(request: HttpRequest) -> HttpResponse:
    """Answer what a line says of a place."""
    return JsonResponse(place_answer(request.GET.get("text", "")[:1000]))
