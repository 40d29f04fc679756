"""What is missing for a referee to be able to confirm a find: first version, by form.

Method. Each form of fungus has its list of what a referee looks for first (FIRST_LOOK): views to
be photographed, and what is written down of habitat, hosts and substrate. What the find already
has is left out. A name that needs a microscope or a kept specimen adds these, and a spore print
where the form gives one. A fungus seen to have milk adds the milk after half an hour.

What may not be done is never asked for. Where lifting is not allowed, the underside is asked for
in a mirror and the base as it stands in place, and neither print nor specimen; where cutting is
not allowed, no section and nothing that needs a cut. Tasting is never asked for; no code for it
exists.

What can still be done follows from what is in hand (STILL_POSSIBLE): a dried collection gives
spores, but no colour of gills. What can no longer be had is given with `still_possible` False, so
that the page can leave it out of requests. In place a photograph remains possible at the spot,
where the finder can go back (`may_return`), and for forms that stand for years. Where it is not
said what is in hand, nothing is ruled out.

Source: common practice of field recording; no printed source.

Worked example. An agaric with photographs of cap and underside, its habitat written, fresh, may be
lifted, may not be cut: still wanted are 'stem_base' (photograph) and 'hosts' (note). Dried, the
same two are wanted, and 'stem_base' is no longer possible.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

How = Literal["photograph", "note", "specimen", "print"]

FORMS: Final[tuple[str, ...]] = (
    "agaric",
    "bolete",
    "bracket",
    "crust",
    "club",
    "stomach",
    "jelly",
    "cup",
    "flask",
    "rust",
    "lichen",
    "slime_mould",
)
# What a picture can show.
VIEWS: Final[tuple[str, ...]] = (
    "habitat",
    "cap",
    "underside",
    "side",
    "stem_base",
    "section",
    "detail",
    "spore_print",
    "micrograph",
    "drawing",
    "specimen",
    "label",
)
_ANY_FORM: Final = ("micrograph", "drawing", "specimen", "label")
# Which of them mean something for a form, in the sequence in which one photographs.
VIEWS_BY_FORM: Final[Mapping[str, tuple[str, ...]]] = {
    form: (*views.split(), *_ANY_FORM)
    for form, views in {
        "agaric": "habitat cap underside side stem_base section detail spore_print",
        "bolete": "habitat cap underside side stem_base section detail spore_print",
        "bracket": "habitat cap underside side section detail spore_print",
        "crust": "habitat detail side",
        "club": "habitat side stem_base section detail spore_print",
        "stomach": "habitat side stem_base section detail",
        "jelly": "habitat side detail section",
        "cup": "habitat cap underside side section detail",
        "flask": "habitat side section detail",
        "rust": "habitat cap underside detail",
        "lichen": "habitat cap underside detail section",
        "slime_mould": "habitat side detail",
    }.items()
}
# What a referee looks for first. For a cup 'cap' is the inside and 'underside' the outside; for a
# rust they are the two sides of the leaf; for a lichen those of the thallus.
FIRST_LOOK: Final[Mapping[str, tuple[str, ...]]] = {
    form: tuple(codes.split())
    for form, codes in {
        "agaric": "cap underside stem_base section habitat hosts",
        "bolete": "cap underside stem_base section flesh_after_cutting habitat hosts",
        "bracket": "cap underside section substrate hosts",
        "crust": "detail side substrate hosts",
        "club": "side stem_base section habitat hosts",
        "stomach": "side section habitat hosts",
        "jelly": "side detail substrate hosts",
        "cup": "cap underside substrate habitat",
        "flask": "detail section substrate hosts",
        "rust": "cap underside detail hosts",
        "lichen": "cap detail substrate habitat",
        "slime_mould": "side detail substrate habitat",
    }.items()
}
# Where the form is not known yet, nothing is assumed of its parts.
_FORM_NOT_KNOWN: Final = ("side", "detail", "habitat", "hosts")
IN_HAND: Final[tuple[str, ...]] = (
    "fresh",
    "fridge",
    "drying",
    "dried",
    "print",
    "pictures",
    "nothing",
)
_WHOLE: Final = frozenset({"fresh", "fridge"})
_KEPT: Final = _WHOLE | {"drying", "dried"}
# What must be in hand for it to be possible still.
STILL_POSSIBLE: Final[Mapping[str, frozenset[str]]] = {
    "cap": _WHOLE,
    "underside": _WHOLE,
    "side": _WHOLE,
    "stem_base": _WHOLE,
    "section": _WHOLE,
    "detail": _KEPT,
    "flesh_after_cutting": _WHOLE,
    "milk_after_30_minutes": _WHOLE,
    "reagent": _KEPT,
    "spore_print": _WHOLE,
    "microscope": _KEPT | {"print"},
    "specimen": _KEPT,
}
# What a referee may ask for beyond the first look of a form.
ASKABLE: Final[tuple[str, ...]] = (
    "cap",
    "underside",
    "side",
    "stem_base",
    "section",
    "detail",
    "habitat",
    "hosts",
    "substrate",
    "flesh_after_cutting",
    "reagent",
    "spore_print",
    "microscope",
    "specimen",
)
_NOTES: Final = frozenset({"habitat", "hosts", "substrate"})
_HOW: Final[Mapping[str, How]] = {
    "habitat": "note",
    "hosts": "note",
    "substrate": "note",
    "flesh_after_cutting": "note",
    "milk_after_30_minutes": "note",
    "microscope": "note",
    "reagent": "note",
    "spore_print": "print",
    "specimen": "specimen",
}
_NEEDS_A_CUT: Final = frozenset({"section", "flesh_after_cutting", "milk_after_30_minutes"})
_TAKES_IT_AWAY: Final = frozenset({"spore_print", "specimen"})
# Forms whose underside or base cannot be seen without lifting; brackets are seen from below.
_UNDERSIDE_LIFTED: Final = frozenset({"agaric", "bolete", "cup"})
_IN_PLACE: Final = frozenset({"mirror_photograph", "photograph_in_place"})
_GIVES_A_PRINT: Final = frozenset({"agaric", "bolete", "bracket", "club"})
# These stand for months or years and can be looked at again where they grow.
_STANDS_LONG: Final = frozenset({"bracket", "crust", "lichen"})
# What must be in hand for a character of such cost to be looked at.
_COST_POSSIBLE: Final[Mapping[str, frozenset[str]]] = {
    "at_once": _WHOLE,
    "cut": _WHOLE,
    "wait": _WHOLE,
    "overnight": _WHOLE,
    "lens": _KEPT,
    "reagent": _KEPT,
    "microscope": _KEPT | {"print"},
}
# Which views show a part; nose and tongue read no picture. Other parts show from any side.
_SHOWN_BY: Final[Mapping[str, frozenset[str]]] = {
    part: frozenset(views.split())
    for part, views in {
        "cap": "cap side",
        "gills": "underside",
        "pores": "underside",
        "teeth": "underside",
        "underside": "underside",
        "stem": "side stem_base",
        "volva": "stem_base",
        "veil": "cap side stem_base",
        "growth": "habitat side",
        "flesh": "",
        "milk": "",
        "smell": "",
        "taste": "",
    }.items()
}
_ANY_SIDE: Final = frozenset({"cap", "underside", "side", "detail", "habitat"})
# What only a finger tells.
_BY_TOUCH: Final = frozenset({"cap_moisture", "gill_texture", "flesh_texture"})
_LEFT_IN_PLACE: Final = frozenset({"pictures", "nothing"})


@dataclass(frozen=True)
class EvidenceFacts:
    """What a find has. `views`, `characters` and `readings` are codes; empty text is 'not said'.

    `base`: 'lifted', 'cut', 'not_seen' or ''. `in_hand`: one of IN_HAND or ''. `needs`: 'eye',
    'microscope', 'specimen' or 'sequence'. `readings`: what was exposed and looked at, such as
    'flesh' or 'milk'. `may_return`: the fungus still stands and the finder can go back.
    `gives_milk`: the name proposed is one of a genus with milk.
    """

    views: frozenset[str]
    has_habitat: bool
    has_hosts: bool
    has_substrate: bool
    base: str
    has_print: bool
    characters: frozenset[str]
    readings: frozenset[str]
    in_hand: str
    needs: str
    has_measurements: bool = False
    has_specimen: bool = False
    may_return: bool = False
    gives_milk: bool = False


@dataclass(frozen=True)
class Wanted:
    """A piece of evidence that would help, how it is given, and whether it can still be had."""

    code: str
    how: How
    still_possible: bool


def missing(form: str, facts: EvidenceFacts, *, may_lift: bool, may_cut: bool) -> list[Wanted]:
    """Return what would help a referee and is not there yet, in the sequence of the form's list.

    A form not in FORMS is read as not known. Nothing that may not be done is among the answers.
    """
    wanted: dict[str, None] = {}
    for code in (*FIRST_LOOK.get(form, _FORM_NOT_KNOWN), *_for_the_name(form, facts)):
        allowed = _allowed(code, form, facts, may_lift=may_lift, may_cut=may_cut)
        if allowed is not None and not _has(facts, allowed):
            wanted[allowed] = None
    return [
        Wanted(code, _HOW.get(code, "photograph"), _still_possible(code, form, facts))
        for code in wanted
    ]


def may_be_asked(
    form: str, facts: EvidenceFacts, *, may_lift: bool, may_cut: bool
) -> tuple[str, ...]:
    """Return what a referee may ask for: not there yet, allowed, and still to be had.

    Wider than `missing`: a referee may want more than the form's first look. Never tasting.
    """
    first = [
        wanted.code
        for wanted in missing(form, facts, may_lift=may_lift, may_cut=may_cut)
        if wanted.still_possible
    ]
    further = []
    for code in ASKABLE:
        allowed = _allowed(code, form, facts, may_lift=may_lift, may_cut=may_cut)
        if allowed == code and not _has(facts, code) and _still_possible(code, form, facts):
            further.append(code)
    return tuple(dict.fromkeys([*first, *further]))


def may_still_be_seen(
    cost: str,
    part: str,
    *,
    cuts: bool,
    form: str,
    in_hand: str,
    views: frozenset[str],
    may_lift: bool,
    may_cut: bool,
    code: str = "",
) -> bool:
    """Whether a character that costs so much to see may be looked at still.

    `cost`: at_once, cut, wait, overnight, lens, microscope or reagent; `cuts`: it needs lifting or
    cutting; `views`: what the photographs show. What is seen at once can be read off a photograph
    of its part too, but for what only nose or finger tells. Where it is not said what is in hand,
    only what is not allowed is ruled out.
    """
    if (cuts or cost in ("cut", "wait")) and not (may_lift and may_cut):
        return False
    takes = cost in ("overnight", "reagent", "microscope")
    if takes and not may_lift and in_hand not in _COST_POSSIBLE[cost]:
        return False
    if not in_hand or in_hand in _COST_POSSIBLE[cost]:
        return True
    if cost == "at_once" and code not in _BY_TOUCH and _SHOWN_BY.get(part, _ANY_SIDE) & views:
        return True
    return form in _STANDS_LONG and in_hand in _LEFT_IN_PLACE and cost in ("at_once", "lens")


def _for_the_name(form: str, facts: EvidenceFacts) -> list[str]:
    """What the name, or a character seen, asks for beyond the form's first look."""
    codes = []
    if facts.gives_milk or "milk_colour" in facts.characters:
        codes.append("milk_after_30_minutes")
    if facts.needs in ("microscope", "specimen", "sequence") and form in _GIVES_A_PRINT:
        codes.append("spore_print")
    if facts.needs == "microscope":
        codes.append("microscope")
    if facts.needs in ("specimen", "sequence"):
        codes.append("specimen")
    return codes


def _allowed(
    code: str, form: str, facts: EvidenceFacts, *, may_lift: bool, may_cut: bool
) -> str | None:
    """The code itself, what is asked for instead, or None where it is not asked for at all."""
    if code in _NEEDS_A_CUT:
        # What has not been taken up cannot be cut either.
        return code if may_cut and may_lift else None
    if may_lift:
        return code
    if code in _TAKES_IT_AWAY or code == "reagent":
        return None
    if code == "microscope":  # of what is in hand already; nothing is taken for it
        return code if facts.in_hand in STILL_POSSIBLE[code] else None
    if code == "underside" and form in _UNDERSIDE_LIFTED:
        return "mirror_photograph"
    if code in ("stem_base", "side"):
        return "photograph_in_place"
    return code


def _has(facts: EvidenceFacts, code: str) -> bool:
    views = facts.views
    whole_stem = "stem_base" in views or ("side" in views and facts.base == "lifted")
    held = {
        "habitat": facts.has_habitat or "habitat" in views,
        "hosts": facts.has_hosts,
        "substrate": facts.has_substrate,
        "stem_base": whole_stem,
        "mirror_photograph": "underside" in views,
        "photograph_in_place": bool(views & {"side", "stem_base"}),
        "flesh_after_cutting": "flesh" in facts.readings or "flesh_change" in facts.characters,
        "milk_after_30_minutes": "milk" in facts.readings or "milk_change" in facts.characters,
        "spore_print": facts.has_print or "print_colour" in facts.characters,
        "reagent": "reagent" in facts.readings,
        "microscope": facts.has_measurements or "micrograph" in views,
        "specimen": facts.has_specimen or "specimen" in views,
    }
    return held.get(code, False) or code in views


def _still_possible(code: str, form: str, facts: EvidenceFacts) -> bool:
    if code in _NOTES or not facts.in_hand:
        return True
    in_place = facts.may_return or form in _STANDS_LONG
    if code in _IN_PLACE:
        return in_place or facts.in_hand == "fresh"
    if facts.in_hand in STILL_POSSIBLE[code]:
        return True
    return in_place and facts.in_hand in _LEFT_IN_PLACE
