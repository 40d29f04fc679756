"""Sentences of the contrast, made here once from codes. Words first: no share, bar or score."""

import datetime as dt
from collections.abc import Iterable, Sequence

from django import template
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from society.finds.models import Substrate
from society.names.models import Exposed, TurnedColour, Usual
from society.names.queries import AccountBook
from society.review.queries.contrast import CandidateShown, ContrastPage
from society.review.queries.side_by_side import Column
from society.review.queries.time_line import Instant, TimeLine
from society.science import contrast as science

register = template.Library()

Thing = science.Bearing | science.NextLook | science.SideRow

KINDS = {
    "hosts": gettext_lazy("trees and plants it stood with"),
    "substrate": gettext_lazy("what it grew on"),
    "month": gettext_lazy("time of year"),
    "spores": gettext_lazy("size of the spores"),
}
ROLES = {
    "proposed": gettext_lazy("proposed"),
    "look_alike": gettext_lazy("taken for it, or it for this"),
    "dangerous": gettext_lazy("dangerous, of like form"),
    "other": gettext_lazy("of like form"),
    "unknown": "",
}
VERDICTS = {
    "fits": gettext_lazy("fits"),
    "speaks_against": gettext_lazy("speaks against"),
    "not_seen": gettext_lazy("not seen"),
    "not_known": gettext_lazy("not known of it"),
}
COSTS = {
    "at_once": gettext_lazy("seen at once"),
    "cut": gettext_lazy("needs a cut"),
    "wait": gettext_lazy("needs a wait"),
    "overnight": gettext_lazy("needs a night"),
    "lens": gettext_lazy("needs a lens"),
    "microscope": gettext_lazy("needs a microscope"),
    "reagent": gettext_lazy("needs a reagent"),
}
SPORE_MEASURES = {
    "length": gettext_lazy("length"),
    "width": gettext_lazy("width"),
    "q": "Q",
}
FEWEST_WORDS = 3  # how many expected states are named before the rest is left out


@register.simple_tag
def bearing_name(thing: Thing, book: AccountBook) -> str:
    """Name what bears: a character, a thing exposed, hosts, substrate, month or spores."""
    if thing.kind == "character":
        return book.words[thing.code].name if thing.code in book.words else thing.code
    if thing.kind == "reading":
        exposed = str(Exposed(thing.exposed).label)
        return f"{exposed} ({thing.reagent})" if thing.reagent else exposed
    return str(KINDS[thing.kind])


@register.simple_tag
def bearing_seen(bearing: science.Bearing, book: AccountBook) -> str:
    """Say what was seen."""
    if bearing.moments:
        return "; ".join(
            _("%(colour)s at %(minutes)g min")
            % {
                "colour": _listed(_states(bearing, moment.seen, book)) or _("not readable"),
                "minutes": moment.minutes,
            }
            for moment in bearing.moments
        )
    return _listed(_states(bearing, bearing.seen, book))


@register.simple_tag
def bearing_expects(bearing: science.Bearing, book: AccountBook) -> str:
    """Say what a candidate's account holds, most usual first."""
    if bearing.moments:
        return "; ".join(
            _("at %(minutes)g min %(colours)s")
            % {
                "minutes": moment.minutes,
                "colours": expected_words(bearing, moment.expects, book) or _("not known"),
            }
            for moment in bearing.moments
        )
    return expected_words(bearing, bearing.expects, book)


def expected_words(
    thing: Thing,
    expects: Sequence[science.Expected],
    book: AccountBook,
) -> str:
    """Return states with how usual they are: 'always faint, sometimes none'."""
    if thing.kind == "spores":
        return spores_words(expects)
    if thing.kind == "month" and len(expects) > 1:
        return _month(f"{expects[0][0]}-{expects[-1][0]}")
    told = [(code, usual) for code, usual in expects if usual != "never"][:FEWEST_WORDS]
    if not told:
        never = [code for code, usual in expects if usual == "never"][:FEWEST_WORDS]
        return (
            _("never %(states)s") % {"states": _listed(_states(thing, never, book))}
            if never
            else ""
        )
    return ", ".join(
        f"{Usual(usual).label} {word}" if usual in Usual.values else word
        for (_code, usual), word in zip(
            told, _states(thing, [code for code, _usual in told], book), strict=True
        )
    )


def _states(thing: Thing, codes: Iterable[str], book: AccountBook) -> list[str]:
    """Name states, colours, genera, substrates, months or sizes."""
    if thing.kind == "character":
        names = book.words[thing.code].states if thing.code in book.words else {}
        return [names.get(code, code) for code in codes]
    if thing.kind == "reading":
        return [_label(TurnedColour, code) for code in codes]
    if thing.kind == "substrate":
        return [_label(Substrate, code) for code in codes]
    if thing.kind == "month":
        return [_month(code) for code in codes]
    return list(codes)


def _label(choices: type[TurnedColour] | type[Substrate], code: str) -> str:
    return str(choices(code).label) if code in choices.values else code


def _month(code: str) -> str:
    """Name a month given as its number, or a span given as '8-11'."""
    first, dash, last = code.partition("-")
    names = [
        date_format(dt.date(2000, int(month), 1), "F")
        for month in ((first, last) if dash else (first,))
        if month.isdigit() and 1 <= int(month) <= 12
    ]
    return "–".join(names) or code


def _listed(words: Iterable[str]) -> str:
    return ", ".join(words)


@register.filter
def verdict_of_bearing(bearing: science.Bearing | None) -> str:
    """Say how a thing bears, in the words of the trade."""
    return str(VERDICTS[bearing.verdict]) if bearing is not None else str(VERDICTS["not_known"])


@register.filter
def role_words(candidate: CandidateShown) -> str:
    """Say why it is a candidate."""
    return str(ROLES[candidate.role])


@register.filter
def support_sentence(candidate: CandidateShown) -> str:
    """Say in words how what was seen bears on a candidate."""
    row = candidate.row
    if candidate.taxon is None:
        return _("Always possible: no account here holds every fungus.")
    if not row.seen:
        return _("Nothing seen so far bears on it.")
    if not row.against:
        return ngettext(
            "The one thing seen that its account speaks of fits.",
            "All %(seen)d things seen that its account speaks of fit.",
            row.seen,
        ) % {"seen": row.seen}
    return ngettext(
        "The one thing seen that its account speaks of speaks against it.",
        "%(against)d of %(seen)d things seen speak against it.",
        row.seen,
    ) % {"against": row.against, "seen": row.seen}


@register.filter
def state_of_contrast(page: ContrastPage) -> str:
    """Say in one sentence how far the evidence goes."""
    if page.is_empty:
        return _("Nothing has been recorded yet that bears on any of these names.")
    if page.contrast.level == "genus":
        return _(
            "A button, a decayed one or pictures alone part nothing below the genus: "
            "read the lines below as questions."
        )
    if not page.contrast.separated:
        return _("Nothing is separated yet: more than one name goes with what was seen.")
    return _(
        "What was seen goes clearly better with the first name than with the others held here."
    )


@register.simple_tag
def look_sentence(look: science.NextLook, page: ContrastPage) -> str:
    """Say what a look would tell: which outcome would speak against which name."""
    if look.telling is None:
        return ""
    state, key, _weight = look.telling
    words = _states(look, [state], page.book)[0]
    taxon = page.named[key].taxon if key in page.named else page.book.taxa.get(key)
    values = {"state": words, "name": taxon.scientific_name if taxon else ""}
    if look.minute is not None:
        values["minute"] = f"{look.minute:g}"
        return _("%(state)s by %(minute)s minutes would speak strongly against %(name)s.") % values
    return _("'%(state)s' would speak strongly against %(name)s.") % values


@register.simple_tag
def would_say_words(said: science.WouldSay, look: science.NextLook, page: ContrastPage) -> str:
    """Say what a candidate's account expects of a look."""
    return expected_words(look, said.expects, page.book) or _("not known")


@register.simple_tag
def look_cost(look: science.NextLook, book: AccountBook) -> str:
    """Say what a look costs, in words."""
    if look.kind == "reading":
        return _("needs a fresh cut and %(minute)g minutes") % {"minute": look.minute or 0}
    character = book.characters.get(look.code)
    if character is None:
        return ""
    words = str(COSTS[character.cost])
    if character.wait_minutes:
        words += ", " + _("%(minutes)d minutes") % {"minutes": character.wait_minutes}
    return words


@register.simple_tag
def candidate_name(key: int, page: ContrastPage) -> str:
    """Name a candidate by its id."""
    named = page.named.get(key)
    taxon = named.taxon if named is not None else page.book.taxa.get(key)
    return taxon.scientific_name if taxon is not None else ""


@register.simple_tag
def exposed_words(line: TimeLine) -> str:
    """Name what was exposed, and the reagent."""
    words = str(Exposed(line.exposed).label)
    return f"{words}: {line.reagent}" if line.reagent else words


@register.simple_tag
def instant_expects(instant: Instant) -> str:
    """Say what an account expects at a minute, most usual first."""
    return states_usual(
        [(_label(TurnedColour, colour), usual) for colour, usual in instant.expects]
    )


@register.simple_tag
def states_usual(states: Sequence[tuple[str, str]]) -> str:
    """Return names of states with how usual they are; where all are 'never', that."""
    told = [f"{Usual(usual).label} {name}" for name, usual in states if usual != "never"]
    never = [name for name, usual in states if usual == "never"]
    if never and len(told) < FEWEST_WORDS:
        told.append(_("never %(states)s") % {"states": _listed(never)})
    return _listed(told)


def spores_words(measures: Sequence[science.Expected]) -> str:
    """Return sizes of spores with their units: 'length 7-9 µm, Q 1.1-1.3'."""
    return _listed(
        f"{SPORE_MEASURES[measure]} {size}"
        if measure == "q"
        else f"{SPORE_MEASURES[measure]} {size} µm"
        for size, measure in measures
        if measure in SPORE_MEASURES
    )


@register.simple_tag
def cell_words(row: science.SideRow, cell: Sequence[science.Expected], book: AccountBook) -> str:
    """Say what a column holds of a character: states seen, or states with how usual they are."""
    if row.kind == "spores":
        return spores_words(cell)
    if row.kind == "month" and len(cell) > 1:
        return _month(f"{cell[0][0]}-{cell[-1][0]}")
    names = _states(row, [code for code, _usual in cell], book)
    usual = [usual for _code, usual in cell]
    if science.SEEN in usual or not any(usual):
        return _listed(names)
    return states_usual(list(zip(names, usual, strict=True)))


@register.filter
def beside(line: TimeLine, columns: list[Column]) -> list[tuple[Column, list[Instant]]]:
    """Return the columns, each with its line."""
    return list(zip(columns, line.lines, strict=True))


@register.simple_tag
def ratio_words(ratio: float) -> str:
    """Say a ratio as people do: about twice, about 30 times, more than 1,000 times."""
    if ratio < 1:
        ratio = 1 / ratio
    if ratio < 1.5:
        return _("about equally well")
    if ratio > 1000:
        return _("more than 1,000 times better")
    rounded = round(ratio) if ratio < 10 else round(ratio, -1) if ratio < 100 else round(ratio, -2)
    return _("about %(times)d times better") % {"times": rounded}
