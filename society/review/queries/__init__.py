"""Reads of the review room: who is asking, a find's page, the desk, notices."""

from society.review.queries.contrast import (
    CandidateShown,
    ContrastPage,
    contrast_for_find,
    contrast_of_find,
    contrast_of_typed,
    ratio_between,
)
from society.review.queries.corrections import (
    CorrectionPage,
    CorrectionsShown,
    correction_page,
    corrections_on,
    taxon_to_correct,
)
from society.review.queries.desk import (
    DeskFilter,
    desk_next,
    desk_position,
    desk_queue,
    desk_rows,
    finders_waiting,
    since_split,
)
from society.review.queries.evidence import may_be_asked
from society.review.queries.find_page import FindPage, find_page
from society.review.queries.side_by_side import (
    MOST,
    Column,
    SideBySide,
    columns_asked_for,
    side_by_side,
)
from society.review.queries.viewer import (
    notices_of,
    viewer_context,
    viewer_for,
    viewer_of_request,
)

__all__ = [
    "MOST",
    "CandidateShown",
    "Column",
    "ContrastPage",
    "CorrectionPage",
    "CorrectionsShown",
    "DeskFilter",
    "FindPage",
    "SideBySide",
    "columns_asked_for",
    "contrast_for_find",
    "contrast_of_find",
    "contrast_of_typed",
    "correction_page",
    "corrections_on",
    "desk_next",
    "desk_position",
    "desk_queue",
    "desk_rows",
    "find_page",
    "finders_waiting",
    "may_be_asked",
    "notices_of",
    "ratio_between",
    "side_by_side",
    "since_split",
    "taxon_to_correct",
    "viewer_context",
    "viewer_for",
    "viewer_of_request",
]
