"""The keepers' pages of a species account: reading it, and changing one thing at a time."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST

from society.names import services
from society.names.forms.accounts import ReadingForm, SourcesForm, SporesForm, states_form
from society.names.models import AccountReading, Character
from society.names.queries import account_page, accounts_of
from society.names.views.acts import attempted, done, row_of
from society.names.views.checklist import keeper_of


@never_cache
def account(request: HttpRequest, taxon_id: int) -> HttpResponse:
    """Read the account; POST says from what it is drawn."""
    viewer = keeper_of(request)
    taxon, context = row_of(taxon_id)
    shown = accounts_of([taxon.pk]).get(taxon.pk)
    initial = {"sources": shown.sources, "is_doubtful": shown.is_doubtful} if shown else {}
    form = context["form"] = SourcesForm(request.POST or None, initial=initial)
    if (
        request.method == "POST"
        and form.is_valid()
        and done(
            form,
            lambda: services.account_set_sources(taxon_id=taxon.pk, **form.cleaned_data, by=viewer),
        )
    ):
        messages.success(request, _("Kept."))
        return redirect("names:account", taxon_id=taxon.pk)
    return render(request, "names/account.html", {**context, "page": account_page(taxon, shown)})


@never_cache
def states(request: HttpRequest, taxon_id: int, code: str) -> HttpResponse:
    """Say how usual the states of one character are."""
    viewer = keeper_of(request)
    taxon, context = row_of(taxon_id)
    character = get_object_or_404(Character.objects.prefetch_related("states"), code=code)
    shown = accounts_of([taxon.pk]).get(taxon.pk)
    held = shown.states.get(code, {}) if shown else {}
    source = shown.state_sources.get(code, "") if shown else ""
    form = states_form(request.POST or None, character, held, source)
    if request.method == "POST" and form.is_valid():
        values = {"states": form.usual(), "source": form.cleaned_data["source"]}
        if done(
            form,
            lambda: services.account_state_set(
                taxon_id=taxon.pk, character_code=code, **values, by=viewer
            ),
        ):
            messages.success(request, _("Kept."))
            return redirect("names:account", taxon_id=taxon.pk)
    return render(
        request, "names/account_states.html", {**context, "form": form, "character": character}
    )


@never_cache
def reading(request: HttpRequest, taxon_id: int, reading_id: int | None = None) -> HttpResponse:
    """Say what colours something turns: a reading that is held, or a new one."""
    viewer = keeper_of(request)
    taxon, context = row_of(taxon_id)
    rows = _rows_of(taxon.pk, reading_id) if reading_id else []
    form = ReadingForm(request.POST or None, rows=rows)
    if (
        request.method == "POST"
        and form.is_valid()
        and done(
            form,
            lambda: services.account_reading_set(taxon_id=taxon.pk, **form.values, by=viewer),
        )
    ):
        messages.success(request, _("Kept."))
        return redirect("names:account", taxon_id=taxon.pk)
    return render(request, "names/account_reading.html", {**context, "form": form, "held": rows})


def _rows_of(taxon_id: int, reading_id: int) -> list[AccountReading]:
    """Return the colours of the reading that a row belongs to."""
    first = get_object_or_404(AccountReading, pk=reading_id, account__taxon_id=taxon_id)
    return list(
        AccountReading.objects.filter(
            account=first.account_id,
            exposed=first.exposed,
            reagent=first.reagent,
            minute_from=first.minute_from,
        )
    )


@never_cache
def spores(request: HttpRequest, taxon_id: int) -> HttpResponse:
    viewer = keeper_of(request)
    taxon, context = row_of(taxon_id)
    shown = accounts_of([taxon.pk]).get(taxon.pk)
    form = SporesForm(request.POST or None, held=shown.spores if shown else None)
    if request.method == "POST" and form.is_valid():
        values = {"sizes": form.sizes(), "source": form.cleaned_data["source"]}
        if done(
            form,
            lambda: services.account_spores_set(taxon_id=taxon.pk, **values, by=viewer),
        ):
            messages.success(request, _("Kept."))
            return redirect("names:account", taxon_id=taxon.pk)
    return render(
        request,
        "names/account_spores.html",
        {**context, "form": form, "held": shown.spores if shown else None},
    )


@never_cache
@require_POST
def spores_drop(request: HttpRequest, taxon_id: int) -> HttpResponse:
    viewer = keeper_of(request)
    taxon, _context = row_of(taxon_id)
    attempted(
        request,
        lambda: services.account_spores_set(taxon_id=taxon.pk, sizes=None, source="", by=viewer),
        _("The spores are taken out of the account."),
    )
    return redirect("names:account", taxon_id=taxon.pk)
