"""Forms of the keepers' pages of names and accounts."""

from society.names.forms.checklist import LONGEST_QUERY, ChecklistFilterForm, TaxonForm

__all__ = ["LONGEST_QUERY", "ChecklistFilterForm", "TaxonForm"]
