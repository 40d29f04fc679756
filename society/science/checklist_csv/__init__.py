"""Reading files of names: a checklist in the terms of Darwin Core, and what lists say of names.

Each part states its method, source and a worked example: `tables`, `taxa`, `entries`.
"""

from society.science.checklist_csv.entries import (
    ENTRY_COLUMNS,
    EntriesRead,
    EntryLine,
    read_entries,
)
from society.science.checklist_csv.tables import LineFault, UnreadableFile
from society.science.checklist_csv.taxa import (
    OWN_COLUMNS,
    TERMS,
    ChecklistRead,
    TaxonLine,
    read_checklist,
)

__all__ = [
    "ENTRY_COLUMNS",
    "OWN_COLUMNS",
    "TERMS",
    "ChecklistRead",
    "EntriesRead",
    "EntryLine",
    "LineFault",
    "TaxonLine",
    "UnreadableFile",
    "read_checklist",
    "read_entries",
]
