"""Reads which rooms a source imports, in whatever way, for ``test_direction.py``."""

import ast
import re
import sys
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]

# Each room imports only what stands before it.
ROOMS = (
    *("science", "core", "members", "names", "safety", "places", "forays", "finds", "review"),
    *("lists", "planning", "exchange", "api", "demo"),
)
# The only modules that know every room.
ENTRANCES = frozenset({"settings", "urls", "celery", "wsgi", "asgi"})
# Beside them, these stand outside the rooms: no room reads the environment but through settings.
OUTSIDE = frozenset({"environment", *ENTRANCES})

# Science has no clock, no chance, no files and no settings of its own.
NOT_IN_SCIENCE = frozenset(
    {
        *("time", "random", "secrets", "os", "io", "pathlib", "shutil", "tempfile", "socket"),
        *("subprocess", "threading", "multiprocessing", "asyncio", "sqlite3", "logging", "locale"),
        *("urllib", "http", "importlib", "pickle", "shelve", "uuid", "gettext", "glob"),
    }
)
# csv is not among them: it reads lines of text it is given, and opens no file.
# Libraries that only compute; everything else science needs is Python's own.
COMPUTING = frozenset({"rapidfuzz"})
CLOCKS = frozenset({"today", "now", "utcnow", "fromtimestamp", "urandom", "uuid4", "uuid1"})
_DOTTED = re.compile(r"society(\.[a-z_][a-z0-9_]*)+")


@dataclass(frozen=True, slots=True)
class Offence:
    line: int
    what: str

    def __str__(self) -> str:
        return f"line {self.line}: {self.what}"


def rank_of(room: str) -> int:
    return ROOMS.index(room)


def modules_reached(source: str) -> list[tuple[int, str]]:
    """Return (line, dotted module) of whatever ``source`` of a room reaches in this project.

    Found anywhere in the file: import statements, also inside functions and under TYPE_CHECKING,
    and strings that are a dotted path of the project, which is how a module is imported by name.
    """
    found: list[tuple[int, str]] = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found += [(node.lineno, alias.name) for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and not node.level:
            # 'from society import review' reaches society.review.
            found += [(node.lineno, f"{node.module}.{alias.name}") for alias in node.names]
        elif isinstance(node, ast.Constant) and _DOTTED.fullmatch(str(node.value)):
            found.append((node.lineno, str(node.value)))
    return found


def direction_offences(source: str, room: str) -> list[Offence]:
    """Return what ``source``, a module of ``room``, reaches that stands to its right or outside."""
    offences = []
    for line, module in modules_reached(source):
        parts = module.split(".")
        if parts[0] == "tests":
            offences.append(Offence(line, "the program imports its tests"))
        if parts[0] != "society" or len(parts) < 2:
            continue
        other = parts[1]
        if other in OUTSIDE:
            offences.append(Offence(line, f"{room} reaches {module}, which knows every room"))
        elif other in ROOMS and rank_of(other) > rank_of(room):
            offences.append(Offence(line, f"{room} reaches {module}, which stands to its right"))
    return offences + _relative_offences(source) + _string_relation_offences(source, room)


def _relative_offences(source: str) -> list[Offence]:
    return [
        Offence(node.lineno, "a relative import hides which room it reaches")
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.ImportFrom) and node.level
    ]


def _string_relation_offences(source: str, room: str) -> list[Offence]:
    """Return strings such as 'review.Verdict' (a model by name) that name a room to the right."""
    offences = []
    for node in ast.walk(ast.parse(source)):
        if not (isinstance(node, ast.Constant) and isinstance(node.value, str)):
            continue
        named = re.fullmatch(r"([a-z]+)\.([A-Z][A-Za-z]+)", node.value)
        if named and named[1] in ROOMS and rank_of(named[1]) > rank_of(room):
            offences.append(Offence(node.lineno, f"{room} names the model {node.value}"))
    return offences


def science_offences(source: str) -> list[Offence]:
    """Return what ``source`` does that a module of science must not."""
    offences = []
    for line, module in modules_reached(source):
        top = module.split(".")[0]
        if top == "society" or top in COMPUTING:
            continue
        if top not in sys.stdlib_module_names:
            offences.append(Offence(line, f"science imports {top}, which is not Python's own"))
        elif top in NOT_IN_SCIENCE:
            offences.append(Offence(line, f"science imports {top}"))
    for node in ast.walk(ast.parse(source)):
        called = node.func if isinstance(node, ast.Call) else None
        if isinstance(called, ast.Attribute) and called.attr in CLOCKS:
            offences.append(Offence(node.lineno, f"science asks a clock or chance: {called.attr}"))
        if isinstance(called, ast.Name) and called.id in ("open", "print", "input", "__import__"):
            offences.append(Offence(node.lineno, f"science calls {called.id}"))
    return offences


def sources(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*.py") if "__pycache__" not in path.parts)
