"""The find's page and its thread, the referees' desk, scopes and notices."""

import uuid
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from society.core.errors import Conflict, NotPermitted, Refused
from society.core.forms import refusal_shown
from society.core.paging import page_of, querystring_without_page
from society.finds.models import Find
from society.finds.services import SlipEntry
from society.members.permissions import Viewer, may_keep
from society.places.queries import sites_to_choose
from society.review import services
from society.review.forms import CommentForm, DeskFilterForm, ScopeForm, SlipForm, VerdictForm
from society.review.models import PersonalNotice, Scope, Verdict, VerdictKind
from society.review.queries import (
    DeskFilter,
    desk_neighbours,
    desk_queue,
    desk_rows,
    find_page,
    viewer_of_request,
)

DESK_ROWS = 20


def visible_find(viewer: Viewer, year: int, number: int) -> Find:
    """Return the find at this address, or answer 404 to whoever may not see it."""
    return get_object_or_404(Find.objects.visible_to(viewer), year=year, number=number)


@login_not_required
@never_cache
def find(request: HttpRequest, year: int, number: int) -> HttpResponse:
    viewer = viewer_of_request(request)
    shown = visible_find(viewer, year, number)
    if viewer.is_member:
        services.notices_read(by=viewer, find_id=shown.pk)
    return _find_rendered(request, viewer, shown)


def _find_rendered(
    request: HttpRequest, viewer: Viewer, shown: Find, *, status: int = 200, **forms: Any
) -> HttpResponse:
    page = find_page(viewer, shown)
    shown = page.find
    context: dict[str, Any] = {
        "page": page,
        "find": shown,
        "slip_form": forms.get("slip") or SlipForm(initial={"uuid": uuid.uuid4()}),
        "comment_form": forms.get("comment") or CommentForm(initial={"uuid": uuid.uuid4()}),
        "verdict_form": forms.get("verdict")
        or VerdictForm(
            find=shown,
            initial={
                "uuid": uuid.uuid4(),
                "evidence_version": shown.evidence_version,
                "slip": page.entry.current_slip_id if page.entry else None,
            },
        ),
        "desk_query": request.GET.get("desk", ""),
    }
    if viewer.is_referee and "desk" in request.GET:
        before, after, waiting = desk_neighbours(viewer, _desk_filter(request), shown.pk)
        context |= {"before": before, "after": after, "waiting": waiting, "on_desk": True}
        context["desk_querystring"] = request.GET.urlencode()
    return render(request, "review/find.html", context, status=status)


@require_POST
def slip(request: HttpRequest, year: int, number: int) -> HttpResponse:
    viewer = viewer_of_request(request)
    shown = visible_find(viewer, year, number)
    form = SlipForm(request.POST)
    if form.is_valid():
        data = form.cleaned_data
        entry = SlipEntry(
            name_written=data["name"],
            taxon_id=data["taxon"],
            qualifier=data["qualifier"],
            by_id=viewer.person_id,
            basis=data["basis"],
            literature=data["literature"],
            remarks=data["remarks"],
            uuid=data["uuid"],
        )
        if _done(form, lambda: services.slip_lay(shown.pk, entry, by=viewer)):
            messages.success(request, _("Your slip is laid."))
            return _back_to(request, shown)
    return _find_rendered(request, viewer, shown, status=422, slip=form)


@require_POST
def verdict(request: HttpRequest, year: int, number: int) -> HttpResponse:
    viewer = viewer_of_request(request)
    shown = visible_find(viewer, year, number)
    form = VerdictForm(request.POST, find=shown)
    if form.is_valid() and _done(form, lambda: _verdict_laid(shown, form.cleaned_data, viewer)):
        laid = Verdict.objects.filter(uuid=form.cleaned_data["uuid"]).get()
        messages.success(
            request,
            _("%(number)s: %(act)s. You can withdraw it on the find's page.")
            % {"number": shown.spoken_number, "act": laid.get_kind_display()},
        )
        return _onwards(request, viewer, shown)
    return _find_rendered(request, viewer, shown, status=422, verdict=form)


def _verdict_laid(shown: Find, data: dict[str, Any], viewer: Viewer) -> Verdict:
    other = None
    if data["kind"] == VerdictKind.DISPUTE and data["name"]:
        other = SlipEntry(
            name_written=data["name"], taxon_id=data["taxon"], qualifier=data["qualifier"]
        )
    return services.verdict_lay(
        shown.pk,
        by=viewer,
        kind=data["kind"],
        slip_id=data["slip"].pk if data["slip"] else None,
        evidence_version=data["evidence_version"],
        at_rank=data["at_rank"],
        reason=data["reason"],
        wanted=data["wanted"] if data["kind"] == VerdictKind.ASK else "",
        other_name=other,
        uuid=data["uuid"],
    )


@require_POST
def verdict_withdraw(request: HttpRequest, verdict_uuid: uuid.UUID) -> HttpResponse:
    viewer = viewer_of_request(request)
    laid = get_object_or_404(
        Verdict.objects.select_related("find").filter(find__in=Find.objects.visible_to(viewer)),
        uuid=verdict_uuid,
    )
    try:
        services.verdict_withdraw(laid.pk, by=viewer)
    except NotPermitted as error:
        raise PermissionDenied from error
    except Refused as error:
        messages.error(request, str(error.message))
    else:
        messages.success(request, _("The act is withdrawn; it stays to be read."))
    return _back_to(request, laid.find)


@require_POST
def comment(request: HttpRequest, year: int, number: int) -> HttpResponse:
    viewer = viewer_of_request(request)
    shown = visible_find(viewer, year, number)
    form = CommentForm(request.POST)
    if form.is_valid():
        data = form.cleaned_data
        if _done(form, lambda: services.comment_add(shown.pk, by=viewer, **data)):
            return _back_to(request, shown, "#thread")
    return _find_rendered(request, viewer, shown, status=422, comment=form)


def _done(form: Any, act: Any) -> bool:
    """Run a service; put a refusal into the form. A lack of permission answers 403."""
    try:
        act()
    except NotPermitted as error:
        if error.code == "not_permitted":
            raise PermissionDenied from error
        refusal_shown(form, error)
        return False
    except (Conflict, Refused, ValidationError) as error:
        if isinstance(error, Refused) and error.code == "not_found":
            raise Http404 from error
        refusal_shown(form, error)
        return False
    return True


def _back_to(request: HttpRequest, shown: Find, fragment: str = "") -> HttpResponseRedirect:
    address = reverse("review:find", args=[shown.year, shown.number])
    query = f"?{request.GET.urlencode()}" if request.GET else ""
    return HttpResponseRedirect(f"{address}{query}{fragment}")


def _onwards(request: HttpRequest, viewer: Viewer, shown: Find) -> HttpResponseRedirect:
    """Go to the next find of the queue when acting from the desk, else back to the find."""
    if "desk" not in request.GET:
        return _back_to(request, shown)
    _before, after, waiting = desk_neighbours(viewer, _desk_filter(request), shown.pk)
    if after is None or not waiting:
        return HttpResponseRedirect(reverse("review:desk"))
    return _back_to(request, after.find)


@never_cache
def desk(request: HttpRequest) -> HttpResponse:
    viewer = viewer_of_request(request)
    if not viewer.is_referee:
        raise PermissionDenied
    form = DeskFilterForm(request.GET or None, sites=sites_to_choose(viewer))
    page = page_of(request, desk_queue(viewer, _desk_filter(request)), DESK_ROWS)
    query = request.GET.copy()
    query.pop("page", None)
    query["desk"] = "1"
    context = {
        "form": form,
        "page_obj": page,
        "rows": desk_rows(viewer, page.object_list),
        "querystring": querystring_without_page(request),
        "desk_querystring": query.urlencode(),
    }
    return render(request, "review/desk.html", context)


def _desk_filter(request: HttpRequest) -> DeskFilter:
    """Read the queue's filter from the address; what cannot be read asks for everything."""

    def whole(name: str) -> int | None:
        value = request.GET.get(name, "")
        return int(value) if value.isascii() and value.isdigit() and len(value) < 9 else None

    return DeskFilter(
        whose="all" if request.GET.get("whose") == "all" else "mine",
        genus=request.GET.get("genus", "")[:60],
        site_id=whole("site"),
        finder_id=whole("finder"),
        days=whole("days"),
        order=request.GET.get("order", "oldest"),
    )


@never_cache
def notices(request: HttpRequest) -> HttpResponse:
    viewer = viewer_of_request(request)
    if request.method == "POST":
        services.notices_read(by=viewer)
        return redirect("review:notices")
    rows = PersonalNotice.objects.filter(person_id=viewer.person_id).select_related("find", "by")
    context = {
        "page_obj": page_of(request, rows),
        "querystring": querystring_without_page(request),
    }
    return render(request, "review/notices.html", context)


@never_cache
def scopes(request: HttpRequest) -> HttpResponse:
    viewer = viewer_of_request(request)
    if not may_keep(viewer):
        raise PermissionDenied
    form = ScopeForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        values = {"person_id": data["person"].pk, "rank": data["rank"], "name": data["name"]}
        if _done(form, lambda: services.scope_give(by=viewer, **values)):
            messages.success(request, _("The scope is given."))
            return redirect("review:scopes")
    held = Scope.objects.filter(ended_at=None).select_related("person")
    context = {"form": form, "scopes": held.order_by("person__display_name", "rank", "name")}
    return render(request, "review/scopes.html", context)


@require_POST
def scope_end(request: HttpRequest, scope_id: int) -> HttpResponse:
    viewer = viewer_of_request(request)
    get_object_or_404(Scope, pk=scope_id)
    try:
        services.scope_end(scope_id, by=viewer)
    except NotPermitted as error:
        raise PermissionDenied from error
    messages.success(request, _("The scope has ended. What was settled by it stands."))
    return redirect("review:scopes")
