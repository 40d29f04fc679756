"""Reads of the review room: who is asking, a find's page, the desk."""

from society.review.queries.desk import DeskFilter, desk_neighbours, desk_queue, desk_rows
from society.review.queries.find_page import FindPage, find_page, may_be_asked
from society.review.queries.viewer import viewer_context, viewer_for, viewer_of_request

__all__ = [
    "DeskFilter",
    "FindPage",
    "desk_neighbours",
    "desk_queue",
    "desk_rows",
    "find_page",
    "may_be_asked",
    "viewer_context",
    "viewer_for",
    "viewer_of_request",
]
