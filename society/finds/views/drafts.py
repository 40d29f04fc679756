"""Drafts and the photographs that arrive before their find is posted."""

from uuid import UUID

from django.core.files.storage import default_storage
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from society.core.errors import Refused
from society.finds import services
from society.finds.models import DraftPhotograph, Find, FindDraft
from society.finds.services.pictures import rendition_made
from society.finds.views.form_page import fields_kept
from society.finds.views.reading import find_of_number, uuid_read
from society.members.permissions import Viewer
from society.members.queries import viewer_of


@never_cache
@require_http_methods(["GET", "HEAD", "POST"])
def draft(request: HttpRequest, uuid: UUID) -> HttpResponse:
    """Keep what is typed (POST), or take it up again in its form (GET)."""
    viewer = viewer_of(request.user)
    if request.method != "POST":
        return redirect(f"{reverse('finds:post')}?draft={uuid}")
    try:
        find = _find_changed(viewer, request.POST.get("edit_of"))
        services.draft_keep(uuid, fields_kept(request.POST), by=viewer, find=find)
    except Refused as error:
        return _refused(error)
    return HttpResponse(status=204)


@require_POST
def drop(request: HttpRequest, uuid: UUID) -> HttpResponse:
    viewer = viewer_of(request.user)
    kept = FindDraft.objects.select_related("find").filter(uuid=uuid, owner_id=viewer.account_id)
    found = get_object_or_404(kept)
    services.draft_drop(uuid, by=viewer)
    if found.find is not None:
        return redirect("finds:edit", year=found.find.year, number=found.find.number)
    return redirect("finds:post")


@require_POST
def photograph_add(request: HttpRequest, uuid: UUID) -> HttpResponse:
    viewer = viewer_of(request.user)
    file = request.FILES.get("photograph")
    photograph_uuid = uuid_read(request.POST.get("uuid"))
    if file is None or file.file is None or photograph_uuid is None:
        raise Http404
    try:
        kept = services.draft_photograph_add(
            uuid,
            file.file,
            uuid=photograph_uuid,
            view=request.POST.get("view", ""),
            by=viewer,
            find=_find_changed(viewer, request.GET.get("edit_of")),
        )
    except Refused as error:
        return _refused(error)
    return JsonResponse({"uuid": str(kept.uuid)}, status=201)


@require_POST
def photograph_drop(request: HttpRequest, uuid: UUID) -> HttpResponse:
    photograph_uuid = uuid_read(request.POST.get("uuid"))
    if photograph_uuid is None:
        raise Http404
    services.draft_photograph_drop(uuid, photograph_uuid, by=viewer_of(request.user))
    return HttpResponse(status=204)


@never_cache
def photograph_shown(request: HttpRequest, uuid: UUID) -> HttpResponse:
    """Show the writer a small picture of what is kept, without its metadata."""
    viewer = viewer_of(request.user)
    kept = get_object_or_404(DraftPhotograph, uuid=uuid, draft__owner_id=viewer.account_id)
    with default_storage.open(kept.original) as file:
        return HttpResponse(rendition_made(file, 320), content_type="image/jpeg")


def _find_changed(viewer: Viewer, spoken_number: str | None) -> Find | None:
    """Return the find whose changes a draft holds, None for a draft of a new one."""
    if not spoken_number:
        return None
    return find_of_number(viewer, spoken_number)


def _refused(error: Refused) -> JsonResponse:
    status = {"not_found": 404, "not_permitted": 403}.get(error.code, 422)
    return JsonResponse({"message": str(error.message), "code": error.code}, status=status)
