"""Sentences on which look to take next: whom it would go with and whose account varies."""

from collections.abc import Sequence

from django import template
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from society.review.queries.contrast import ContrastPage
from society.review.templatetags.contrast import expected_words, joined, states_named
from society.science import contrast as science

register = template.Library()


@register.simple_tag
def look_sentence(look: science.NextLook, page: ContrastPage) -> str:
    """Say which name an outcome would go with and which it would speak against.

    Where none would tell so much, what the two leading accounts expect.
    """
    if look.telling is None:
        said = _two_leading(look)
        names = _short_names([one.key for one in said], page)
        told = [
            _("%(name)s: %(states)s") % {"name": name, "states": would_say_words(one, look, page)}
            for name, one in zip(names, said, strict=True)
        ]
        return f"{'; '.join(told)}." if told else ""
    state, key, _weight = look.telling
    values = {"state": states_named(look, [state], page.book)[0]}
    if look.minute is not None:
        values["minute"] = f"{look.minute:g}"
    if look.goes_with is None:
        values["name"] = candidate_name(key, page)
        if look.minute is not None:
            words = _("%(state)s by %(minute)s minutes would speak strongly against %(name)s.")
        else:
            words = _("'%(state)s' would speak strongly against %(name)s.")
        return words % values
    values["with"], values["name"] = _short_names([look.goes_with, key], page)
    if look.minute is not None:
        words = _(
            "%(state)s by %(minute)s minutes would go with %(with)s and speak against %(name)s."
        )
    else:
        words = _("'%(state)s' would go with %(with)s and speak against %(name)s.")
    return words % values


@register.simple_tag
def varies_sentence(look: science.NextLook, page: ContrastPage) -> str:
    """Say whose account, of those named in its sentence, varies; '' where none does."""
    named = [one.key for one in _two_leading(look)]
    if look.telling is not None:
        named = [key for key in (look.goes_with, look.telling[1]) if key is not None]
    differ = {one.key for one in look.would_say if one.sources_differ}
    names = _short_names([key for key in named if key in differ], page)
    if not names:
        return ""
    return ngettext(
        "The account of %(names)s varies.", "The accounts of %(names)s vary.", len(names)
    ) % {"names": joined(names)}


def _two_leading(look: science.NextLook) -> list[science.WouldSay]:
    """Return the two best supported whose accounts say something of a look."""
    return [one for one in look.would_say if one.expects][:2]


def _short_names(keys: Sequence[int], page: ContrastPage) -> list[str]:
    """Name candidates; the genus in full the first time it stands."""
    names, genera = [], set()
    for key in keys:
        name = candidate_name(key, page)
        genus, _space, epithet = name.partition(" ")
        names.append(f"{genus[0]}. {epithet}" if genus in genera and epithet else name)
        genera.add(genus)
    return names


@register.simple_tag
def would_say_words(said: science.WouldSay, look: science.NextLook, page: ContrastPage) -> str:
    """Say what a candidate's account expects of a look, and how usual the telling outcome is."""
    telling = look.telling[:1] if look.telling is not None else ()
    return expected_words(look, said.expects, page.book, telling) or _("not known")


@register.simple_tag
def candidate_name(key: int, page: ContrastPage) -> str:
    """Name a candidate by its id."""
    named = page.named.get(key)
    taxon = named.taxon if named is not None else page.book.taxa.get(key)
    return taxon.scientific_name if taxon is not None else ""
