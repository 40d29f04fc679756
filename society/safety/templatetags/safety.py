"""Template tags of the gate: free text, the notice, danger in words."""

from typing import Any

from django import template
from django.utils.safestring import SafeString

from society.core.free_text import FreeText
from society.names.models import Taxon
from society.safety import gate

register = template.Library()


@register.simple_tag(name="free_text")
def free_text_tag(value: FreeText | str | None, context: Any = None) -> SafeString:
    """Show a free text with its paragraphs and, where it speaks of eating, its notice."""
    return gate.as_html(value, _known(context))


@register.simple_tag
def free_text_line(value: FreeText | str | None, context: Any = None) -> SafeString:
    """Show a free text in a row or a caption; not inside a paragraph (it may fold)."""
    return gate.as_html(value, _known(context), one_line=True)


@register.simple_tag
def eating_note(note: Any, context: Any = None) -> SafeString:
    """Show the ``text`` of a note on eating, whatever its words, with its notice."""
    return gate.as_html(note.text, _known(context), structured=True)


@register.inclusion_tag("safety/_notice.html")
def eating_notice(context: Any = None) -> dict[str, Any]:
    """Show the full notice; once a page that speaks of eating."""
    return {"sentences": gate.notice_full(_known(context))}


@register.simple_tag
def danger_words(taxon: Taxon | None) -> str:
    """Say a name's danger class and its condition."""
    if not taxon:
        return gate.danger_words(None)
    return gate.danger_words(taxon.danger, taxon.danger_note)


def _known(context: Any) -> gate.NoticeContext | None:
    """Return the context, or None for what a template could not find."""
    return context if isinstance(context, gate.NoticeContext) else None
