"""Small filters of the form of a find."""

from django import template

from society.names.models import Form

register = template.Library()


@register.filter
def forms_named(words: str) -> str:
    """Spell out 'all' as every form, for the script that shows what fits the form chosen."""
    return " ".join(Form.values) if words == "all" else words


@register.filter
def in_words(key: int, chosen: set[str]) -> bool:
    """Say whether a key is among the values a form holds as text."""
    return str(key) in chosen
