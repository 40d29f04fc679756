"""Reads of the lists room: species lists, pages of sites and species, home, search, the logbook."""

from society.lists.queries.find_lines import FindLine, find_lines, finds_of_row, latest_finds
from society.lists.queries.home import (
    FindWaiting,
    Week,
    drafts_of,
    finds_waiting,
    latest_published,
    week_found,
)
from society.lists.queries.listed import finds_at, title_of
from society.lists.queries.logbook import (
    NameInBook,
    by_day_and_place,
    names_in_book,
    own_finds,
    withdrawn_finds,
)
from society.lists.queries.search import SearchFound, everything_found
from society.lists.queries.seasons import SeasonCount, seasons_counted, seasons_to_choose
from society.lists.queries.sites import SitePage, site_page, sites_as_tree, sites_with_finds
from society.lists.queries.species import SpeciesPage, species_page
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
    "FindLine",
    "FindWaiting",
    "HostSeen",
    "LeftOut",
    "NameInBook",
    "SearchFound",
    "SeasonCount",
    "SitePage",
    "SpeciesList",
    "SpeciesListFilter",
    "SpeciesPage",
    "SpeciesRow",
    "Week",
    "by_day_and_place",
    "drafts_of",
    "everything_found",
    "find_lines",
    "finds_at",
    "finds_of_row",
    "finds_waiting",
    "latest_finds",
    "latest_published",
    "names_in_book",
    "own_finds",
    "seasons_counted",
    "seasons_to_choose",
    "site_page",
    "sites_as_tree",
    "sites_with_finds",
    "species_list",
    "species_page",
    "title_of",
    "week_found",
    "withdrawn_finds",
]
