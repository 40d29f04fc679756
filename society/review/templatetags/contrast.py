"""Sentences of the contrast, made here once from codes. Words first: no share, bar or score."""

import datetime as dt
from collections.abc import Collection, Iterable, Sequence

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
                "colour": _listed(states_named(bearing, moment.seen, book)) or _("not readable"),
                "minutes": moment.minutes,
            }
            for moment in bearing.moments
        )
    return _listed(states_named(bearing, bearing.seen, book))


@register.simple_tag
def bearing_expects(bearing: science.Bearing, book: AccountBook) -> str:
    """Say what a candidate's account holds, most usual first, and of what was seen how usual."""
    if bearing.moments:
        return "; ".join(_moment_words(bearing, moment, book) for moment in bearing.moments)
    return _account_words(bearing, bearing, book)


def _moment_words(bearing: science.Bearing, moment: science.Moment, book: AccountBook) -> str:
    """Say what an account holds at a minute; of several minutes also how each bears."""
    colours = _account_words(bearing, moment, book)
    if not colours:
        return _("at %(minutes)g min not known") % {"minutes": moment.minutes}
    values = {"minutes": moment.minutes, "colours": colours, "last": moment.carried_from}
    words = _("at %(minutes)g min %(colours)s") % values
    if moment.carried_from is not None:
        words = _("at %(minutes)g min not held, as at %(last)g min: %(colours)s") % values
    if len(bearing.moments) == 1:
        return words
    return f"{words} ({_fit_words(bearing, moment, book)})"


def _account_words(
    thing: science.Bearing, told: science.Bearing | science.Moment, book: AccountBook
) -> str:
    """Name what is usual and what was seen: 'usually orange, rarely wine-red', or 'not named'."""
    if not told.expects or thing.kind in ("month", "spores"):
        return expected_words(thing, told.expects, book)
    words = [expected_words(thing, told.expects, book, told.seen)]
    if thing.kind in ("character", "reading") and (
        told.verdict == "speaks_against" or told.near_to or told.in_part
    ):
        held = {code for code, _usual in told.expects}
        if thing.kind == "reading":
            held.add(TurnedColour.NONE)  # 'no change' is said of another colour
        missing = states_named(thing, [code for code in told.seen if code not in held], book)
        words += [_("%(state)s not named") % {"state": state} for state in missing]
    return _listed(words)


@register.simple_tag
def fit_words(bearing: science.Bearing, book: AccountBook) -> str:
    """Say how a thing bears: 'fits', 'fits as near to red', 'fits in part', 'speaks against'."""
    return _fit_words(bearing, bearing, book)


def _fit_words(
    thing: science.Bearing, told: science.Bearing | science.Moment, book: AccountBook
) -> str:
    values = {
        "verdict": VERDICTS[told.verdict],
        "states": joined(states_named(thing, told.near_to, book)),
    }
    if told.in_part:
        return _("%(verdict)s in part") % values
    if told.near_to:
        return _("%(verdict)s as near to %(states)s") % values
    return str(values["verdict"])


def expected_words(
    thing: Thing,
    expects: Sequence[science.Expected],
    book: AccountBook,
    seen: Collection[str] = (),
) -> str:
    """Return states with how usual they are, those seen always: 'always faint, never none'."""
    if thing.kind == "spores":
        return spores_words(expects)
    if thing.kind == "month" and len(expects) > 1:
        return _month(f"{expects[0][0]}-{expects[-1][0]}")
    held = [(code, usual) for code, usual in expects if code in seen]
    fewest = max(FEWEST_WORDS - len(held), 2) if held else FEWEST_WORDS
    usual_ones = [(code, usual) for code, usual in expects if usual != "never"][:fewest]
    told = [pair for pair in expects if pair in usual_ones or pair in held]
    if not told:
        never = [code for code, usual in expects if usual == "never"][:FEWEST_WORDS]
        return (
            _("never %(states)s") % {"states": _listed(states_named(thing, never, book))}
            if never
            else ""
        )
    return ", ".join(
        f"{Usual(usual).label} {word}" if usual in Usual.values else word
        for (_code, usual), word in zip(
            told, states_named(thing, [code for code, _usual in told], book), strict=True
        )
    )


def states_named(thing: Thing, codes: Iterable[str], book: AccountBook) -> list[str]:
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


def joined(words: Sequence[str]) -> str:
    """Join as people do: 'a', 'a and b', 'a, b and c'."""
    if len(words) < 2:
        return "".join(words)
    return _("%(others)s and %(last)s") % {"others": _listed(words[:-1]), "last": words[-1]}


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
            "The one thing seen that bears on it fits.",
            "All %(seen)d things seen that bear on it fit.",
            row.seen,
        ) % {"seen": row.seen}
    if row.seen == 1:
        return _("The one thing seen that bears on it speaks against it.")
    return ngettext(
        "%(against)d of %(seen)d things seen speaks against it.",
        "%(against)d of %(seen)d things seen speak against it.",
        row.against,
    ) % {"against": row.against, "seen": row.seen}


@register.filter
def not_seen_of_it(candidate: CandidateShown) -> list[science.Bearing]:
    """Return what this candidate's own account holds and nobody has looked at."""
    return [bearing for bearing in candidate.not_seen if bearing.expects]


@register.simple_tag
def not_held_words(candidate: CandidateShown, book: AccountBook) -> str:
    """Count what other accounts hold, or was seen, and this one does not; '' where nothing."""
    blank = sum(not bearing.expects for bearing in candidate.not_seen)
    words = {
        "n": blank + len(candidate.not_known),
        "seen": _listed(bearing_name(bearing, book) for bearing in candidate.not_known),
    }
    if not words["n"]:
        return ""
    if not candidate.not_known:
        return _("not known of it: %(n)d") % words
    return _("not known of it: %(n)d; of these seen here: %(seen)s") % words


@register.simple_tag
def contradiction_words(code: str, page: ContrastPage) -> str:
    """Say which states of a character contradict each other and are not counted."""
    word = page.book.words.get(code)
    seen = page.observed.states.get(code, frozenset())
    names = dict(word.states) if word is not None else {}
    states = [names.get(state, state) for state in (names or sorted(seen)) if state in seen]
    return _("%(character)s: %(states)s contradict each other; not counted") % {
        "character": word.name if word is not None else code,
        "states": joined(states),
    }


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
    names = states_named(row, [code for code, _usual in cell], book)
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
