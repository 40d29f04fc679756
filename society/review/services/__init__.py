"""Every write of the review room."""

from society.review.services.corrections import account_correct, account_correction_withdraw
from society.review.services.notices import (
    notice_mail,
    notices_of_act,
    notices_read,
    notices_to_mail,
)
from society.review.services.scopes import scope_end, scope_give, scopes_end_of
from society.review.services.standing import (
    names_read_anew,
    names_read_anew_later,
    standing_recompute,
    standing_recompute_all,
    standing_recompute_many,
)
from society.review.services.thread import comment_add
from society.review.services.verdicts import slip_lay, verdict_lay, verdict_withdraw

__all__ = [
    "account_correct",
    "account_correction_withdraw",
    "comment_add",
    "names_read_anew",
    "names_read_anew_later",
    "notice_mail",
    "notices_of_act",
    "notices_read",
    "notices_to_mail",
    "scope_end",
    "scope_give",
    "scopes_end_of",
    "slip_lay",
    "standing_recompute",
    "standing_recompute_all",
    "standing_recompute_many",
    "verdict_lay",
    "verdict_withdraw",
]
