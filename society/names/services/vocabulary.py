"""Editing the vocabulary of characters: their words, further states, further characters."""

import re
from collections.abc import Iterable
from typing import Any

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from society.core.errors import Refused
from society.core.history import change_record, values_before
from society.members.permissions import Viewer
from society.names.models import Character, CharacterState, Form
from society.names.permissions import keeper_demanded
from society.names.services.stamp import stamp_raise
from society.science.names import fold

CHARACTER_WORDS = ("name", "sentence")
CHARACTER_FIELDS = (
    *CHARACTER_WORDS,
    *("part", "forms", "cost", "wait_minutes", "cuts", "never_asked"),
)
ALL_FORMS = "all"
LONGEST_CODE = 40
# Tasting is never asked for, whoever adds or rewords a character. Words are looked at whole, in
# small letters, with all other signs as blanks.
_TASTING = re.compile(
    r"\b(?:tast(?:e\w*|ing\w*|y)|flavou?r\w*|palat\w*|acrid\w*|bitter\w*|pepper(?:y|iness)"
    r"|chew\w*|lick\w*|nibbl\w*|spit|spits|spitting|spat|bit(?:e|es|ing)|mouthfeel"
    r"|(?:the|your|my|one s) (?:tongue|mouth)(?! of)|(?:in|on|by|with) (?:tongue|mouth)"
    r"|(?:tongue|mouth) (?:test|feel|burn|tingl|numb)\w*|hot (?:after|slowly|at once|to))\b"
)
# Shapes, smells and feeding marks that the same words tell of.
_NO_TASTING = re.compile(
    r"\b(?:bitter almonds?|tongue (?:shaped|like)|(?:insect|slug|snail|mouse) bites?|bite marks?)\b"
)
# Mild is a word of smells and colours too; beside one of these it tells of a taste.
_BESIDE_MILD = re.compile(r"\b(?:hot|burning|biting|sour|salty)\b")


@transaction.atomic
def character_add(values: dict[str, Any], *, states: Iterable[str], by: Viewer) -> Character:
    """Add a character with its states, in words; their codes are made from the words.

    ``values`` by ``CHARACTER_FIELDS``; ``forms`` are codes of ``Form``, or ``all`` alone. One that
    needs tasting is kept where somebody wrote it, and never asked for.
    """
    keeper_demanded(by)
    unknown = set(values) - set(CHARACTER_FIELDS)
    if unknown:
        raise ValueError(f"no field of a character: {sorted(unknown)}")
    character = Character(**{**values, "name": _line(values["name"])})
    character.code = _code(character.name, "name")
    if Character.objects.filter(code=character.code).exists():
        raise Refused(
            _("The vocabulary holds a character of that name."), "held_already", field="name"
        )
    if not character.forms or set(character.forms) - {*Form.values, ALL_FORMS}:
        raise Refused(_("Say for which forms it is meant."), "no_forms", field="forms")
    character.position = (Character.objects.aggregate(last=Max("position"))["last"] or 0) + 5
    lines = [line for line in map(_line, states) if line]
    if needs_tasting(character.name, character.sentence, [(line, "") for line in lines]):
        character.never_asked = True
    if len(lines) < 2:
        raise Refused(_("Give at least two states."), "too_few_states", field="states")
    character.full_clean()
    character.save()
    for line in lines:
        _state_add(character, line, "states")
    change_record("character.added", character, actor_id=by.person_id)
    stamp_raise()
    return character


@transaction.atomic
def character_edit(code: str, *, name: str, sentence: str, by: Viewer) -> Character:
    """Change the words of a character; its code, which accounts and finds hold, stays.

    Words that ask for tasting have it never asked for, from then on.
    """
    keeper_demanded(by)
    character = Character.objects.select_for_update().get(code=code)
    values = {"name": _line(name), "sentence": _line(sentence)}
    prior = values_before(character, values)
    if not prior:
        return character
    character.name, character.sentence = values["name"], values["sentence"]
    character.full_clean()
    prior |= _tasting_checked(character)
    character.save()
    change_record("character.edited", character, actor_id=by.person_id, prior=prior)
    stamp_raise()
    return character


@transaction.atomic
def character_state_add(code: str, *, name: str, sentence: str = "", by: Viewer) -> CharacterState:
    """Add a state to a character, after those it has."""
    keeper_demanded(by)
    character = Character.objects.select_for_update().get(code=code)
    state = _state_add(character, _line(name), "name", _line(sentence))
    prior = _tasting_checked(character)
    if prior:
        character.save()
    change_record(
        "character.state_added",
        character,
        actor_id=by.person_id,
        fields=[f"state.{state.code}"],
        prior=prior,
    )
    stamp_raise()
    return state


@transaction.atomic
def character_state_edit(state_id: int, *, name: str, sentence: str, by: Viewer) -> CharacterState:
    """Change the words of a state; its code stays."""
    keeper_demanded(by)
    state = CharacterState.objects.select_for_update().get(pk=state_id)
    character = Character.objects.select_for_update().get(pk=state.character_id)
    values = {"name": _line(name), "sentence": _line(sentence)}
    prior = values_before(state, values)
    if not prior:
        return state
    state.name, state.sentence = values["name"], values["sentence"]
    state.full_clean()
    state.save()
    change_record("character.state_edited", state, actor_id=by.person_id, prior=prior)
    raised = _tasting_checked(character)
    if raised:
        character.save()
        change_record("character.edited", character, actor_id=by.person_id, prior=raised)
    stamp_raise()
    return state


def needs_tasting(name: str, sentence: str, states: Iterable[tuple[str, str]]) -> bool:
    """Whether words ask for tasting, or tell of a taste: those of a character, or the names and
    sentences of its states."""
    states = [(_plain(of), _plain(told)) for of, told in states]
    words = " . ".join([_plain(name), _plain(sentence), *(part for row in states for part in row)])
    words = _NO_TASTING.sub(" ", words)
    if _TASTING.search(words) or any(of == "hot" for of, _told in states):
        return True
    return "mild" in words.split() and _BESIDE_MILD.search(words) is not None


def _tasting_checked(character: Character) -> dict[str, Any]:
    """Have a character that needs tasting never asked for; what was never asked stays so.

    Returns what stood before for the history, nothing where it stays.
    """
    states = [(row.name, row.sentence) for row in character.states.all()]
    if character.never_asked or not needs_tasting(character.name, character.sentence, states):
        return {}
    character.never_asked = True
    return {"never_asked": False}


def _plain(text: str) -> str:
    return " ".join(re.sub(r"[^a-z0-9]+", " ", fold(text)).split())


def _state_add(character: Character, name: str, field: str, sentence: str = "") -> CharacterState:
    code = _code(name, field)
    rows = character.states.all()
    if rows.filter(code=code).exists():
        raise Refused(
            _("It has a state '%(name)s' already.") % {"name": name}, "held_already", field=field
        )
    last = rows.aggregate(last=Max("position"))["last"]
    state = CharacterState(
        character=character,
        code=code,
        name=name,
        sentence=sentence,
        position=0 if last is None else last + 1,
    )
    state.full_clean()
    state.save()
    return state


def _code(words: str, field: str) -> str:
    """Make a code from words: plain small letters and digits, joined by underscores."""
    letters = "".join(sign if sign.isascii() and sign.isalnum() else " " for sign in fold(words))
    code = "_".join(letters.split())[:LONGEST_CODE].strip("_")
    if not code:
        raise Refused(_("Write it with letters."), "no_letters", field=field)
    return code


def _line(text: str) -> str:
    return " ".join(text.split())
