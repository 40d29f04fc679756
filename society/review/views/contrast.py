"""How evidence bears: for a find, for characters typed on a bare page, and side by side."""

import uuid
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from society.review.forms import RatioForm, TypedCharactersForm
from society.review.queries import (
    ContrastPage,
    columns_asked_for,
    contrast_for_find,
    contrast_of_typed,
    corrections_on,
    ratio_between,
    side_by_side,
    viewer_of_request,
)
from society.review.views.finds import desk_query, visible_find


@login_not_required
@never_cache
@require_safe
def contrast(request: HttpRequest, year: int, number: int) -> HttpResponse:
    viewer = viewer_of_request(request)
    shown = visible_find(viewer, year, number)
    page = contrast_for_find(shown.pk)
    context: dict[str, Any] = {
        "find": shown,
        "page": page,
        "corrections": corrections_on(viewer, shown.pk, just_laid=_uuid(request, "corrected")),
        **_ratio(request, page),
    }
    if viewer.is_referee and "desk" in request.GET:
        context["desk_query"] = desk_query(request)
    return render(request, "review/contrast.html", context)


@login_not_required
@never_cache
@require_safe
def contrast_typed(request: HttpRequest) -> HttpResponse:
    form = TypedCharactersForm(request.GET or None)
    page = None
    if form.is_bound and form.is_valid():
        page = contrast_of_typed(form.observed, form=form.cleaned_data["form"])
    context: dict[str, Any] = {"form": form, "page": page}
    if page is not None:
        context |= _ratio(request, page)
    return render(request, "review/contrast_typed.html", context)


@login_not_required
@never_cache
@require_safe
def beside(request: HttpRequest) -> HttpResponse:
    viewer = viewer_of_request(request)
    asked = columns_asked_for(viewer, request.GET.getlist("with"), request.GET.get("add", ""))
    context = {"page": side_by_side(viewer, asked.columns), "asked": asked}
    return render(request, "review/side_by_side.html", context)


def _uuid(request: HttpRequest, name: str) -> uuid.UUID | None:
    """Return what the address names, where that can be read."""
    try:
        return uuid.UUID(request.GET.get(name, ""))
    except ValueError:
        return None


def _ratio(request: HttpRequest, page: ContrastPage) -> dict[str, Any]:
    """Return the form that asks for the ratio of two names, and its answer, for members."""
    viewer = viewer_of_request(request)
    if not viewer.is_member or len(page.named) < 2 or page.contrast.level == "genus":
        return {}
    asked = {"one", "other"} <= request.GET.keys()
    form = RatioForm(request.GET if asked else None, page=page)
    # What else the address holds goes along, so that the same page answers.
    kept = [
        (name, value)
        for name, values in request.GET.lists()
        if name not in ("one", "other")
        for value in values
    ]
    if not (asked and form.is_valid()):
        return {"ratio_form": form, "kept_parameters": kept}
    one, other = form.cleaned_data["one"], form.cleaned_data["other"]
    ratio = ratio_between(page, one, other, viewer)
    named = page.named
    first, second = (one, other) if ratio is None or ratio >= 1 else (other, one)
    return {
        "ratio_form": form,
        "kept_parameters": kept,
        "ratio": ratio,
        "ratio_first": named[first],
        "ratio_second": named[second],
    }
