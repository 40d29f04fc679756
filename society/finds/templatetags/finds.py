"""Small filters of the form of a find."""

from django import template

from society.names.models import Form

register = template.Library()


@register.filter
def forms_named(words: str) -> str:
    """Spell out 'all' as every form, for the script that shows what fits the form chosen."""
    return " ".join(Form.values) if words == "all" else words
