"""Links, commands and files that the documents name exist."""

import re
from pathlib import Path

import pytest
from django.core.management import get_commands

from tests.contract.direction import ROOT

DOCUMENTS = sorted([*ROOT.glob("*.md"), *(ROOT / "deploy").glob("*.md")])
# Made when the logbook runs, so no file of the project.
MADE = ("var/", ".venv/", "backup/")


def anchor_of(heading: str) -> str:
    """Return the anchor that Markdown's readers give a heading."""
    kept = re.sub(r"[^\w\- ]", "", heading.strip().lower().replace("`", ""))
    return kept.replace(" ", "-")


def anchors(text: str) -> set[str]:
    return {anchor_of(line) for line in re.findall(r"^#+ (.+)$", text, re.MULTILINE)}


def broken_links(text: str, folder: Path) -> list[str]:
    """Return targets of ``text``'s links that lead nowhere; those to other sites are not asked."""
    broken = []
    for target in re.findall(r"\[[^\]]*\]\(([^)\s]+)\)", text):
        if re.match(r"[a-z]+:", target):
            continue
        path, _, anchor = target.partition("#")
        found = folder / path if path else None
        words = text if found is None else ""
        if found is not None:
            if not found.exists():
                broken.append(target)
                continue
            words = found.read_text(encoding="utf-8") if found.suffix == ".md" else ""
        if anchor and anchor not in anchors(words):
            broken.append(target)
    return broken


def commands_named(text: str) -> set[str]:
    return set(re.findall(r"manage\.py ([a-z][a-z_]+)", text))


def files_named(text: str) -> set[str]:
    """Return the files and folders of the project that stand between backticks or in a block."""
    marked = re.findall(r"`([^`\n]+)`", text) + re.findall(r"```[a-z]*\n(.*?)```", text, re.DOTALL)
    found: set[str] = set()
    for piece in marked:
        for word in re.split(r"[\s\"'=()<>]+", piece):
            if re.fullmatch(r"(deploy|society|tests|templates|static)/[\w./*-]*", word):
                found.add(word.rstrip("."))
            elif re.fullmatch(r"[\w./-]+\.sh", word):
                found.add(word)
    return found


def missing_files(text: str) -> list[str]:
    """Return what ``text`` names and the project does not hold; a script may stand in deploy/."""
    missing = []
    for name in sorted(files_named(text)):
        if name.startswith(MADE):
            continue
        is_there = any(ROOT.glob(name)) if "*" in name else (ROOT / name).exists()
        if not is_there and not (name.endswith(".sh") and (ROOT / "deploy" / name).exists()):
            missing.append(name)
    return missing


def test_the_two_documents_every_reader_begins_with_are_there():
    named = {str(path.relative_to(ROOT)) for path in DOCUMENTS}
    assert named >= {
        *("README.md", "DEVELOPERS.md", "deploy/INSTALL.md"),
        *("deploy/BACKUP.md", "deploy/UPGRADE.md", "deploy/CHANGES.md"),
    }


@pytest.mark.parametrize("path", DOCUMENTS, ids=lambda path: path.name)
def test_every_link_leads_somewhere(path: Path):
    assert broken_links(path.read_text(encoding="utf-8"), path.parent) == []


@pytest.mark.parametrize("path", DOCUMENTS, ids=lambda path: path.name)
def test_every_command_and_file_named_exists(path: Path):
    text = path.read_text(encoding="utf-8")
    assert commands_named(text) - set(get_commands()) == set()
    assert missing_files(text) == []


def test_the_documents_name_the_two_commands_and_what_works_in_the_background():
    text = "\n".join(path.read_text(encoding="utf-8") for path in DOCUMENTS)
    assert {"deploy/run.sh", "deploy/test.sh"} <= files_named(text)
    assert {"work", "load_checklist", "recompute_standing"} <= commands_named(text)


def test_what_is_missing_is_found_out(tmp_path: Path):
    (tmp_path / "there.md").write_text("# A heading, here\n")
    text = "[a](there.md#a-heading-here) [b](there.md#no) [c](gone.md) [d](#own)\n## Own\n"
    assert broken_links(text, tmp_path) == ["there.md#no", "gone.md"]
    assert commands_named("run `manage.py work` or `manage.py fly_away`") == {"work", "fly_away"}
    told = "`sh deploy/fly.sh`, `run.sh`, `var/x.sh` and ```sh\nsh deploy/run.sh --empty\n```"
    assert missing_files(told) == ["deploy/fly.sh"]
    assert missing_files("see `society/nowhere/`, `tests/contract/test_*.py`") == [
        "society/nowhere/"
    ]
