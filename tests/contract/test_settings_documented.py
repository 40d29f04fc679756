"""What the settings read, what env.example lists and what INSTALL.md explains are the same."""

import ast
import os
import re
import subprocess
import sys
from pathlib import Path

from tests.contract.direction import ROOT, sources

EXAMPLE = ROOT / "deploy" / "env.example"
INSTALL = ROOT / "deploy" / "INSTALL.md"
RUN = ROOT / "deploy" / "run.sh"
# The shell's own, or the interpreter's: no settings of the logbook.
NOT_SETTINGS = frozenset({"PYTHON", "TMPDIR", "PATH"})


def names_in_example(text: str) -> dict[str, str]:
    """Return each variable of an env file with the value shown for it."""
    return dict(re.findall(r"^#?([A-Z][A-Z0-9_]*)=(.*)$", text, re.MULTILINE))


def names_in_table(text: str) -> dict[str, str]:
    """Return each variable of the table of settings with what holds without it."""
    return dict(re.findall(r"^\| `([A-Z][A-Z0-9_]*)` \| ([^|]*) \|", text, re.MULTILINE))


def names_in_script(text: str) -> set[str]:
    return set(re.findall(r"\$\{([A-Z][A-Z0-9_]*):?-", text)) - NOT_SETTINGS


def names_asked(folder: Path) -> set[str]:
    """Return what the settings ask for behind TLS, where they ask for most, and what the starter
    reads itself."""
    program = "from society import settings; print(*settings.env.asked)"
    variables = {"SITE_URL": "https://logbook.example.org", "DATA_DIR": str(folder)}
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=ROOT,
        env={"PATH": os.environ["PATH"], **variables},
        capture_output=True,
        text=True,
        check=True,
    )
    return set(done.stdout.split()) | names_in_script(RUN.read_text(encoding="utf-8"))


def test_every_variable_that_is_read_is_in_the_example_and_in_the_table(tmp_path: Path):
    asked = names_asked(tmp_path)
    assert len(asked) > 15
    assert set(names_in_example(EXAMPLE.read_text(encoding="utf-8"))) == asked
    assert set(names_in_table(INSTALL.read_text(encoding="utf-8"))) == asked


def test_no_variable_is_listed_twice():
    for pattern, path in ((r"^#?([A-Z][A-Z0-9_]*)=", EXAMPLE), (r"^\| `([A-Z_]+)` \|", INSTALL)):
        named = re.findall(pattern, path.read_text(encoding="utf-8"), re.MULTILINE)
        assert sorted(named) == sorted(set(named))


def test_example_and_table_state_the_same_value_for_what_is_left_out():
    example = names_in_example(EXAMPLE.read_text(encoding="utf-8"))
    table = names_in_table(INSTALL.read_text(encoding="utf-8"))
    stated = {name: words.strip("`") for name, words in table.items() if words.startswith("`")}
    stated |= {name: "" for name, words in table.items() if words == "none"}
    assert len(stated) > 12
    assert {name: example[name] for name in stated} == stated


def environment_read_in(source: str) -> list[int]:
    """Return the lines of ``source`` that read the environment of the process."""
    return [
        node.lineno
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Attribute) and node.attr in ("environ", "environb", "getenv")
        if not _is_setdefault(node, source)
    ]


def _is_setdefault(node: ast.Attribute, source: str) -> bool:
    return source.splitlines()[node.lineno - 1].strip().startswith("os.environ.setdefault(")


def test_nothing_but_the_settings_reads_the_environment():
    found = {
        str(path.relative_to(ROOT)): environment_read_in(path.read_text(encoding="utf-8"))
        for path in sources(ROOT / "society")
        if path.name != "environment.py"
    }
    assert len(found) > 100
    assert {name: lines for name, lines in found.items() if lines} == {}


def test_the_comparison_finds_what_is_missing_and_what_is_read_elsewhere():
    assert names_in_example("# words\n#SITE_URL=x\nDEBUG=False\n") == {
        "SITE_URL": "x",
        "DEBUG": "False",
    }
    assert names_in_table("| `DEBUG` | `False` | what for |\n| plain | words | x |") == {
        "DEBUG": "`False`"
    }
    assert names_in_script('port="${PORT:-8000}" url=${DATABASE_URL-} "${PYTHON:-python3}"') == {
        *("PORT", "DATABASE_URL")
    }
    assert environment_read_in("import os\nx = os.environ['DEBUG']\ny = os.getenv('A')") == [2, 3]
