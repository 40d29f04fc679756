"""Photographs of a posted find: adding, describing, removing, and serving their sizes."""

from uuid import UUID

from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied, ValidationError
from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpRequest, HttpResponse, JsonResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404
from django.utils.http import parse_etags, quote_etag
from django.views.decorators.cache import cache_control, never_cache
from django.views.decorators.http import require_POST

from society.core.errors import NotPermitted, Refused
from society.finds import services
from society.finds.models import Find, Photograph
from society.finds.permissions import may_edit
from society.finds.services.pictures import SIZES
from society.finds.views.reading import uuid_read, visible_find
from society.members.permissions import Viewer
from society.members.queries import viewer_of


def _visible(viewer: Viewer, uuid: UUID) -> Photograph:
    """Return a photograph of a find the viewer may see, and which nobody took away."""
    photographs = Photograph.objects.select_related("find").filter(
        find__in=Find.objects.visible_to(viewer)
    )
    found = get_object_or_404(photographs, uuid=uuid)
    if found.removed_at is not None and not may_edit(viewer, found.find):
        raise Http404
    return found


@require_POST
def photograph_add(request: HttpRequest, year: int, number: int) -> HttpResponse:
    viewer = viewer_of(request.user)
    find = visible_find(viewer, year, number)
    file = request.FILES.get("photograph")
    if file is None or file.file is None:
        raise Http404
    try:
        kept = services.photograph_add(
            find.pk,
            file.file,
            by=viewer,
            view=request.POST.get("view", ""),
            uuid=uuid_read(request.POST.get("uuid")),
        )
    except NotPermitted as error:
        raise PermissionDenied from error
    except Refused as error:
        return JsonResponse({"message": str(error.message), "code": error.code}, status=422)
    except ValidationError as error:
        return JsonResponse({"message": " ".join(error.messages), "code": "invalid"}, status=422)
    return JsonResponse({"uuid": str(kept.uuid)}, status=201)


@login_not_required
@cache_control(private=True, no_cache=True)
def rendition(request: HttpRequest, uuid: UUID, size: int) -> HttpResponseBase:
    """Serve one size, made now where no worker has made it yet.

    A browser keeps it but asks each time, so that nobody sees what they may no longer see.
    """
    if size not in SIZES:
        raise Http404
    photograph = _visible(viewer_of(request.user), uuid)
    key = photograph.renditions.get(str(size))
    if key is None or not default_storage.exists(key):
        key = _made_now(photograph).renditions[str(size)]
    etag = quote_etag(key.rsplit("/", 1)[-1])
    if parse_etags(request.headers.get("If-None-Match", "")) == [etag]:
        return HttpResponse(status=304, headers={"ETag": etag})
    return FileResponse(
        default_storage.open(key), content_type="image/jpeg", headers={"ETag": etag}
    )


def _made_now(photograph: Photograph) -> Photograph:
    try:
        return services.renditions_make(photograph.pk)
    except OSError as error:
        raise Http404 from error


@never_cache
def original(request: HttpRequest, uuid: UUID) -> FileResponse:
    """Give the original, with all its metadata, to its finder, who entered it, and keepers only."""
    viewer = viewer_of(request.user)
    photograph = _visible(viewer, uuid)
    if not may_edit(viewer, photograph.find):
        raise PermissionDenied
    return FileResponse(
        default_storage.open(photograph.original),
        as_attachment=True,
        filename=f"find-{photograph.find.year}-{photograph.find.number}-{photograph.position + 1}",
        content_type="application/octet-stream",
    )
