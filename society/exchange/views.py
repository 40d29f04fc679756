"""Files to take away: the species list, its finds, one's own records, the checklist."""

from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied
from django.http import FileResponse, HttpRequest, HttpResponseBase, StreamingHttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from society.exchange.queries import (
    Table,
    checklist_table,
    finds_table,
    own_records_table,
    species_table,
)
from society.exchange.services import csv_pieces, xlsx_file
from society.lists.forms import SpeciesListForm
from society.members.models import Society
from society.members.permissions import may_keep
from society.members.queries import society_context
from society.names.models import Taxon
from society.review.queries import viewer_of_request

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def society_of(request: HttpRequest) -> Society:
    society: Society = society_context(request)["society"]
    return society


def form_of(request: HttpRequest) -> SpeciesListForm:
    """Return the form of the list's own page, so that page and file cannot differ."""
    return SpeciesListForm(
        request.GET, viewer=viewer_of_request(request), society=society_of(request)
    )


def csv_answer(table: Table) -> StreamingHttpResponse:
    answer = StreamingHttpResponse(csv_pieces(table), content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = f'attachment; filename="{table.file_name("csv")}"'
    return answer


@login_not_required
@never_cache
@require_safe
def list_csv(request: HttpRequest) -> HttpResponseBase:
    form = form_of(request)
    if not form.is_valid():
        return _shown_on(request, "lists:species_list")
    viewer, society = viewer_of_request(request), society_of(request)
    return csv_answer(species_table(viewer, form.wanted(), society))


@login_not_required
@never_cache
@require_safe
def list_xlsx(request: HttpRequest) -> HttpResponseBase:
    form = form_of(request)
    if not form.is_valid():
        return _shown_on(request, "lists:species_list")
    table = species_table(viewer_of_request(request), form.wanted(), society_of(request))
    return FileResponse(
        xlsx_file(table),
        as_attachment=True,
        filename=table.file_name("xlsx"),
        content_type=XLSX,
    )


@login_not_required
@never_cache
@require_safe
def finds_csv(request: HttpRequest) -> HttpResponseBase:
    form = form_of(request)
    if not form.is_valid():
        return _shown_on(request, "lists:finds")
    table = finds_table(
        viewer_of_request(request),
        form.wanted(),
        society_of(request),
        taxon=_taxon_asked(request),
        qualifier=request.GET.get("qualifier"),
        written=request.GET.get("written", "").strip(),
    )
    return csv_answer(table)


def _taxon_asked(request: HttpRequest) -> Taxon | None:
    """Return the accepted name whose finds are asked for, None for all; one unknown is 404."""
    asked = request.GET.get("taxon", "")
    if not asked:
        return None
    number = int(asked) if asked.isascii() and asked.isdecimal() and len(asked) < 19 else 0
    return get_object_or_404(Taxon.objects.fungi().accepted(), pk=number)


@never_cache
@require_safe
def my_records(request: HttpRequest) -> HttpResponseBase:
    return csv_answer(own_records_table(viewer_of_request(request), society_of(request)))


@never_cache
@require_safe
def checklist_csv(request: HttpRequest) -> HttpResponseBase:
    """The whole checklist, for keepers, as the import of names reads it back."""
    if not may_keep(viewer_of_request(request)):
        raise PermissionDenied
    return csv_answer(checklist_table(society_of(request)))


def _shown_on(request: HttpRequest, page: str) -> HttpResponseBase:
    """Lead to the page of the list, which says what of the address is not understood."""
    return redirect(f"{reverse(page)}?{request.GET.urlencode()}")
