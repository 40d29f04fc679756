"""Drafts and the photographs that arrive before their find is posted."""

from uuid import UUID

from django.core.files.storage import default_storage
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from society.core.errors import Refused
from society.finds import services
from society.finds.models import DraftPhotograph
from society.finds.services.pictures import rendition_made
from society.finds.views.reading import uuid_read
from society.members.queries import viewer_of

NOT_KEPT = ("csrfmiddlewaretoken",)


@require_POST
def draft(request: HttpRequest, uuid: UUID) -> HttpResponse:
    fields = {name: values for name, values in request.POST.lists() if name not in NOT_KEPT}
    try:
        services.draft_keep(uuid, fields, by=viewer_of(request.user))  # type: ignore[arg-type]
    except Refused as error:
        return _refused(error)
    return HttpResponse(status=204)


@require_POST
def drop(request: HttpRequest, uuid: UUID) -> HttpResponse:
    services.draft_drop(uuid, by=viewer_of(request.user))  # type: ignore[arg-type]
    return redirect("/logbook/")


@require_POST
def photograph_add(request: HttpRequest, uuid: UUID) -> HttpResponse:
    file = request.FILES.get("photograph")
    photograph_uuid = uuid_read(request.POST.get("uuid"))
    if file is None or photograph_uuid is None:
        raise Http404
    try:
        kept = services.draft_photograph_add(
            uuid,
            file.file,
            uuid=photograph_uuid,
            view=request.POST.get("view", "")[:11],
            by=viewer_of(request.user),  # type: ignore[arg-type]
        )
    except Refused as error:
        return _refused(error)
    return JsonResponse({"uuid": str(kept.uuid)}, status=201)


@require_POST
def photograph_drop(request: HttpRequest, uuid: UUID) -> HttpResponse:
    photograph_uuid = uuid_read(request.POST.get("uuid"))
    if photograph_uuid is None:
        raise Http404
    viewer = viewer_of(request.user)  # type: ignore[arg-type]
    services.draft_photograph_drop(uuid, photograph_uuid, by=viewer)
    return HttpResponse(status=204)


@never_cache
def photograph_shown(request: HttpRequest, uuid: UUID) -> HttpResponse:
    """Show the writer a small picture of what is kept, without its metadata."""
    viewer = viewer_of(request.user)  # type: ignore[arg-type]
    kept = get_object_or_404(DraftPhotograph, uuid=uuid, draft__owner_id=viewer.account_id)
    with default_storage.open(kept.original) as file:
        return HttpResponse(rendition_made(file, 320), content_type="image/jpeg")


def _refused(error: Refused) -> JsonResponse:
    status = 404 if error.code == "not_found" else 422
    return JsonResponse({"message": str(error.message), "code": error.code}, status=status)
