"""Each room reaches only the rooms to its left, and every file stands where its kind does."""

import configparser
import subprocess
import sys
from pathlib import Path

import pytest
from django.apps import apps
from django.conf import settings
from django.db import models

from tests.contract.direction import (
    OUTSIDE,
    ROOMS,
    ROOT,
    direction_offences,
    rank_of,
    science_offences,
    sources,
)

SOCIETY = ROOT / "society"
HERE = sorted(path.name for path in SOCIETY.iterdir() if (path / "__init__.py").exists())

# What every room may hold, and beside it what only one does.
MODULES = frozenset(
    {
        *("__init__", "models", "queries", "services", "permissions", "forms", "views", "tasks"),
        *("urls", "apps", "admin", "checks", "serializers"),
    }
)
FOLDERS = frozenset(
    {
        *("models", "queries", "services", "permissions", "forms", "views"),
        *("migrations", "management", "templatetags", "data"),
    }
)
MODULES_OF = {
    "core": {
        "access",
        "errors",
        "free_text",
        "history",
        "paging",
        "rendering",
        "signals",
        "throttle",
        "triggers",
    },
    "safety": {"gate"},
}
FOLDERS_OF = {"demo": {"rules", "sketches"}}
NO_NAMES = frozenset({"utils", "util", "helpers", "helper", "common", "misc", "tools", "lib"})

LONGEST = 460
# Style sheets are few, and read by searching.
LONGEST_SHEET = 520
# A file of tests is read one test at a time.
LONGEST_TESTS = 620
# Files that are longer, and why they may be.
LONG_WITH_REASON = {
    "tests/contract/permissions_table.py": "one table: every address with its answers",
    "tests/science/standing_cases.py": "one table: every case of what stands",
}


def modules_of(room: str) -> list[Path]:
    return sources(SOCIETY / room)


def test_every_folder_of_the_project_is_a_room_in_the_order():
    assert set(HERE) <= set(ROOMS) | {"locale"}
    modules = {path.stem for path in SOCIETY.glob("*.py")}
    assert modules == {"__init__", *OUTSIDE}


@pytest.mark.parametrize("room", HERE)
def test_a_room_reaches_only_rooms_to_its_left_even_inside_functions(room: str):
    offences = [
        f"{path.relative_to(ROOT)} {offence}"
        for path in modules_of(room)
        for offence in direction_offences(path.read_text(encoding="utf-8"), room)
    ]
    assert offences == []


@pytest.mark.parametrize(
    ("room", "source"),
    [
        ("finds", "from society.review.models import Verdict"),
        ("finds", "from society import review"),
        ("finds", "import society.lists.queries as q"),
        ("finds", "def f():\n    from society.review.services import verdict_lay"),
        ("finds", "if TYPE_CHECKING:\n    from society.exchange.views import csv"),
        ("finds", "from ..review import models"),
        ("finds", "x = import_module('society.review.models')"),
        ("members", "scope = ForeignKey('review.Scope', on_delete=PROTECT)"),
        ("members", "apps.get_model('finds.Find')"),
        ("lists", "from society.urls import urlpatterns"),
        ("core", "from society.members.models import Person"),
        ("science", "from society.core.errors import Refused"),
        ("names", "from tests.make import make_taxon"),
    ],
)
def test_a_source_that_reaches_right_is_found_out(room: str, source: str):
    assert direction_offences(source, room)


@pytest.mark.parametrize(
    ("room", "source"),
    [
        ("review", "from society.finds.models import Find"),
        ("review", "from society.review.models import Verdict"),
        ("finds", "standing_slip = ForeignKey('finds.DeterminationSlip', on_delete=PROTECT)"),
        ("demo", "from society.science import blurring"),
        ("core", '"""See society.review, and ask society.review.queries for more."""'),
    ],
)
def test_a_source_that_reaches_left_passes(room: str, source: str):
    assert direction_offences(source, room) == []


def test_science_knows_no_framework_database_clock_or_chance():
    found = {
        str(path.relative_to(ROOT)): science_offences(path.read_text(encoding="utf-8"))
        for path in modules_of("science")
    }
    assert len(found) > 20
    assert {name: offences for name, offences in found.items() if offences} == {}


@pytest.mark.parametrize(
    "source",
    [
        "from django.utils import timezone",
        "import numpy as np",
        "import random",
        "def f():\n    import os",
        "today = datetime.date.today()",
        "now = dt.datetime.now(dt.UTC)",
        "text = open('names.csv').read()",
        "from society.settings import TIME_ZONE\nimport time",
    ],
)
def test_a_science_source_that_reaches_outside_is_found_out(source: str):
    assert science_offences(source)


def test_science_runs_where_no_framework_is_installed():
    """Import every module of it in a process in which Django cannot be imported."""
    names = [
        ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")
        for path in modules_of("science")
    ]
    program = (
        "import sys, importlib\n"
        "for name in ('django', 'rest_framework', 'celery', 'psycopg', 'PIL'):\n"
        "    sys.modules[name] = None\n"
        f"for name in {names!r}:\n"
        "    importlib.import_module(name)\n"
        "print(sum(1 for name in sys.modules if name.startswith('society.science')))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert int(done.stdout) == len(names)


def contract() -> configparser.ConfigParser:
    read = configparser.ConfigParser()
    read.read(ROOT / ".importlinter", encoding="utf-8")
    return read


def test_the_import_contract_in_the_configuration_states_the_same_order():
    layers = contract()["importlinter:contract:rooms"]["layers"]
    named = [
        line.strip().strip("()")
        for line in layers.splitlines()
        if line.strip() and not line.strip().startswith("#")
    ]
    assert named == list(reversed(ROOMS))


def test_the_import_contracts_in_the_configuration_are_kept():
    call = "from importlinter.cli import lint_imports_command; lint_imports_command()"
    done = subprocess.run(
        [sys.executable, "-c", call, "--no-cache"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    kept = len(contract().sections()) - 1
    assert done.returncode == 0, done.stdout
    assert f"{kept} kept, 0 broken" in done.stdout


def relation_offences(model: type[models.Model]) -> list[str]:
    """Return the model's own relations that point to its right, or to any model there is."""
    room = model._meta.app_label
    offences = []
    for field in (*model._meta.local_fields, *model._meta.local_many_to_many):
        other = field.related_model
        if other is None:
            continue
        label = other._meta.label
        if label == settings.AUTH_USER_MODEL:
            continue
        if other._meta.app_label not in ROOMS or rank_of(other._meta.app_label) > rank_of(room):
            offences.append(f"{model._meta.label}.{field.name} points at {label}")
    generic = [field.name for field in model._meta.private_fields]
    return offences + [f"{model._meta.label}.{name} is a generic relation" for name in generic]


def own_models() -> list[type[models.Model]]:
    found = apps.get_models(include_auto_created=True)
    return [model for model in found if model.__module__.startswith("society.")]


def test_every_relation_of_every_model_points_left():
    found = own_models()
    assert len(found) > 20
    assert [offence for model in found for offence in relation_offences(model)] == []


def test_a_relation_that_points_right_is_found_out():
    class Remark(models.Model):
        find = models.ForeignKey("finds.Find", on_delete=models.CASCADE, related_name="+")
        by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")

        class Meta:
            app_label = "names"

    try:
        assert relation_offences(Remark) == ["names.Remark.find points at finds.Find"]
    finally:
        del apps.all_models["names"]["remark"]
        apps.clear_cache()


def file_offences(room: str, files: list[Path]) -> list[str]:
    """Return files, given as paths within the room, whose name is not one that rooms hold."""
    if room == "science":
        return [str(path) for path in files if NO_NAMES & {path.stem, *path.parts}]
    modules = MODULES | MODULES_OF.get(room, set())
    folders = FOLDERS | FOLDERS_OF.get(room, set())
    offences = []
    for path in files:
        allowed = path.stem in modules if len(path.parts) == 1 else path.parts[0] in folders
        if not allowed or NO_NAMES & {path.stem, *path.parts}:
            offences.append(str(path))
    return offences


@pytest.mark.parametrize("room", HERE)
def test_a_room_holds_only_files_whose_names_say_what_is_in_them(room: str):
    files = [
        path.relative_to(SOCIETY / room)
        for path in sorted((SOCIETY / room).rglob("*"))
        if path.is_file() and "__pycache__" not in path.parts
    ]
    assert files
    assert file_offences(room, files) == []


@pytest.mark.parametrize(
    ("room", "name"),
    [
        ("finds", "mail.py"),
        ("finds", "utils.py"),
        ("finds", "services/helpers.py"),
        ("finds", "pictures/sizes.py"),
        ("names", "gate.py"),
        ("names", "rules/plan.py"),
        ("science", "common.py"),
    ],
)
def test_a_file_of_another_name_is_found_out(room: str, name: str):
    assert file_offences(room, [Path(name)]) == [name]


def test_no_module_has_a_package_of_its_own_name_beside_it():
    doubled = [path for path in SOCIETY.rglob("*.py") if path.with_suffix("").is_dir()]
    assert doubled == []


def test_nothing_else_lies_at_the_root():
    there = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    known = {"README.md", "DEVELOPERS.md", "manage.py", "requirements.txt"}
    folders = {"society", "templates", "static", "tests", "deploy"}
    assert there - {"var", "__pycache__"} == known | folders


def lengths() -> dict[str, int]:
    """Return the number of lines of every file that people write; data and migrations apart."""
    found = {}
    for folder in ("society", "templates", "static", "tests", "deploy"):
        for path in (ROOT / folder).rglob("*"):
            named = str(path.relative_to(ROOT))
            is_written = path.suffix in {".py", ".html", ".txt", ".css", ".js", ".sh", ".md"}
            apart = {"migrations", "data", "__pycache__"} & set(path.parts)
            if is_written and not apart and path.name != "requirements.txt":
                found[named] = len(path.read_text(encoding="utf-8").splitlines())
    return found


def test_a_file_is_short_enough_to_be_read_or_says_why_not():
    def most(name: str) -> int:
        if Path(name).name.startswith("test_"):
            return LONGEST_TESTS
        return LONGEST_SHEET if name.endswith(".css") else LONGEST

    long = {name: lines for name, lines in lengths().items() if lines > most(name)}
    assert {name: lines for name, lines in long.items() if name not in LONG_WITH_REASON} == {}
    assert set(LONG_WITH_REASON) <= set(long), "a reason stands for a file that is short again"
