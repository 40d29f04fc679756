"""The keepers' pages for what is done to a name: merging, moving, splitting, entries of lists."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from society.core.errors import NotPermitted, Refused
from society.core.forms import refusal_shown
from society.names import services
from society.names.forms.acts import ListedStatusForm, MergeForm, MoveForm, SplitForm
from society.names.models import ListedStatus, Taxon, TaxonSplit
from society.names.queries import (
    checklist_shown,
    finds_under,
    listed_statuses,
    movement_of,
    splits_of,
)
from society.names.views.checklist import keeper_of


def done(form: BaseForm, act: Callable[[], Any]) -> bool:
    """Do what a service does; where it refuses, say so in the form and return False."""
    try:
        act()
    except (Refused, ValidationError) as error:
        refusal_shown(form, error)
        return False
    return True


def attempted(request: HttpRequest, act: Callable[[], Any], words: str) -> bool:
    """Do what a button asks for; say on the next page that it was done, or why not."""
    try:
        act()
    except NotPermitted:
        raise
    except Refused as refusal:
        messages.error(request, str(refusal.message))
        return False
    messages.success(request, words)
    return True


def row_of(taxon_id: int) -> tuple[Taxon, dict[str, Any]]:
    """Return a name and what every page about it shows; 404 where there is none."""
    taxon = get_object_or_404(Taxon.objects.select_related("accepted"), pk=taxon_id)
    return taxon, {"taxon": taxon, "row": checklist_shown([taxon])[0]}


@never_cache
def merge(request: HttpRequest, taxon_id: int) -> HttpResponse:
    """Choose the other name (GET), see what would move or why nothing may, and merge (POST)."""
    viewer = keeper_of(request)
    taxon, context = row_of(taxon_id)
    data = request.POST or (request.GET if "into" in request.GET else None)
    form = MergeForm(data, taxon=taxon)
    context["form"] = form
    if data is not None and form.is_valid():
        into, is_sent = form.cleaned_data["chosen"], request.method == "POST"
        act = services.taxon_merge if is_sent else services.taxon_merge_check
        is_done = done(form, lambda: act(taxon.pk, into_id=into.pk, by=viewer))
        if is_done and is_sent:
            messages.success(
                request, _("%(name)s now reads as %(into)s.") % {"name": taxon, "into": into}
            )
            return redirect("names:edit", taxon_id=taxon.pk)
        if is_done:
            context["into"] = checklist_shown([into])[0]
            context["movement"] = movement_of(taxon, into)
    return render(request, "names/merge.html", context)


@never_cache
@require_POST
def part(request: HttpRequest, taxon_id: int) -> HttpResponse:
    viewer = keeper_of(request)
    taxon = get_object_or_404(Taxon, pk=taxon_id)
    words = _("%(name)s is an accepted name again.") % {"name": taxon}
    attempted(request, lambda: services.taxon_part(taxon.pk, by=viewer), words)
    return redirect("names:edit", taxon_id=taxon.pk)


@never_cache
def move(request: HttpRequest, taxon_id: int) -> HttpResponse:
    viewer = keeper_of(request)
    taxon, context = row_of(taxon_id)
    form = context["form"] = MoveForm(request.POST or None)
    if (
        request.method == "POST"
        and form.is_valid()
        and done(form, lambda: services.taxon_move(taxon.pk, **form.cleaned_data, by=viewer))
    ):
        messages.success(request, _("Moved. The old combination stays as a synonym."))
        return redirect("names:edit", taxon_id=taxon.pk)
    context["finds"] = finds_under([taxon.pk])
    return render(request, "names/move.html", context)


@never_cache
def split(request: HttpRequest, taxon_id: int) -> HttpResponse:
    viewer = keeper_of(request)
    taxon, context = row_of(taxon_id)
    form = context["form"] = SplitForm(request.POST or None, taxon=taxon)
    if request.method == "POST" and form.is_valid():
        values = dict(form.cleaned_data)
        into_ids = values.pop("into")
        if done(
            form,
            lambda: services.taxon_split(taxon.pk, into_ids=into_ids, **values, by=viewer),
        ):
            messages.success(request, _("The split is stated."))
            return redirect("names:split", taxon_id=taxon.pk)
    context["splits"] = splits_of([taxon.pk]).get(taxon.pk, [])
    context["finds"] = finds_under([taxon.pk])
    return render(request, "names/split.html", context)


@never_cache
@require_POST
def split_end(request: HttpRequest, split_id: int) -> HttpResponse:
    viewer = keeper_of(request)
    row = get_object_or_404(TaxonSplit, pk=split_id)
    words = _("The split is taken back.")
    attempted(request, lambda: services.split_end(row.pk, by=viewer), words)
    return redirect("names:split", taxon_id=row.taxon_id)


@never_cache
def lists(request: HttpRequest, taxon_id: int) -> HttpResponse:
    viewer = keeper_of(request)
    taxon, context = row_of(taxon_id)
    form = context["form"] = ListedStatusForm(request.POST or None)
    if (
        request.method == "POST"
        and form.is_valid()
        and done(form, lambda: services.listed_status_add(taxon.pk, form.entry(), by=viewer))
    ):
        messages.success(request, _("Entered."))
        return redirect("names:lists", taxon_id=taxon.pk)
    context["statuses"] = listed_statuses([taxon.pk]).get(taxon.pk, [])
    return render(request, "names/lists.html", context)


@never_cache
def listed(request: HttpRequest, status_id: int) -> HttpResponse:
    viewer = keeper_of(request)
    status = get_object_or_404(ListedStatus, pk=status_id)
    _taxon, context = row_of(status.taxon_id)
    form = context["form"] = ListedStatusForm(request.POST or None, status=status)
    if (
        request.method == "POST"
        and form.is_valid()
        and done(form, lambda: services.listed_status_edit(status.pk, form.entry(), by=viewer))
    ):
        messages.success(request, _("Kept."))
        return redirect("names:lists", taxon_id=status.taxon_id)
    return render(request, "names/listed.html", {**context, "status": status})


@never_cache
@require_POST
def listed_remove(request: HttpRequest, status_id: int) -> HttpResponse:
    viewer = keeper_of(request)
    status = get_object_or_404(ListedStatus, pk=status_id)
    attempted(request, lambda: services.listed_status_remove(status.pk, by=viewer), _("Removed."))
    return redirect("names:lists", taxon_id=status.taxon_id)
