"""Read the lists of words: how a block of phrases becomes one pattern over folded text.

A block is a regular expression laid out to be read: the end of a line stands for ``|`` (a line
that goes on inside a bracket starts with it), ``<NAME>`` for another list, ``~N`` for up to N words
of the same clause. A phrase begins and ends at a letter's edge.

>>> bool(compiled("gone ~2 bad|off", {}).search("gone a little bad"))
True
"""

import re
from collections.abc import Mapping

_LIST = re.compile(r"<([A-Z_]+)>")
_GAP = re.compile(r" ~(\d)")


def expanded(block: str, lists: Mapping[str, str]) -> str:
    """Return the block as one line of regular expression, without its outer brackets."""
    line = "|".join(row.strip().removeprefix("|") for row in block.strip().splitlines())
    while _LIST.search(line):
        line = _LIST.sub(lambda found: f"(?:{expanded(lists[found[1]], lists)})", line)
    return _GAP.sub(r"(?: [a-z0-9]+){0,\1}", line)


def compiled(block: str, lists: Mapping[str, str]) -> re.Pattern[str]:
    """Return the pattern that finds any phrase of the block as whole words."""
    return re.compile(f"(?<![a-z])(?:{expanded(block, lists)})(?![a-z])")


def compiled_before(block: str, lists: Mapping[str, str]) -> re.Pattern[str]:
    """Return the pattern that finds a phrase of the block right before the end of a string."""
    return re.compile(f"(?<![a-z])(?:{expanded(block, lists)}) $")
