"""Reads of the lists room: species lists, pages of sites and species, home, search, the logbook."""

from society.lists.queries.species_list import species_list
from society.lists.queries.wanted import (
    DangerousLookAlike,
    HostSeen,
    LeftOut,
    SpeciesList,
    SpeciesListFilter,
    SpeciesRow,
)

__all__ = [
    "DangerousLookAlike",
    "HostSeen",
    "LeftOut",
    "SpeciesList",
    "SpeciesListFilter",
    "SpeciesRow",
    "species_list",
]
