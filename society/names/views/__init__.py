"""The look-up of names, and the keepers' pages of the checklist and the accounts."""

from society.names.views.checklist import add, checklist, edit, lookup

__all__ = ["add", "checklist", "edit", "lookup"]
