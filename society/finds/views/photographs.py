"""Photographs of a posted find: adding, describing, removing, and serving their sizes."""

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied, ValidationError
from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
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
    viewer = viewer_of(request.user)  # type: ignore[arg-type]
    find = visible_find(viewer, year, number)
    file = request.FILES.get("photograph")
    if file is None:
        raise Http404
    try:
        kept = services.photograph_add(
            find.pk,
            file.file,
            by=viewer,
            view=request.POST.get("view", "")[:11],
            uuid=uuid_read(request.POST.get("uuid")),
        )
    except NotPermitted as error:
        raise PermissionDenied from error
    except Refused as error:
        return JsonResponse({"message": str(error.message), "code": error.code}, status=422)
    except ValidationError as error:
        return JsonResponse({"message": " ".join(error.messages), "code": "invalid"}, status=422)
    return JsonResponse({"uuid": str(kept.uuid)}, status=201)


@require_POST
def photographs_add(request: HttpRequest, year: int, number: int) -> HttpResponse:
    """Take the files of a plain form, without script; say of each that is refused why."""
    viewer = viewer_of(request.user)  # type: ignore[arg-type]
    find = visible_find(viewer, year, number)
    for file in request.FILES.getlist("photographs"):
        try:
            services.photograph_add(find.pk, file.file, by=viewer)
        except NotPermitted as error:
            raise PermissionDenied from error
        except Refused as error:
            messages.error(request, f"{(file.name or '')[:80]}: {error.message}")
    return redirect("finds:edit", year=year, number=number)


@require_POST
def photograph_edit(request: HttpRequest, uuid: UUID) -> HttpResponse:
    viewer = viewer_of(request.user)  # type: ignore[arg-type]
    photograph = _visible(viewer, uuid)
    try:
        services.photograph_edit(
            photograph.pk,
            view=request.POST.get("view", "")[:20],
            caption=request.POST.get("caption", ""),
            by=viewer,
        )
    except NotPermitted as error:
        raise PermissionDenied from error
    except ValidationError as error:
        messages.error(request, " ".join(error.messages))
    else:
        messages.success(request, _("Kept."))
    return redirect("finds:edit", year=photograph.find.year, number=photograph.find.number)


@require_POST
def remove(request: HttpRequest, uuid: UUID) -> HttpResponse:
    return _moved(request, uuid, services.photograph_remove, _("The photograph is taken away."))


@require_POST
def put_back(request: HttpRequest, uuid: UUID) -> HttpResponse:
    return _moved(request, uuid, services.photograph_put_back, _("The photograph is back."))


def _moved(request: HttpRequest, uuid: UUID, service: object, words: str) -> HttpResponse:
    viewer = viewer_of(request.user)  # type: ignore[arg-type]
    photograph = _visible(viewer, uuid)
    try:
        service(photograph.pk, by=viewer)  # type: ignore[operator]
    except NotPermitted as error:
        raise PermissionDenied from error
    messages.success(request, words)
    return redirect("finds:edit", year=photograph.find.year, number=photograph.find.number)


@login_not_required
@cache_control(private=True, max_age=3600)
def rendition(request: HttpRequest, uuid: UUID, size: int) -> HttpResponse:
    """Serve one size, made now where no worker has made it yet."""
    if size not in SIZES:
        raise Http404
    photograph = _visible(viewer_of(request.user), uuid)  # type: ignore[arg-type]
    key = photograph.renditions.get(str(size))
    if key is None or not default_storage.exists(key):
        photograph = services.renditions_make(photograph.pk)
        key = photograph.renditions[str(size)]
    return FileResponse(default_storage.open(key), content_type="image/jpeg")


@never_cache
def original(request: HttpRequest, uuid: UUID) -> HttpResponse:
    """Give the original, with all its metadata, to its finder, who entered it, and keepers only."""
    viewer = viewer_of(request.user)  # type: ignore[arg-type]
    photograph = _visible(viewer, uuid)
    if not may_edit(viewer, photograph.find):
        raise PermissionDenied
    return FileResponse(
        default_storage.open(photograph.original),
        as_attachment=True,
        filename=f"find-{photograph.find.year}-{photograph.find.number}-{photograph.position + 1}",
        content_type="application/octet-stream",
    )
