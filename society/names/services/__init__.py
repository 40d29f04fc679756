"""Writes to the checklist, the vocabulary and the species accounts."""

from society.names.services.account_files import AccountsReport, accounts_load
from society.names.services.accounts import (
    account_reading_set,
    account_set_sources,
    account_spores_set,
    account_state_set,
)
from society.names.services.files import (
    checklist_file_add,
    checklist_file_drop,
    checklist_file_look,
    checklist_file_take,
    checklist_take_over,
)
from society.names.services.listed import (
    ListEntry,
    listed_status_add,
    listed_status_edit,
    listed_status_remove,
    listed_statuses_take,
)
from society.names.services.loading import DATA, LoadReport, checklist_load
from society.names.services.look_alikes import (
    LookAlikeEntry,
    look_alike_add,
    look_alike_remove,
)
from society.names.services.merging import taxon_merge, taxon_merge_check, taxon_part
from society.names.services.moving import taxon_move
from society.names.services.splitting import split_end, taxon_split
from society.names.services.stamp import stamp_raise
from society.names.services.taxa import EDITABLE, taxon_add, taxon_edit
from society.names.services.vocabulary import (
    character_add,
    character_edit,
    character_state_add,
    character_state_edit,
)

__all__ = [
    "DATA",
    "EDITABLE",
    "AccountsReport",
    "ListEntry",
    "LoadReport",
    "LookAlikeEntry",
    "account_reading_set",
    "account_set_sources",
    "account_spores_set",
    "account_state_set",
    "accounts_load",
    "character_add",
    "character_edit",
    "character_state_add",
    "character_state_edit",
    "checklist_file_add",
    "checklist_file_drop",
    "checklist_file_look",
    "checklist_file_take",
    "checklist_load",
    "checklist_take_over",
    "listed_status_add",
    "listed_status_edit",
    "listed_status_remove",
    "listed_statuses_take",
    "look_alike_add",
    "look_alike_remove",
    "split_end",
    "stamp_raise",
    "taxon_add",
    "taxon_edit",
    "taxon_merge",
    "taxon_merge_check",
    "taxon_move",
    "taxon_part",
    "taxon_split",
]
