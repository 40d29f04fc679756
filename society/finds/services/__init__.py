"""Every write of the finds room."""

from society.finds.services.drafts import (
    draft_drop,
    draft_keep,
    draft_photograph_add,
    draft_photograph_drop,
    edit_draft_uuid,
)
from society.finds.services.entry import (
    EatingNoteEntry,
    FindEntry,
    OrganismEntry,
    PhotographEntry,
    PlaceEntry,
    ReadingEntry,
    SlipEntry,
)
from society.finds.services.finds import find_edit, find_post, find_put_back, find_withdraw
from society.finds.services.linking import slips_link
from society.finds.services.photographs import (
    photograph_add,
    renditions_make,
)
from society.finds.services.placing import places_recompute, secrecy_follow_names
from society.finds.services.slips import slip_add
from society.finds.services.sweeping import files_sweep

__all__ = [
    "EatingNoteEntry",
    "FindEntry",
    "OrganismEntry",
    "PhotographEntry",
    "PlaceEntry",
    "ReadingEntry",
    "SlipEntry",
    "draft_drop",
    "draft_keep",
    "draft_photograph_add",
    "draft_photograph_drop",
    "edit_draft_uuid",
    "files_sweep",
    "find_edit",
    "find_post",
    "find_put_back",
    "find_withdraw",
    "photograph_add",
    "places_recompute",
    "renditions_make",
    "secrecy_follow_names",
    "slip_add",
    "slips_link",
]
