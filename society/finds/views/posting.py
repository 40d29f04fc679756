"""Posting a find."""

import uuid
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache

from society.core.errors import NotPermitted, Refused
from society.core.forms import refusal_shown
from society.finds import services
from society.finds.models import Find, FindDraft
from society.finds.permissions import may_edit
from society.finds.views.form_page import FindPageForms, fields_taken_up, row_added
from society.finds.views.initial import Initial, Rows, carried_over
from society.finds.views.reading import find_of_number, uuid_read
from society.members.permissions import Viewer
from society.members.queries import viewer_of

DRAFTS_SHOWN = 3


@never_cache
def post(request: HttpRequest) -> HttpResponse:
    viewer = viewer_of(request.user)
    if request.method == "POST":
        return _posted(request, viewer)
    draft = _draft(request, viewer)
    if draft is None:
        initial, rows = _start(request, viewer)
        page = FindPageForms.fresh(viewer, initial, rows)
    elif draft.find is not None:
        return redirect("finds:edit", year=draft.find.year, number=draft.find.number)
    else:
        page = FindPageForms.fresh(viewer, {}, {}, data=fields_taken_up(draft)).not_judged()
    others = FindDraft.objects.filter(owner_id=viewer.account_id).select_related("find")
    if draft is not None:
        others = others.exclude(pk=draft.pk)
    return _rendered(request, page, draft=draft, other_drafts=others[:DRAFTS_SHOWN])


def _start(request: HttpRequest, viewer: Viewer) -> tuple[Initial, Rows]:
    """Return what an empty form starts with: today and oneself, or the spot of an earlier find."""
    initial = {"uuid": uuid.uuid4(), "finder": viewer.person_id, "date": timezone.localdate()}
    like = _like(request, viewer)
    if like is None:
        return initial, {}
    carried, rows = carried_over(like)
    return initial | carried, rows


def _posted(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    data, draft_uuid = request.POST.copy(), uuid_read(request.POST.get("uuid"))
    if draft_uuid is None:
        draft_uuid = uuid.uuid4()
        data["uuid"] = str(draft_uuid)
    if "more_rows" in data:
        data = row_added(data, str(data["more_rows"]))
    page = FindPageForms.fresh(viewer, {}, {}, data=data)
    refused = page.photographs_staged(request, draft_uuid)
    if "more_rows" in data:
        return _rendered(request, page.not_judged(), refused=refused)
    if not page.is_valid() or refused:
        return _kept_and_shown(request, viewer, page, draft_uuid, refused)
    try:
        find = services.find_post(page.entry(), by=viewer, draft_views=page.draft_views())
    except NotPermitted as error:
        raise PermissionDenied from error
    except (Refused, ValidationError) as error:
        if isinstance(error, Refused) and error.code == "not_found":
            raise Http404 from error
        refusal_shown(page.form, error)
        return _kept_and_shown(request, viewer, page, draft_uuid, [])
    return _thanked(request, find)


def _thanked(request: HttpRequest, find: Find) -> HttpResponse:
    messages.success(request, _("Find %(number)s is posted.") % {"number": find.spoken_number})
    if "another" in request.POST:
        return redirect(f"{reverse('finds:post')}?like={find.spoken_number}")
    return redirect("review:find", year=find.year, number=find.number)


def _kept_and_shown(
    request: HttpRequest,
    viewer: Viewer,
    page: FindPageForms,
    draft_uuid: uuid.UUID,
    refused: list[str],
) -> HttpResponse:
    """Keep what was typed as a draft too, and show it with what is wrong."""
    try:
        services.draft_keep(draft_uuid, page.fields_typed(), by=viewer)
    except Refused as error:
        refused = [*refused, str(error.message)]
    return _rendered(request, page, status=422, refused=refused)


def _rendered(
    request: HttpRequest, page: FindPageForms, *, status: int = 200, **context: Any
) -> HttpResponse:
    return render(request, "finds/post.html", page.context() | context, status=status)


def _draft(request: HttpRequest, viewer: Viewer) -> FindDraft | None:
    wanted = uuid_read(request.GET.get("draft"))
    if wanted is None:
        return None
    drafts = FindDraft.objects.select_related("find").filter(owner_id=viewer.account_id)
    found = drafts.filter(uuid=wanted).first()
    if found is None:
        raise Http404
    return found


def _like(request: HttpRequest, viewer: Viewer) -> Find | None:
    """Return the find of one's own from whose spot another is posted."""
    if "like" not in request.GET:
        return None
    find = find_of_number(viewer, request.GET["like"])
    return find if may_edit(viewer, find) else None
