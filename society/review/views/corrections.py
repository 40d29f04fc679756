"""Correcting a species account from a find, and withdrawing that."""

import uuid
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from society.core.errors import Refused
from society.core.forms import refusal_shown
from society.finds.models import Find
from society.members.permissions import Viewer
from society.review import services
from society.review.forms import CorrectionForm
from society.review.models import AccountCorrection
from society.review.permissions import in_scope
from society.review.queries import correction_page, taxon_to_correct, viewer_of_request
from society.review.views.finds import visible_find


@never_cache
def correct(request: HttpRequest, year: int, number: int) -> HttpResponse:
    """Show what the account holds of a character, and correct it from the find."""
    viewer = viewer_of_request(request)
    shown = visible_find(viewer, year, number)
    if not in_scope(viewer, taxon_to_correct(shown)):
        raise PermissionDenied
    page = correction_page(shown, request.GET.get("character", ""))
    context: dict[str, Any] = {"find": shown, "page": page}
    if page.character is not None:
        state = request.GET.get("state", "")
        form = context["form"] = CorrectionForm(request.POST or None, page=page, state=state)
        if form.is_bound:
            laid = _laid(form, shown, page.character.code, viewer) if form.is_valid() else None
            if laid is not None:
                return _to_contrast(shown, f"?corrected={laid.uuid}")
            form.seen_anew(page.version)
    status = 422 if request.method == "POST" else 200
    return render(request, "review/account_correct.html", context, status=status)


def _laid(
    form: CorrectionForm, shown: Find, character_code: str, viewer: Viewer
) -> AccountCorrection | None:
    """Lay the correction; a refusal goes into the form, a lack of right on."""
    data = form.cleaned_data
    values = {"state_code": data.pop("state"), "character_code": character_code, **data}
    try:
        return services.account_correct(shown.pk, by=viewer, **values)
    except (Refused, ValidationError) as error:
        if isinstance(error, Refused) and error.code == "not_found":
            raise Http404 from error
        refusal_shown(form, error)
        return None


@require_POST
def correction_withdraw(request: HttpRequest, correction_uuid: uuid.UUID) -> HttpResponse:
    viewer = viewer_of_request(request)
    laid = get_object_or_404(
        AccountCorrection.objects.select_related("find").filter(
            find__in=Find.objects.visible_to(viewer)
        ),
        uuid=correction_uuid,
    )
    try:
        services.account_correction_withdraw(laid.pk, by=viewer)
    except PermissionDenied:
        raise
    except Refused as error:
        messages.error(request, str(error.message))
    else:
        messages.success(request, _("The account says again what it said before."))
    return _to_contrast(laid.find, "#corrections")


def _to_contrast(shown: Find, rest: str) -> HttpResponseRedirect:
    address = reverse("review:contrast", args=[shown.year, shown.number])
    return HttpResponseRedirect(f"{address}{rest}")
