"""Posting, editing and withdrawing a find."""

import uuid
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from society.core.errors import Conflict, NotPermitted, Refused
from society.core.forms import refusal_shown
from society.finds import services
from society.finds.models import Find, FindDraft
from society.finds.permissions import may_edit
from society.finds.views.form_page import FindPageForms, carried_over, initial_of
from society.finds.views.reading import uuid_read, visible_find
from society.members.permissions import Viewer
from society.members.queries import viewer_of


@never_cache
def post(request: HttpRequest) -> HttpResponse:
    viewer = viewer_of(request.user)  # type: ignore[arg-type]
    if request.method == "POST":
        return _posted(request, viewer)
    draft = _draft(request, viewer)
    if draft is not None:
        page = FindPageForms.of_draft(viewer, _querydict(draft))
        page.form.data["uuid"] = str(draft.uuid)
    else:
        initial = {"uuid": uuid.uuid4(), "finder": viewer.person_id}
        like = _like(request, viewer)
        rows = {}
        if like is not None:
            carried, rows = carried_over(like)
            initial |= carried
        page = FindPageForms.fresh(viewer, initial, rows)
    return _rendered(request, page)


def _posted(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    page = FindPageForms.of_request(viewer, request.POST)
    draft_uuid = uuid_read(request.POST.get("uuid"))
    refused = page.photographs_staged(request, draft_uuid) if draft_uuid else []
    if not page.is_valid() or refused:
        return _rendered(request, page, status=422, refused=refused)
    try:
        find = services.find_post(page.entry(), by=viewer, draft_views=page.draft_views(request))
    except NotPermitted as error:
        raise PermissionDenied from error
    except (Refused, ValidationError) as error:
        if isinstance(error, Refused) and error.code == "not_found":
            raise Http404 from error
        refusal_shown(page.form, error)
        return _rendered(request, page, status=422)
    messages.success(
        request, _("Find %(number)s is posted.") % {"number": find.spoken_number}
    )
    if "another" in request.POST:
        return redirect(f"{reverse('finds:post')}?like={find.spoken_number}")
    return redirect("review:find", year=find.year, number=find.number)


@never_cache
def edit(request: HttpRequest, year: int, number: int) -> HttpResponse:
    viewer = viewer_of(request.user)  # type: ignore[arg-type]
    find = visible_find(viewer, year, number)
    if not may_edit(viewer, find) or find.withdrawn_at is not None:
        raise PermissionDenied
    if request.method == "POST":
        return _edited(request, viewer, find)
    initial, rows = initial_of(find)
    return _rendered(request, FindPageForms.fresh(viewer, initial, rows), find=find)


def _edited(request: HttpRequest, viewer: Viewer, find: Find) -> HttpResponse:
    page = FindPageForms.of_request(viewer, request.POST)
    if not page.is_valid():
        return _rendered(request, page, status=422, find=find)
    version = page.form.cleaned_data["base_version"] or 0
    try:
        services.find_edit(find.pk, page.entry(), base_version=version, by=viewer)
    except NotPermitted as error:
        raise PermissionDenied from error
    except Conflict as error:
        return _conflict(request, viewer, page, find, error)
    except (Refused, ValidationError) as error:
        refusal_shown(page.form, error)
        return _rendered(request, page, status=422, find=find)
    messages.success(request, _("The find is changed."))
    return redirect("review:find", year=find.year, number=find.number)


def _conflict(
    request: HttpRequest, viewer: Viewer, page: FindPageForms, find: Find, error: Conflict
) -> HttpResponse:
    """Keep what was typed in the form; sending it once more is the writer's own decision."""
    refusal_shown(page.form, error)
    data = page.form.data.copy()
    data["base_version"] = str(error.theirs.get("version", find.version))
    page.form.data = data
    return _rendered(request, page, status=409, find=find, is_conflict=True)


@require_POST
def withdraw(request: HttpRequest, year: int, number: int) -> HttpResponse:
    return _withdrawn(request, year, number, services.find_withdraw)


@require_POST
def put_back(request: HttpRequest, year: int, number: int) -> HttpResponse:
    return _withdrawn(request, year, number, services.find_put_back)


def _withdrawn(request: HttpRequest, year: int, number: int, service: Any) -> HttpResponse:
    viewer = viewer_of(request.user)  # type: ignore[arg-type]
    find = visible_find(viewer, year, number)
    try:
        find = service(find.pk, by=viewer)
    except NotPermitted as error:
        raise PermissionDenied from error
    words = _("The find is withdrawn.") if find.withdrawn_at else _("The find is back.")
    messages.success(request, words)
    return redirect("review:find", year=find.year, number=find.number)


def _rendered(
    request: HttpRequest, page: FindPageForms, *, status: int = 200, **context: Any
) -> HttpResponse:
    find = context.get("find")
    if find is not None:
        photographs = find.photographs.order_by("position", "pk")
        context["photographs"] = [(photo, photo.caption.raw) for photo in photographs]
    return render(request, "finds/form.html", page.context() | context, status=status)


def _draft(request: HttpRequest, viewer: Viewer) -> FindDraft | None:
    wanted = uuid_read(request.GET.get("draft"))
    if wanted is None:
        return None
    return FindDraft.objects.filter(uuid=wanted, owner_id=viewer.account_id).first()


def _querydict(draft: FindDraft) -> QueryDict:
    data = QueryDict(mutable=True)
    for name, values in draft.fields.items():
        data.setlist(name, values)
    return data


def _like(request: HttpRequest, viewer: Viewer) -> Find | None:
    """Return the find of one's own from whose spot another is posted."""
    year, _slash, number = request.GET.get("like", "").partition("/")
    if not (year.isascii() and year.isdigit() and number.isascii() and number.isdigit()):
        return None
    finds = Find.objects.visible_to(viewer).filter(year=int(year[:4]), number=int(number[:9]))
    find = finds.first()
    return find if find is not None and may_edit(viewer, find) else None
