"""Every write of the review room."""

from society.review.services.notices import notices_of_act, notices_read
from society.review.services.scopes import scope_end, scope_give
from society.review.services.standing import (
    standing_recompute,
    standing_recompute_all,
)
from society.review.services.verdicts import (
    comment_add,
    slip_lay,
    verdict_lay,
    verdict_withdraw,
)

__all__ = [
    "comment_add",
    "notices_of_act",
    "notices_read",
    "scope_end",
    "scope_give",
    "slip_lay",
    "standing_recompute",
    "standing_recompute_all",
    "verdict_lay",
    "verdict_withdraw",
]
