"""What the files hold: the species list, its finds, one's own records, the checklist."""

from society.exchange.queries.checklist import checklist_table
from society.exchange.queries.finds import FINDS_IN_ONE_READ, finds_table, own_records_table
from society.exchange.queries.species import species_table
from society.exchange.queries.tables import Cell, Column, Table

__all__ = [
    "FINDS_IN_ONE_READ",
    "Cell",
    "Column",
    "Table",
    "checklist_table",
    "finds_table",
    "own_records_table",
    "species_table",
]
