"""The gate: the one way by which free text reaches a reader, in any channel.

A text that speaks of eating leaves here with its notice, whatever it says and whatever stands.
Praise, use, remedies, questions and words of harmlessness are folded behind the notice; warnings
and reports of what was eaten stand open with the notice beside them. It cannot be switched off.

The facts in the notice are those of the general guides and of Wennig and others 2020 (kinds
commonly eaten also poison when raw, spoiled or in excess); none is a figure or a treatment.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from django.template.loader import render_to_string
from django.utils.functional import Promise
from django.utils.html import escape, linebreaks
from django.utils.safestring import SafeString
from django.utils.translation import gettext, ngettext
from django.utils.translation import gettext_lazy as _

from society.core.free_text import FreeText
from society.names.models import Danger, Taxon

# Shown open; every other kind, also one unknown here, is folded.
OPEN_KINDS = frozenset({"warning", "eaten"})
# What a structured note on eating counts as when its words alone would not tell.
STRUCTURED_KIND = "use"

_LINE = _(
    "Never eat on one feature, one picture, one opinion or a name found here: wrong names have "
    "killed. If any was eaten, call a poison centre or emergency number now, feeling well or not."
)
_PREFIXES: dict[str | None, Promise | str] = {
    Danger.DEADLY: _("Deadly poisonous."),
    Danger.SERIOUS: _("Seriously poisonous."),
}
_STANDINGS: dict[str, str | Promise] = {
    "confirmed": _(
        "The name was confirmed for this one collection, from what was seen of it. It speaks for "
        "no other fungus, not for the next in the basket nor for the next from the same spot."
    ),
    "determined_by_its_referee": _(
        "The name was given to this one collection by its referee, and nobody else has looked. It "
        "speaks for no other fungus, not for the next one in the basket."
    ),
    "from_the_books": _(
        "The name was taken over from old records and has not been examined again."
    ),
    "disputed": _("The name is disputed."),
    "left_open": _("What was kept of this find cannot settle its name."),
    "unconfirmed": _("The name is not confirmed: no referee has settled what this is."),
}
_NO_LEAVE = _("A name in this logbook is a record of a find. It is never leave to eat.")
_HARM: dict[str | None, Promise | str] = {
    Danger.DEADLY: _("A fungus of this name is deadly."),
    Danger.SERIOUS: _("A fungus of this name is seriously poisonous."),
    Danger.ILLNESS: _("A fungus of this name causes illness"),
}
_NOTHING_HELD = _("Nothing on harm is held here under this name, which says nothing about harm.")
_NO_ONE_NAME = _("Where nothing is said here on harm, that says nothing about harm.")
_EACH_ONE = _(
    "Never eat on one feature, one picture, one opinion or what a program suggests. Every single "
    "fungus counts: different kinds grow together, and wrong names have killed."
)
_EATEN_KINDS = _(
    "Kinds that are commonly eaten also poison when raw, undercooked, spoiled or eaten in excess."
)
_NO_REMEDY = _("Nothing written here is medical advice or a dose. Ask a doctor or a pharmacist.")
_CALL = _(
    "If any was eaten, call the poison centre or the emergency number at once and do not wait for "
    "signs. They, the hospital and the law where you are come before anything written here."
)
_CONDITIONS = {
    "raw": _("raw or undercooked"),
    "spoiled": _("old or spoiled"),
    "alcohol": _("with alcohol, even days after the meal"),
    "some_people": _("in some people"),
    "gut": _("upsets the gut"),
}


@dataclass(frozen=True, slots=True)
class NoticeContext:
    """What is known around a text: the notice is worded after it, and is never left out.

    ``standing`` is a code of what stands, None where no find is spoken of; ``danger`` a danger
    class of the names room with its ``danger_note``; ``look_alikes`` names of dangerous fungi taken
    for this one; ``kind`` what the text says on eating; ``shown`` names of dangerous fungi among
    several that a page holds beside each other. ``danger`` None where no one name is spoken of.
    """

    standing: str | None = None
    danger: str | None = None
    look_alikes: tuple[str, ...] = ()
    kind: str | None = None
    danger_note: str = ""
    shown: tuple[str, ...] = ()


GENERAL = NoticeContext()


def notice_context(
    taxon: Taxon | None, *, standing: str | None = None, dangerous: Iterable[Taxon] = ()
) -> NoticeContext:
    """Return the context of a find or a name from rows at hand; asks the database nothing."""
    return NoticeContext(
        standing=standing,
        danger=taxon.danger if taxon is not None else None,
        look_alikes=tuple(other.scientific_name for other in dangerous),
        danger_note=taxon.danger_note if taxon is not None else "",
    )


def speaks_of_eating(texts: Iterable[FreeText | str | None]) -> bool:
    """Say whether any of the texts does, so that the page or file carries the full notice once."""
    return any(_wrapped(text).on_eating for text in texts)


def notice_line(context: NoticeContext | None = None) -> str:
    """Return the notice in one line, for rows, captions, labels and plain channels."""
    context = context or GENERAL
    before = [str(_PREFIXES[context.danger])] if context.danger in _PREFIXES else []
    if context.kind == "medicine":
        before.append(gettext("No medical advice."))
    return " ".join([*before, str(_LINE)])


def notice_full(context: NoticeContext | None = None) -> list[str | Promise]:
    """Return the full notice, once a page or a file, as a list of sentences."""
    context = context or GENERAL
    sentences: list[str | Promise] = [_NO_LEAVE]
    if context.standing is not None:
        sentences.append(_STANDINGS.get(context.standing, _STANDINGS["unconfirmed"]))
    sentences.append(_harm_sentence(context))
    sentences.append(_EACH_ONE)
    if context.look_alikes:
        sentences.append(_look_alikes_sentence(context.look_alikes))
    if context.shown:
        sentences.append(
            gettext("Dangerous fungi are among those shown: %(names)s.")
            % {"names": ", ".join(context.shown)}
        )
    sentences.append(_EATEN_KINDS)
    if context.kind == "medicine":
        sentences.append(_NO_REMEDY)
    sentences.append(_CALL)
    return sentences


def danger_words(danger: str | None, note: str = "") -> str:
    """Return a danger class in words, with its condition where one is held.

    A condition of the keeper's own wording is shown unless it praises: it passes no notice here.
    """
    if danger is None or danger not in _HARM:
        return str(Danger.NONE_HELD.label)
    words = str(Danger(danger).label)
    condition = _condition(note)
    return f"{words}: {condition}" if condition else words


def as_text(
    free_text: FreeText | str | None,
    context: NoticeContext | None = None,
    *,
    structured: bool = False,
) -> str:
    """Return the text for a plain channel: a cell, a mail, a field of JSON, an attribute.

    Whatever speaks of eating is followed by the notice in one line. ``structured`` marks a note
    that is on eating by its place, whatever its words.
    """
    text = _wrapped(free_text)
    kind = _kind(text, structured)
    if kind is None:
        return text.raw
    return f"{text.raw} [{notice_line(_told(context, kind))}]"


def as_html(
    free_text: FreeText | str | None,
    context: NoticeContext | None = None,
    *,
    structured: bool = False,
    one_line: bool = False,
) -> SafeString:
    """Return the text for a page: escaped, its paragraphs kept, its notice with it.

    ``one_line`` is for captions and rows: no paragraphs. Where the text is folded the result is a
    ``details`` element, so it may stand in a cell or a division, not inside a paragraph.
    """
    text = _wrapped(free_text)
    shown = _escaped(text.raw, one_line)
    kind = _kind(text, structured)
    if kind is None:
        return SafeString(shown)
    template = "safety/_beside.html" if kind in OPEN_KINDS else "safety/_folded.html"
    return render_to_string(
        template,
        {
            "text": SafeString(shown),
            "line": notice_line(_told(context, kind)),
            "kind": kind,
            "one_line": one_line,
        },
    )


def _wrapped(free_text: FreeText | str | None) -> FreeText:
    return free_text if isinstance(free_text, FreeText) else FreeText(free_text or "")


def _kind(text: FreeText, structured: bool) -> str | None:
    if not text:
        return None
    if text.on_eating:
        return text.kind
    return STRUCTURED_KIND if structured else None


def _told(context: NoticeContext | None, kind: str) -> NoticeContext:
    return replace(context or GENERAL, kind=kind)


def _escaped(raw: str, one_line: bool) -> str:
    if one_line:
        return escape(" ".join(raw.split()))
    return linebreaks(raw.strip(), autoescape=True) if raw.strip() else ""


def _harm_sentence(context: NoticeContext) -> str | Promise:
    if context.danger is None:
        return _NO_ONE_NAME
    if context.danger not in _HARM:
        return _NOTHING_HELD
    words = _HARM[context.danger]
    if context.danger != Danger.ILLNESS:
        return words
    condition = _condition(context.danger_note)
    return f"{words}: {condition}." if condition else f"{words}."


def _look_alikes_sentence(names: tuple[str, ...]) -> str:
    sentence = ngettext(
        "A dangerous fungus is taken for it, or it for that: %(names)s.",
        "Dangerous fungi are taken for it, or it for them: %(names)s.",
        len(names),
    ) % {"names": ", ".join(names)}
    more = gettext(
        "What separates them is no test for eating, and something not named here may be there too."
    )
    return f"{sentence} {more}"


def _condition(note: str) -> str:
    known = _CONDITIONS.get(note)
    if known is not None:
        return str(known)
    own = FreeText(note)
    return "" if own.on_eating and own.kind not in OPEN_KINDS else note
