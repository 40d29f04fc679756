"""The drawing of a state, for any page that shows a word of the vocabulary."""

from django import template

from society.names.queries.characters import drawing_address

register = template.Library()


@register.inclusion_tag("names/_drawing.html")
def drawing(character_code: str, state_code: str) -> dict[str, str]:
    """Show the drawing of a state; nothing where there is none. No queries."""
    return {"address": drawing_address(character_code, state_code)}
