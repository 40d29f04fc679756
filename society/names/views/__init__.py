"""The look-up of names, and the keepers' pages of the checklist and the accounts."""

from society.names.views.characters import character, character_index
from society.names.views.checklist import add, checklist, edit, lookup

__all__ = ["add", "character", "character_index", "checklist", "edit", "lookup"]
