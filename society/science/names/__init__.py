"""Names: folding them, reading them as written, setting them in italics, finding them.

Each part states its method, source and a worked example: `folding`, `sounding`; `vocabulary`,
`authorship`, `written`, `rendering`; `searching`, `guessing`, `confidence`, `index`.
"""

from society.science.names.entries import EntryKind, IndexEntry, Match, Resolution
from society.science.names.folding import fold
from society.science.names.guessing import kind_of_synonym
from society.science.names.index import NameIndex
from society.science.names.rendering import render_parts
from society.science.names.vocabulary import QUALIFIERS, Qualifier
from society.science.names.written import WrittenName, parse_written_name

__all__ = [
    "QUALIFIERS",
    "EntryKind",
    "IndexEntry",
    "Match",
    "NameIndex",
    "Qualifier",
    "Resolution",
    "WrittenName",
    "fold",
    "kind_of_synonym",
    "parse_written_name",
    "render_parts",
]
