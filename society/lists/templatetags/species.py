"""Words of a species' page, made here once from values."""

from collections.abc import Iterable
from decimal import Decimal

from django import template
from django.utils.formats import number_format
from django.utils.translation import gettext as _

from society.names.queries import SporesShown

register = template.Library()


@register.filter
def spore_sizes(spores: SporesShown) -> str:
    """Return sizes of spores with their unit: '7.5–9 × 6–7 µm, Q 1.1–1.3'."""
    words = _("%(length)s × %(width)s µm") % {
        "length": _span(spores.length_from, spores.length_to),
        "width": _span(spores.width_from, spores.width_to),
    }
    if spores.q_from is None or spores.q_to is None:
        return words
    return _("%(sizes)s, Q %(q)s") % {"sizes": words, "q": _span(spores.q_from, spores.q_to)}


@register.filter
def either(words: Iterable[str]) -> str:
    """Join words of which one is meant: 'blue or green'."""
    return _(" or ").join(words)


def _span(first: Decimal, last: Decimal) -> str:
    low, high = (number_format(f"{value:f}".rstrip("0").rstrip(".")) for value in (first, last))
    return low if low == high else f"{low}–{high}"
