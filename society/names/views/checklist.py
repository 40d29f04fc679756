"""The look-up of names, and the keepers' pages of the checklist."""

from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import cache_control, never_cache
from django.views.decorators.http import require_safe

from society.core.errors import Refused
from society.core.forms import refusal_shown
from society.core.paging import page_of, querystring_without_page
from society.members.permissions import Viewer, may_keep
from society.members.queries import viewer_of
from society.names import services
from society.names.forms import LONGEST_QUERY, ChecklistFilterForm, TaxonForm
from society.names.models import Group, Taxon
from society.names.queries import (
    checklist_rows,
    checklist_shown,
    listed_statuses,
    look_up,
    splits_of,
    was_merged,
)

GROUPS: dict[str, tuple[str, ...] | None] = {
    "": None,
    "fungus": (Group.FUNGUS,),
    "hosts": tuple(group for group in Group.values if group != Group.FUNGUS),
}


def keeper_of(request: HttpRequest) -> Viewer:
    """Return the viewer, who is a keeper; anybody else is answered 403."""
    viewer = viewer_of(request.user)
    if not may_keep(viewer):
        raise PermissionDenied
    return viewer


@login_not_required
@cache_control(private=True, max_age=60)
@require_safe
def lookup(request: HttpRequest) -> HttpResponse:
    """Answer names that fit what was typed; less than two letters fit nothing."""
    groups = request.GET.get("groups", "")
    if groups not in GROUPS:
        message = _("Ask for the groups 'fungus' or 'hosts', or for none.")
        return JsonResponse({"message": message}, status=400)
    text = request.GET.get("q", "")[:LONGEST_QUERY]
    return JsonResponse({"results": look_up(text, groups=GROUPS[groups])})


@never_cache
@require_safe
def checklist(request: HttpRequest) -> HttpResponse:
    keeper_of(request)
    form = ChecklistFilterForm(request.GET)
    form.is_valid()
    wanted = form.cleaned_data
    rows = checklist_rows(
        wanted.get("q", ""),
        group=wanted.get("group", ""),
        doubt=wanted.get("doubt", False),
        kind=wanted.get("kind", ""),
    )
    page = page_of(request, rows)
    context = {
        "form": form,
        "page_obj": page,
        "rows": checklist_shown(page.object_list),
        "querystring": querystring_without_page(request).rstrip("&"),
    }
    return render(request, "names/checklist.html", context)


@never_cache
def add(request: HttpRequest) -> HttpResponse:
    viewer = keeper_of(request)
    name = request.GET.get("name", "")[:LONGEST_QUERY]
    form = TaxonForm(request.POST or None, initial={"scientific_name": name})
    if request.method == "POST" and form.is_valid():
        try:
            taxon = services.taxon_add(form.values, english=form.english_names, by=viewer)
        except (Refused, ValidationError) as error:
            refusal_shown(form, error)
        else:
            messages.success(request, _("%(name)s is in the checklist.") % {"name": taxon})
            return redirect("names:edit", taxon_id=taxon.pk)
    return render(request, "names/add.html", {"form": form})


@never_cache
def edit(request: HttpRequest, taxon_id: int) -> HttpResponse:
    viewer = keeper_of(request)
    taxon = get_object_or_404(Taxon.objects.select_related("accepted"), pk=taxon_id)
    form = TaxonForm(request.POST or None, taxon=taxon)
    if request.method == "POST" and form.is_valid():
        try:
            services.taxon_edit(taxon.pk, form.values, english=form.english_names, by=viewer)
        except (Refused, ValidationError) as error:
            refusal_shown(form, error)
        else:
            messages.success(request, _("Kept."))
            return redirect("names:edit", taxon_id=taxon.pk)
    context: dict[str, Any] = {
        "form": form,
        "taxon": taxon,
        "may_part": was_merged(taxon),
        "splits": splits_of([taxon.pk]).get(taxon.pk, []),
        "statuses": listed_statuses([taxon.pk]).get(taxon.pk, []),
        "row": checklist_shown([taxon])[0],
        "synonyms": checklist_shown(taxon.synonyms.order_by("folded", "pk")),
    }
    return render(request, "names/edit.html", context)
