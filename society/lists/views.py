"""Home, search, my logbook, species lists, and the pages of sites and species."""

from typing import Any
from urllib.parse import urlencode

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.cache import never_cache

from society.core.paging import page_of, querystring_without_page
from society.finds.models import View
from society.lists import queries
from society.lists.forms import SpeciesListForm
from society.members.models import Society
from society.members.permissions import may_organise
from society.members.queries import society_context
from society.names.models import Group, Taxon
from society.places.models import Site
from society.review.queries import viewer_of_request

FINDS_A_PAGE = 50


def society_of(request: HttpRequest) -> Society:
    """Return the society's settings, read once a request."""
    society: Society = society_context(request)["society"]
    return society


@login_not_required
@never_cache
def home(request: HttpRequest) -> HttpResponse:
    viewer = viewer_of_request(request)
    if not viewer.is_member:
        context: dict[str, Any] = {
            "latest": queries.latest_published(viewer),
            "seasons": queries.seasons_to_choose(viewer, society_of(request).season_start_month),
        }
        return render(request, "lists/home_guest.html", context)
    context = {
        "week": queries.week_found(viewer, timezone.localdate()),
        "waiting": queries.finds_waiting(viewer),
        "drafts": queries.drafts_of(viewer),
    }
    return render(request, "lists/home.html", context)


@login_not_required
@never_cache
def search(request: HttpRequest) -> HttpResponse:
    found = queries.everything_found(viewer_of_request(request), request.GET.get("q", ""))
    return render(request, "lists/search.html", {"found": found, "search_text": found.text})


@never_cache
def logbook(request: HttpRequest) -> HttpResponse:
    viewer = viewer_of_request(request)
    page = page_of(request, queries.own_finds(viewer), FINDS_A_PAGE)
    context = {
        "page_obj": page,
        "days": queries.by_day_and_place(queries.find_lines(viewer, page.object_list)),
        "waiting": queries.finds_waiting(viewer) if page.number == 1 else [],
        "drafts": queries.drafts_of(viewer) if page.number == 1 else [],
        "withdrawn": (
            queries.find_lines(viewer, queries.withdrawn_finds(viewer)) if page.number == 1 else []
        ),
    }
    return render(request, "lists/logbook.html", context)


@never_cache
def logbook_names(request: HttpRequest) -> HttpResponse:
    names = queries.names_in_book(viewer_of_request(request))
    return render(request, "lists/logbook_names.html", {"names": names})


@login_not_required
@never_cache
def lists(request: HttpRequest) -> HttpResponse:
    viewer = viewer_of_request(request)
    society = society_of(request)
    context = {
        "form": SpeciesListForm(viewer=viewer, society=society),
        "seasons": queries.seasons_counted(
            queries.finds_at(viewer, None), society.season_start_month
        ),
        "sites": queries.sites_with_finds(viewer),
    }
    return render(request, "lists/lists.html", context)


@login_not_required
@never_cache
def species_list_page(request: HttpRequest) -> HttpResponse:
    viewer = viewer_of_request(request)
    form = SpeciesListForm(request.GET, viewer=viewer, society=society_of(request))
    context: dict[str, Any] = {"form": form, "querystring": request.GET.urlencode()}
    if not form.is_valid():
        return render(request, "lists/species_list.html", context, status=422)
    context["list"] = queries.species_list(viewer, form.wanted())
    return render(request, "lists/species_list.html", context)


@login_not_required
@never_cache
def finds(request: HttpRequest) -> HttpResponse:
    viewer = viewer_of_request(request)
    form = SpeciesListForm(request.GET, viewer=viewer, society=society_of(request))
    wanted_taxon = request.GET.get("taxon", "")
    taxon = None
    if wanted_taxon:
        number = int(wanted_taxon) if wanted_taxon.isdecimal() else 0
        taxon = get_object_or_404(Taxon.objects.fungi().accepted(), pk=number)
    context: dict[str, Any] = {"form": form, "taxon": taxon}
    if not form.is_valid():
        return render(request, "lists/finds.html", context, status=422)
    wanted, written = form.wanted(), request.GET.get("written", "").strip()
    rows = queries.finds_of_row(
        viewer, wanted, taxon, qualifier=request.GET.get("qualifier"), written=written
    )
    page = page_of(request, rows, FINDS_A_PAGE)
    lines = queries.find_lines(viewer, page.object_list)
    context |= {"page_obj": page, "lines": lines, "written": written, "wanted": wanted}
    context["title"] = queries.title_of(wanted)
    context["querystring"] = querystring_without_page(request).rstrip("&")
    return render(request, "lists/finds.html", context)


@login_not_required
@never_cache
def sites(request: HttpRequest) -> HttpResponse:
    viewer = viewer_of_request(request)
    context = {"branches": queries.sites_as_tree(viewer), "may_add": may_organise(viewer)}
    return render(request, "lists/sites.html", context)


@login_not_required
@never_cache
def site(request: HttpRequest, slug: str) -> HttpResponse:
    viewer = viewer_of_request(request)
    shown = get_object_or_404(Site.objects.visible_to(viewer), slug=slug)
    context = {
        "page": queries.site_page(viewer, shown, society_of(request).season_start_month),
        "site": shown,
        "may_edit": may_organise(viewer),
        "tiles": settings.MAP_TILES,
        "tiles_credit": settings.MAP_TILES_CREDIT,
    }
    return render(request, "lists/site.html", context)


@login_not_required
@never_cache
def species(request: HttpRequest, taxon_id: int) -> HttpResponse:
    taxon = get_object_or_404(Taxon.objects.select_related("accepted"), pk=taxon_id)
    if taxon.group != Group.FUNGUS:
        return redirect(f"/lists/species/?{urlencode({'host': taxon.current.pk})}")
    if taxon.accepted_id is not None:
        return redirect("lists:species", taxon.accepted_id, permanent=False)
    view = request.GET.get("view")
    view = view if view in View.values else None
    page = queries.species_page(viewer_of_request(request), taxon, view)
    context = {"page": page, "taxon": taxon, "view": view}
    return render(request, "lists/species.html", context)
