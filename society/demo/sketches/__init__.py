"""Plain drawings of the invented society's finds, in place of photographs.

``draw(species, view)`` takes a row of ``data/species.json`` and the code of a view and returns
a JPEG picture: paper, a pen line with a slight tremble, flat washes in the colours of the
species, the word 'drawing' and a scale. The same row, view, variant and size give the same
bytes; every tremble comes from a generator seeded with them.
"""

import random
import zlib
from collections.abc import Callable, Mapping
from typing import Any

from society.demo.sketches.brackets import (
    bracket_above,
    bracket_section,
    bracket_side,
    bracket_under,
)
from society.demo.sketches.caps import draw_cap
from society.demo.sketches.crusts import crust_face, crust_section
from society.demo.sketches.groups import draw_body, draw_lichen, draw_sheeted, draw_slime
from society.demo.sketches.ink import Sheet
from society.demo.sketches.leaves import draw_on_plant
from society.demo.sketches.places import draw_habitat, draw_spore_print
from society.demo.sketches.profiles import draw_side, draw_stem_base
from society.demo.sketches.sections import draw_section
from society.demo.sketches.subject import Subject, subject_of
from society.demo.sketches.undersides import draw_underside
from society.science.evidence import VIEWS_BY_FORM

__all__ = ["VIEWS", "draw", "views_of"]

VIEWS = ("cap", "underside", "side", "section", "stem_base", "detail", "spore_print", "habitat")

_STALKED = ("agaric", "bolete")
_BODIES = ("club", "stomach", "jelly", "cup", "flask")


def views_of(species: Mapping[str, Any]) -> tuple[str, ...]:
    """The views drawn for a species: those its form allows, as far as they differ.

    For a cap on a stem 'detail' is the cut half an hour later, so only where something turns;
    a print is drawn for gills only.
    """
    views = [view for view in VIEWS_BY_FORM[species["form"]] if view in VIEWS]
    turns = species["colours"].get("change") or species["colours"].get("milk")
    if species["form"] in _STALKED and not turns:
        views.remove("detail")
    if species["figure"].get("underside") != "gills" and "spore_print" in views:
        views.remove("spore_print")
    if species["form"] in _BODIES and "stem_base" in views:
        views.remove("stem_base")
    return tuple(views)


def draw(
    species: Mapping[str, Any], view: str, size: tuple[int, int] = (900, 700), variant: int = 0
) -> bytes:
    """A JPEG picture ``size`` pixels wide and high; ``variant`` moves the hand, not the marks.

    Raises ``ValueError`` for a view that is not in ``VIEWS``.
    """
    if view not in VIEWS:
        raise ValueError(f"no such view: {view}")
    subject = subject_of(species)
    rng = random.Random(zlib.crc32(f"{subject.name}/{view}/{variant}".encode()))
    sheet = Sheet(size, rng)
    unit = _stroke(subject, view)(sheet, subject)
    sheet.caption(unit)
    return sheet.jpeg()


def _stroke(subject: Subject, view: str) -> Callable[[Sheet, Subject], float]:
    if view == "habitat":
        return draw_habitat
    if view == "spore_print":
        return draw_spore_print
    if subject.form in _STALKED:
        return _STALKED_VIEWS[view]
    if subject.form in ("bracket", "crust"):
        return _WOOD_VIEWS[(subject.form, view)]
    draw_any = _OTHER[_surface(subject)]
    return lambda sheet, s: draw_any(sheet, s, view)


def _surface(subject: Subject) -> str:
    """Which drawing serves a form without cap and stem."""
    body = subject.figure["body"]
    if body == "tarspot":
        return "rust"
    if body in ("crusty", "pinheads", "discs"):
        return "sheeted"
    return "body" if subject.form in _BODIES else subject.form


_STALKED_VIEWS: dict[str, Callable[[Sheet, Subject], float]] = {
    "cap": draw_cap,
    "underside": draw_underside,
    "side": draw_side,
    "stem_base": draw_stem_base,
    "section": draw_section,
    "detail": lambda sheet, s: draw_section(sheet, s, later=True),
}
_WOOD_VIEWS: dict[tuple[str, str], Callable[[Sheet, Subject], float]] = {
    ("bracket", "cap"): bracket_above,
    ("bracket", "underside"): bracket_under,
    ("bracket", "side"): bracket_side,
    ("bracket", "stem_base"): bracket_side,
    ("bracket", "section"): bracket_section,
    ("bracket", "detail"): lambda sheet, s: bracket_section(sheet, s, later=True),
    ("crust", "cap"): crust_face,
    ("crust", "underside"): lambda sheet, s: crust_face(sheet, s, close=True),
    ("crust", "side"): crust_face,
    ("crust", "stem_base"): crust_face,
    ("crust", "section"): crust_section,
    ("crust", "detail"): lambda sheet, s: crust_face(sheet, s, close=True),
}
_OTHER: dict[str, Callable[[Sheet, Subject, str], float]] = {
    "body": draw_body,
    "sheeted": draw_sheeted,
    "rust": draw_on_plant,
    "lichen": draw_lichen,
    "slime_mould": draw_slime,
}
