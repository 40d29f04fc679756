"""The find's page and its thread, the referees' desk, scopes and notices; contrasts."""

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
    "comment",
    "desk",
    "find",
    "notices",
    "scope_end",
    "scopes",
    "slip",
    "verdict",
    "verdict_withdraw",
]
