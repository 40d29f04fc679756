"""The pages of the vocabulary, for everybody: each word with its drawing and one sentence."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

from society.names.models import Character, Form
from society.names.queries.characters import part_words, states_shown, vocabulary_by_part


@login_not_required
@cache_control(private=True, max_age=60)
@require_safe
def character_index(request: HttpRequest) -> HttpResponse:
    """The vocabulary by part; with ``form``, that of one form of fungus, with drawings."""
    chosen = request.GET.get("form", "")
    if chosen not in Form.values:
        chosen = ""
    context = {"parts": vocabulary_by_part(chosen), "forms": Form.choices, "chosen": chosen}
    return render(request, "names/characters.html", context)


@login_not_required
@cache_control(private=True, max_age=60)
@require_safe
def character(request: HttpRequest, code: str) -> HttpResponse:
    """One character, its states, and the species that always or usually show each.

    ``brief`` leaves the species out, for a word that opens its drawing in place.
    """
    brief = "brief" in request.GET
    shown = get_object_or_404(Character, code=code)
    words = dict(Form.choices)
    context = {
        "character": shown,
        "part": part_words(shown.part),
        "forms": [words.get(form, form) for form in shown.forms if form != "all"],
        "states": states_shown(shown, with_species=not brief),
        "brief": brief,
    }
    return render(request, "names/character.html", context)
