"""The keepers' pages of the vocabulary: its characters, their words and states."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from society.names import services
from society.names.forms.accounts import CharacterForm, CharacterWordsForm, StateForm
from society.names.models import Character, CharacterState
from society.names.queries import characters_by_part, history_of
from society.names.views.acts import done
from society.names.views.checklist import keeper_of


@never_cache
@require_safe
def kept_characters(request: HttpRequest) -> HttpResponse:
    keeper_of(request)
    return render(request, "names/kept_characters.html", {"parts": characters_by_part()})


@never_cache
def character_add(request: HttpRequest) -> HttpResponse:
    viewer = keeper_of(request)
    form = CharacterForm(request.POST or None)
    made: list[Character] = []
    if request.method == "POST" and form.is_valid():
        states = form.cleaned_data["states"].splitlines()
        if done(
            form,
            lambda: made.append(services.character_add(form.values, states=states, by=viewer)),
        ):
            messages.success(request, _("The character is in the vocabulary."))
            return redirect("names:kept_character", code=made[0].code)
    return render(request, "names/kept_character_add.html", {"form": form})


@never_cache
def kept_character(request: HttpRequest, code: str) -> HttpResponse:
    """Read a character; POST changes its words."""
    viewer = keeper_of(request)
    row = get_object_or_404(Character.objects.prefetch_related("states"), code=code)
    form = CharacterWordsForm(
        request.POST or None, initial={"name": row.name, "sentence": row.sentence}
    )
    if (
        request.method == "POST"
        and form.is_valid()
        and done(form, lambda: services.character_edit(code, **form.cleaned_data, by=viewer))
    ):
        messages.success(request, _("Kept."))
        return redirect("names:kept_character", code=code)
    context = {"character": row, "form": form, "state_form": StateForm(prefix="state")}
    context["history"] = history_of(Character._meta.label_lower, row.pk)
    return render(request, "names/kept_character.html", context)


@never_cache
def state_add(request: HttpRequest, code: str) -> HttpResponse:
    """Add a state; the form stands on the character's page and, where refused, on its own."""
    viewer = keeper_of(request)
    row = get_object_or_404(Character, code=code)
    form = StateForm(request.POST or None, prefix="state")
    if (
        request.method == "POST"
        and form.is_valid()
        and done(
            form,
            lambda: services.character_state_add(code, **form.cleaned_data, by=viewer),
        )
    ):
        messages.success(request, _("The state is added."))
        return redirect("names:kept_character", code=code)
    return render(request, "names/kept_state.html", {"character": row, "form": form})


@never_cache
def state(request: HttpRequest, state_id: int) -> HttpResponse:
    """Change the word of a state."""
    viewer = keeper_of(request)
    row = get_object_or_404(CharacterState.objects.select_related("character"), pk=state_id)
    initial = {"name": row.name, "sentence": row.sentence}
    form = StateForm(request.POST or None, prefix="state", initial=initial)
    if (
        request.method == "POST"
        and form.is_valid()
        and done(
            form,
            lambda: services.character_state_edit(row.pk, **form.cleaned_data, by=viewer),
        )
    ):
        messages.success(request, _("Kept."))
        return redirect("names:kept_character", code=row.character.code)
    return render(
        request,
        "names/kept_state.html",
        {"character": row.character, "form": form, "state": row},
    )
