"""The find's page and its thread, the referees' desk, scopes and notices; contrasts."""

from society.review.views.contrast import beside, contrast, contrast_typed
from society.review.views.corrections import correct, correction_withdraw
from society.review.views.finds import (
    comment,
    desk,
    find,
    notices,
    scope_end,
    scopes,
    slip,
    verdict,
    verdict_withdraw,
)

__all__ = [
    "beside",
    "comment",
    "contrast",
    "contrast_typed",
    "correct",
    "correction_withdraw",
    "desk",
    "find",
    "notices",
    "scope_end",
    "scopes",
    "slip",
    "verdict",
    "verdict_withdraw",
]
