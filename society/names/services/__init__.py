"""Writes to the checklist: loading it from the room's data, adding and editing names."""

from society.names.services.account_files import AccountsReport, accounts_load
from society.names.services.loading import DATA, LoadReport, checklist_load
from society.names.services.stamp import stamp_raise
from society.names.services.taxa import EDITABLE, taxon_add, taxon_edit

__all__ = [
    "DATA",
    "EDITABLE",
    "AccountsReport",
    "LoadReport",
    "accounts_load",
    "checklist_load",
    "stamp_raise",
    "taxon_add",
    "taxon_edit",
]
