"""Changing, withdrawing and putting back a find."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from society.core.errors import Conflict, NotPermitted, Refused
from society.core.forms import refusal_shown
from society.finds import services
from society.finds.models import Find, FindDraft
from society.finds.permissions import may_edit
from society.finds.views.conflict import differences, last_changed
from society.finds.views.form_page import FindPageForms, fields_taken_up, row_added
from society.finds.views.initial import initial_of
from society.finds.views.reading import visible_find
from society.members.permissions import Viewer
from society.members.queries import viewer_of


@never_cache
def edit(request: HttpRequest, year: int, number: int) -> HttpResponse:
    viewer = viewer_of(request.user)
    find = visible_find(viewer, year, number)
    if not may_edit(viewer, find) or find.withdrawn_at is not None:
        raise PermissionDenied
    if request.method == "POST":
        return _edited(request, viewer, find)
    draft = FindDraft.objects.filter(find=find, owner_id=viewer.account_id).first()
    if draft is None:
        return _rendered(request, _page(viewer, find), find)
    page = _page(viewer, find, fields_taken_up(draft)).not_judged()
    return _rendered(request, page, find, draft=draft)


def _page(viewer: Viewer, find: Find, data: Any = None) -> FindPageForms:
    initial, rows = initial_of(find, services.edit_draft_uuid(find, viewer))
    return FindPageForms.fresh(viewer, initial, rows, find=find, data=data)


def _edited(request: HttpRequest, viewer: Viewer, find: Find) -> HttpResponse:
    draft_uuid = services.edit_draft_uuid(find, viewer)
    if "more_rows" in request.POST:
        page = _page(viewer, find, row_added(request.POST, request.POST["more_rows"]))
        refused = page.photographs_staged(request, draft_uuid)
        return _rendered(request, page.not_judged(), find, refused=refused)
    page = _page(viewer, find, request.POST)
    refused = page.photographs_staged(request, draft_uuid)
    if not page.is_valid() or refused:
        services.draft_keep(draft_uuid, page.fields_typed(), by=viewer, find=find)
        return _rendered(request, page, find, status=422, refused=refused)
    try:
        services.find_edit(
            find.pk,
            page.entry(),
            base_version=page.form.cleaned_data["base_version"] or 0,
            by=viewer,
            draft_views=page.draft_views(),
        )
    except NotPermitted as error:
        raise PermissionDenied from error
    except Conflict:
        return _conflict(request, viewer, page, find)
    except (Refused, ValidationError) as error:
        refusal_shown(page.form, error)
        return _rendered(request, page, find, status=422)
    messages.success(request, _("The find is changed."))
    return redirect("review:find", year=find.year, number=find.number)


def _conflict(
    request: HttpRequest, viewer: Viewer, page: FindPageForms, find: Find
) -> HttpResponse:
    """Keep both: theirs stands, ours is a draft. Sending ours again is its writer's decision."""
    find.refresh_from_db()
    draft_uuid = services.edit_draft_uuid(find, viewer)
    services.draft_keep(draft_uuid, page.fields_typed(), by=viewer, find=find)
    stored = _page(viewer, find)
    data = request.POST.copy()
    data["base_version"] = str(find.version)
    shown = _page(viewer, find, data).not_judged()
    return _rendered(
        request,
        shown,
        find,
        status=409,
        differences=differences(stored, shown),
        last_change=last_changed(find),
    )


@require_POST
def withdraw(request: HttpRequest, year: int, number: int) -> HttpResponse:
    return _withdrawn(request, year, number, services.find_withdraw)


@require_POST
def put_back(request: HttpRequest, year: int, number: int) -> HttpResponse:
    return _withdrawn(request, year, number, services.find_put_back)


def _withdrawn(request: HttpRequest, year: int, number: int, service: Any) -> HttpResponse:
    viewer = viewer_of(request.user)
    find = visible_find(viewer, year, number)
    try:
        find = service(find.pk, by=viewer)
    except NotPermitted as error:
        raise PermissionDenied from error
    words = _("The find is withdrawn.") if find.withdrawn_at else _("The find is back.")
    messages.success(request, words)
    return redirect("review:find", year=find.year, number=find.number)


def _rendered(
    request: HttpRequest, page: FindPageForms, find: Find, *, status: int = 200, **context: Any
) -> HttpResponse:
    photographs = {str(photograph.uuid): photograph for photograph in find.photographs.all()}
    rows = [(row, photographs.get(str(row["uuid"].value()))) for row in page.rows["photos"]]
    described = [(row, photograph) for row, photograph in rows if photograph is not None]
    context |= {"find": find, "described": described}
    return render(request, "finds/edit.html", page.context() | context, status=status)
