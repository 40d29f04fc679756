"""Reads of the review room: who is asking, a find's page, the desk, notices."""

from society.review.queries.desk import (
    DeskFilter,
    desk_next,
    desk_position,
    desk_queue,
    desk_rows,
    finders_waiting,
)
from society.review.queries.evidence import may_be_asked
from society.review.queries.find_page import FindPage, find_page
from society.review.queries.viewer import (
    notices_of,
    viewer_context,
    viewer_for,
    viewer_of_request,
)

__all__ = [
    "DeskFilter",
    "FindPage",
    "desk_next",
    "desk_position",
    "desk_queue",
    "desk_rows",
    "find_page",
    "finders_waiting",
    "may_be_asked",
    "notices_of",
    "viewer_context",
    "viewer_for",
    "viewer_of_request",
]
