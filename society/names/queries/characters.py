"""Reads of the vocabulary of characters, for its own pages: words, drawings, and who shows what."""

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from django.contrib.staticfiles import finders
from django.templatetags.static import static
from django.utils.translation import gettext_lazy as _

from society.names.models import AccountState, Character, CharacterState, Usual
from society.names.queries.checklist import danger_words
from society.science.names import render_parts

# What the parts of the vocabulary are called; a part that a keeper adds is called by its code.
PART_WORDS = {
    "whole": _("the whole"),
    "growth": _("how it grows"),
    "cap": _("cap"),
    "veil": _("veil"),
    "gills": _("gills"),
    "underside": _("underside"),
    "pores": _("pores"),
    "teeth": _("teeth"),
    "stem": _("stem"),
    "volva": _("volva"),
    "flesh": _("flesh"),
    "milk": _("milk"),
    "smell": _("smell"),
    "taste": _("taste"),
    "spore_print": _("spore print"),
    "spores": _("spores"),
    "cystidia": _("cystidia"),
    "reagents": _("reagents"),
    "upper_surface": _("upper side"),
    "attachment": _("attachment"),
    "hyphae": _("hyphae"),
    "margin": _("margin"),
    "surface": _("surface"),
    "hymenium": _("hymenium"),
    "cup": _("cup"),
    "asci": _("asci"),
    "club": _("club or coral"),
    "stomach": _("stomach fungus"),
    "gleba": _("inner mass"),
    "jelly": _("jelly"),
    "flask": _("flask"),
    "rust": _("rust, smut or mildew"),
    "lichen": _("lichen"),
    "slime_mould": _("slime mould"),
}


def part_words(part: str) -> str:
    """Name a part of the fungus; one that a keeper made bears its own words."""
    return str(PART_WORDS.get(part, part.replace("_", " ")))


@cache
def drawn_states(character_code: str) -> tuple[str, ...]:
    """Return the codes of the states that are drawn, in order; none for one without drawings."""
    found = finders.find(f"drawings/{character_code}.svg")
    if not isinstance(found, str):
        return ()
    return tuple(re.findall(r'<symbol id="([^"]+)"', Path(found).read_text(encoding="utf-8")))


def drawing_address(character_code: str, state_code: str) -> str:
    """Return the address of a state's drawing, empty where it has none."""
    if state_code not in drawn_states(character_code):
        return ""
    return static(f"drawings/{character_code}.svg") + f"#{state_code}"


@dataclass(frozen=True, slots=True)
class CharacterLine:
    """A character in the index, with the address of one of its drawings."""

    character: Character
    drawing: str


@dataclass(frozen=True, slots=True)
class PartOfIndex:
    """The characters of one part, in order."""

    code: str
    words: str
    lines: tuple[CharacterLine, ...]


def vocabulary_by_part(form: str = "") -> list[PartOfIndex]:
    """Return the vocabulary by part, of one form or of all. One query."""
    parts: dict[str, list[CharacterLine]] = {}
    for character in Character.objects.all():
        if form and not {form, "all"} & set(character.forms):
            continue
        drawn = [code for code in drawn_states(character.code) if code != "none"]
        # One from the middle tells more of a series than its first.
        drawing = drawing_address(character.code, drawn[len(drawn) // 2]) if drawn else ""
        parts.setdefault(character.part, []).append(CharacterLine(character, drawing))
    return [PartOfIndex(code, part_words(code), tuple(lines)) for code, lines in parts.items()]


@dataclass(frozen=True, slots=True)
class SpeciesShowing:
    """A species whose account tells a state as one it always or usually shows."""

    taxon_id: int
    parts: list[tuple[str, bool]]
    usual: str
    danger: str
    is_doubtful: bool


@dataclass(frozen=True, slots=True)
class StateShown:
    """A state of a character with its drawing and the species that show it."""

    state: CharacterState
    drawing: str
    species: tuple[SpeciesShowing, ...]


def states_shown(character: Character, *, with_species: bool = True) -> list[StateShown]:
    """Return the states of a character, each with the species always or usually so. Two queries,
    one without the species."""
    showing = _species_by_state(character) if with_species else {}
    return [
        StateShown(
            state=state,
            drawing=drawing_address(character.code, state.code),
            species=tuple(showing.get(state.pk, ())),
        )
        for state in character.states.all()
    ]


def _species_by_state(character: Character) -> dict[int, list[SpeciesShowing]]:
    """A common state has hundreds, so that each row takes only what the page shows."""
    showing: dict[int, list[SpeciesShowing]] = {}
    words = {str(usual): str(usual.label) for usual in (Usual.ALWAYS, Usual.USUALLY)}
    taxon_fields = [
        f"account__taxon__{name}" for name in ("scientific_name", "danger", "danger_note")
    ]
    rows = (
        AccountState.objects.filter(character=character, usual__in=words)
        .select_related("account__taxon")
        .only("state_id", "usual", "account__is_doubtful", *taxon_fields)
        .order_by("account__taxon__folded")
    )
    for row in rows:
        taxon = row.account.taxon
        showing.setdefault(row.state_id, []).append(
            SpeciesShowing(
                taxon_id=taxon.pk,
                parts=render_parts(taxon.scientific_name),
                usual=words[row.usual],
                danger=danger_words(taxon) if taxon.is_dangerous else "",
                is_doubtful=row.account.is_doubtful,
            )
        )
    return showing
