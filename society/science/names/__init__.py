"""Names: folding them, reading them as written, setting them in italics, finding them.

Each part states its method, source and a worked example: `folding`, `written`, `rendering`,
`index`.
"""

from society.science.names.folding import fold
from society.science.names.index import IndexEntry, Match, NameIndex, Resolution
from society.science.names.rendering import render_parts
from society.science.names.written import QUALIFIERS, Qualifier, WrittenName, parse_written_name

__all__ = [
    "QUALIFIERS",
    "IndexEntry",
    "Match",
    "NameIndex",
    "Qualifier",
    "Resolution",
    "WrittenName",
    "fold",
    "parse_written_name",
    "render_parts",
]
