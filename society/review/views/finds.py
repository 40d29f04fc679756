"""The find's page and its thread, the referees' desk, scopes and notices."""

import uuid
from collections.abc import Callable
from typing import Any, TypeVar
from urllib.parse import urlencode

from django import forms
from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from society.core.errors import Refused
from society.core.forms import refusal_shown
from society.core.paging import page_of, querystring_without_page
from society.finds.models import Find
from society.finds.services import SlipEntry
from society.members.permissions import Viewer, may_keep
from society.places.queries import sites_to_choose
from society.review import services
from society.review.forms import CommentForm, DeskFilterForm, ScopeForm, SlipForm, VerdictForm
from society.review.models import Scope, Verdict, VerdictKind
from society.review.queries import (
    DeskFilter,
    FindPage,
    desk_next,
    desk_position,
    desk_queue,
    desk_rows,
    find_page,
    notices_of,
    since_split,
    viewer_of_request,
)

DESK_ROWS = 20
# What the address carries from the desk to its finds and back.
DESK_PARAMETERS = ("show", "whose", "genus", "site", "finder", "days", "order")
Made = TypeVar("Made")


def visible_find(viewer: Viewer, year: int, number: int) -> Find:
    """Return the find at this address, or answer 404 to whoever may not see it."""
    return get_object_or_404(Find.objects.visible_to(viewer), year=year, number=number)


@login_not_required
@never_cache
def find(request: HttpRequest, year: int, number: int) -> HttpResponse:
    viewer = viewer_of_request(request)
    shown = visible_find(viewer, year, number)
    services.notices_read(by=viewer, find_id=shown.pk)
    return _find_rendered(request, viewer, shown)


def _find_rendered(
    request: HttpRequest, viewer: Viewer, shown: Find, *, status: int = 200, **bound: Any
) -> HttpResponse:
    page = find_page(viewer, shown)
    context = {
        "page": page,
        "find": page.find,
        **_page_forms(page, bound),
        **_desk_context(request, viewer, page),
    }
    return render(request, "review/find.html", context, status=status)


def _page_forms(page: FindPage, bound: dict[str, Any]) -> dict[str, Any]:
    """Return the forms of what this viewer may do, those that were refused with what was typed."""
    made: dict[str, Any] = {}
    if page.may_lay_slip:
        made["slip_form"] = bound.get("slip") or SlipForm()
    if page.may_settle:
        made["verdict_form"] = bound.get("verdict") or VerdictForm(page=page)
    for form in made.values():
        form.seen_anew(page.find.evidence_version)
    if page.may_comment:
        fresh = CommentForm(initial={"uuid": uuid.uuid4()})
        made["comment_form"] = bound.get("comment") or fresh
    return made


def _desk_context(request: HttpRequest, viewer: Viewer, page: FindPage) -> dict[str, Any]:
    """Return the find's place in the queue, and the act just laid, when it was opened there."""
    if not viewer.is_referee or "desk" not in request.GET:
        return {}
    position = desk_position(viewer, desk_filter(request), page.find.pk)
    on_page = ((position.at or 1) - 1) // DESK_ROWS + 1
    return {
        "position": position,
        "desk_query": desk_query(request),
        "desk_address": f"{reverse('review:desk')}?{desk_query(request)}&page={on_page}",
        "did": _act_just_laid(request, viewer),
    }


def _act_just_laid(request: HttpRequest, viewer: Viewer) -> Verdict | None:
    """Return the viewer's own act that the address names, so that it can be withdrawn at once."""
    try:
        named = uuid.UUID(request.GET.get("did", ""))
    except ValueError:
        return None
    own = Verdict.objects.select_related("find").filter(by_id=viewer.person_id or 0)
    return own.filter(uuid=named, withdrawn_by=None).first()


@require_POST
def slip(request: HttpRequest, year: int, number: int) -> HttpResponse:
    viewer = viewer_of_request(request)
    shown = visible_find(viewer, year, number)
    form = SlipForm(request.POST)
    if form.is_valid():
        data = form.cleaned_data
        seen = data.pop("evidence_version")
        entry = SlipEntry(name_written=data.pop("name"), taxon_id=data.pop("taxon"), **data)
        if _done(
            form,
            lambda: services.slip_lay(shown.pk, entry, by=viewer, evidence_version=seen),
        ):
            messages.success(request, _("Your slip is laid."))
            return _back_to(request, shown)
    return _find_rendered(request, viewer, shown, status=422, slip=form)


@require_POST
def verdict(request: HttpRequest, year: int, number: int) -> HttpResponse:
    viewer = viewer_of_request(request)
    shown = visible_find(viewer, year, number)
    page = find_page(viewer, shown)
    if not page.may_settle:
        raise PermissionDenied
    form = VerdictForm(request.POST, page=page)
    # Asked before the act, while the find still has its place in the queue.
    after = desk_next(viewer, desk_filter(request), shown.pk) if "desk" in request.GET else None
    if form.is_valid():
        laid = _done(form, lambda: _verdict_laid(shown, form.cleaned_data, viewer))
        if laid is not None:
            return _onwards(request, shown, after, laid)
    return _find_rendered(request, viewer, shown, status=422, verdict=form)


def _verdict_laid(shown: Find, data: dict[str, Any], viewer: Viewer) -> Verdict:
    kind = data["kind"]
    other = None
    if kind == VerdictKind.DISPUTE and data["name"]:
        other = SlipEntry(
            name_written=data["name"], taxon_id=data["taxon"], qualifier=data["qualifier"]
        )
    ranks = {VerdictKind.CONFIRM: data["at_rank"], VerdictKind.LEAVE_OPEN: data["holds"]}
    words = {
        VerdictKind.DISPUTE: data["reason"],
        VerdictKind.ASK: data["wanted_note"],
        VerdictKind.LEAVE_OPEN: data["holds_note"],
    }
    return services.verdict_lay(
        shown.pk,
        by=viewer,
        kind=kind,
        slip_id=data["slip"],
        evidence_version=data["evidence_version"],
        at_rank=ranks.get(kind, ""),
        reason=words.get(kind, ""),
        wanted=data["wanted"] if kind == VerdictKind.ASK else "",
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
    except PermissionDenied:
        raise
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


def _done(form: forms.Form, act: Callable[[], Made]) -> Made | None:
    """Run a service and return what it made; a refusal goes into the form, a lack of right on."""
    try:
        return act()
    except (Refused, ValidationError) as error:
        if isinstance(error, Refused) and error.code == "not_found":
            raise Http404 from error
        refusal_shown(form, error)
        return None


def _back_to(request: HttpRequest, shown: Find, fragment: str = "") -> HttpResponseRedirect:
    address = reverse("review:find", args=[shown.year, shown.number])
    query = f"?{desk_query(request)}" if "desk" in request.GET else ""
    return HttpResponseRedirect(f"{address}{query}{fragment}")


def _onwards(
    request: HttpRequest, shown: Find, after: Find | None, laid: Verdict
) -> HttpResponseRedirect:
    """Go to the next find of the queue when acting from the desk, else back to the find."""
    if "desk" not in request.GET:
        messages.success(request, _("Your act is laid. You can withdraw it below."))
        return _back_to(request, shown)
    address = reverse("review:desk")
    if after is not None:
        address = reverse("review:find", args=[after.year, after.number])
    return HttpResponseRedirect(f"{address}?{desk_query(request)}&did={laid.uuid}")


@never_cache
def desk(request: HttpRequest) -> HttpResponse:
    viewer = viewer_of_request(request)
    if not viewer.is_referee:
        raise PermissionDenied
    wanted = desk_filter(request)
    page = page_of(request, desk_queue(viewer, wanted), DESK_ROWS)
    context = {
        "form": DeskFilterForm(
            request.GET if set(DESK_PARAMETERS) & set(request.GET) else None,
            sites=sites_to_choose(viewer),
        ),
        "page_obj": page,
        "rows": desk_rows(viewer, page.object_list),
        "querystring": querystring_without_page(request),
        "desk_query": desk_query(request),
        "is_filtered": not wanted.is_wide,
        "is_since_split": wanted.show == "split",
        "since_split": since_split(viewer).count(),
        "did": _act_just_laid(request, viewer),
    }
    return render(request, "review/desk.html", context)


def desk_filter(request: HttpRequest) -> DeskFilter:
    """Read the queue's filter from the address; what cannot be read asks for everything."""

    def whole(name: str) -> int | None:
        value = request.GET.get(name, "")
        return int(value) if value.isascii() and value.isdigit() and len(value) < 6 else None

    return DeskFilter(
        show="split" if request.GET.get("show") == "split" else "",
        whose="mine" if request.GET.get("whose") == "mine" else "",
        genus="".join(filter(str.isprintable, request.GET.get("genus", "")))[:60],
        site_id=whole("site"),
        finder_id=whole("finder"),
        days=whole("days"),
        order=request.GET.get("order", "oldest"),
    )


def desk_query(request: HttpRequest) -> str:
    """Return the queue's filter, encoded, as its finds carry it along."""
    kept = {name: request.GET[name] for name in DESK_PARAMETERS if request.GET.get(name)}
    return urlencode({**kept, "desk": 1})


@never_cache
def notices(request: HttpRequest) -> HttpResponse:
    viewer = viewer_of_request(request)
    if request.method == "POST":
        services.notices_read(by=viewer)
        return redirect("review:notices")
    context = {
        "page_obj": page_of(request, notices_of(viewer)),
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
    services.scope_end(scope_id, by=viewer)
    messages.success(request, _("The scope has ended. What was settled by it stands."))
    return redirect("review:scopes")
