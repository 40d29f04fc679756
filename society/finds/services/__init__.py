"""Every write of the finds room."""

from society.finds.services.drafts import (
    draft_drop,
    draft_keep,
    draft_photograph_add,
    draft_photograph_drop,
)
from society.finds.services.entry import (
    EatingNoteEntry,
    FindEntry,
    OrganismEntry,
    PlaceEntry,
    ReadingEntry,
    SlipEntry,
)
from society.finds.services.finds import find_edit, find_post, find_put_back, find_withdraw
from society.finds.services.photographs import (
    photograph_add,
    photograph_edit,
    photograph_put_back,
    photograph_remove,
    renditions_make,
)
from society.finds.services.slips import slip_add

__all__ = [
    "EatingNoteEntry",
    "FindEntry",
    "OrganismEntry",
    "PlaceEntry",
    "ReadingEntry",
    "SlipEntry",
    "draft_drop",
    "draft_keep",
    "draft_photograph_add",
    "draft_photograph_drop",
    "find_edit",
    "find_post",
    "find_put_back",
    "find_withdraw",
    "photograph_add",
    "photograph_edit",
    "photograph_put_back",
    "photograph_remove",
    "renditions_make",
    "slip_add",
]
