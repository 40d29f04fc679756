"""What the files hold: tables of the species list, of its finds, and of one's own records."""

from society.exchange.queries.finds import FINDS_IN_ONE_READ, finds_table, own_records_table
from society.exchange.queries.species import species_table
from society.exchange.queries.tables import Cell, Column, Table

__all__ = [
    "FINDS_IN_ONE_READ",
    "Cell",
    "Column",
    "Table",
    "finds_table",
    "own_records_table",
    "species_table",
]
