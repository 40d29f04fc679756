"""Migrations are complete, named by hand and can be undone; the triggers stand after them."""

import io
import re
from collections.abc import Iterator

import pytest
from django.apps import apps
from django.core.management import call_command
from django.db import connection, migrations
from django.db.migrations.loader import MigrationLoader
from django.db.migrations.operations.base import Operation

from society.core import triggers

ROOMS = [config for config in apps.get_app_configs() if config.name.startswith("society.")]
LABELS = [config.label for config in ROOMS]


def own_migrations() -> Iterator[tuple[str, str, migrations.Migration]]:
    loader = MigrationLoader(None)
    for (label, name), migration in sorted(loader.disk_migrations.items()):
        if label in LABELS:
            yield label, name, migration


def name_is_by_hand(name: str) -> bool:
    """Whether a migration's name says what it does, as no command would have called it."""
    by_command = re.search(r"_auto_|^\d{4}_(initial|alter_.*_and_more|.*_and_more)$", name)
    return bool(re.fullmatch(r"\d{4}(_[a-z][a-z0-9]*)+", name)) and not by_command


@pytest.mark.django_db
def test_no_change_of_a_model_is_without_its_migration():
    told = io.StringIO()
    call_command("makemigrations", "--check", "--dry-run", stdout=told)
    assert "No changes detected" in told.getvalue()


def test_every_migration_is_named_by_hand():
    named = [(label, name) for label, name, _ in own_migrations()]
    assert len(named) >= 7
    assert [pair for pair in named if not name_is_by_hand(pair[1])] == []


@pytest.mark.parametrize(
    "name",
    ["0001_initial", "0002_auto_20260101_1200", "0003_alter_find_site_and_more", "0004", "0004_"],
)
def test_a_name_given_by_the_command_is_found_out(name: str):
    assert not name_is_by_hand(name)


def irreversible(operations: list[Operation]) -> list[Operation]:
    return [operation for operation in operations if not operation.reversible]


def test_every_migration_can_be_undone():
    stuck = [
        (label, name, operation)
        for label, name, migration in own_migrations()
        for operation in irreversible(migration.operations)
    ]
    assert stuck == []


def test_an_operation_that_cannot_be_undone_is_found_out():
    one_way = migrations.RunPython(lambda apps, schema: None)
    both_ways = migrations.RunPython(migrations.RunPython.noop, migrations.RunPython.noop)
    assert irreversible([one_way, both_ways]) == [one_way]


@pytest.mark.django_db
def test_a_new_database_has_every_migration_applied():
    """The test's database was made by ``migrate`` alone; nothing is left to do on it."""
    told = io.StringIO()
    call_command("showmigrations", "--plan", stdout=told, no_color=True)
    lines = told.getvalue().splitlines()
    assert [line for line in lines if not line.startswith("[X]")] == []
    assert {line.split()[1].split(".")[0] for line in lines} >= {"core", "finds", "review"}


def triggers_there() -> set[tuple[str, str]]:
    """Return (trigger, table) of every trigger in the database that is not the engine's own."""
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("SELECT name, tbl_name FROM sqlite_master WHERE type = 'trigger'")
        else:
            cursor.execute(
                "SELECT t.tgname, c.relname FROM pg_trigger t JOIN pg_class c ON c.oid = t.tgrelid "
                "WHERE NOT t.tgisinternal"
            )
        return set(cursor.fetchall())


@pytest.mark.django_db
def test_every_declared_trigger_stands_in_a_new_database():
    declared = {(trigger.name, trigger.table) for trigger in triggers._declared}
    # What is laid is never edited: history, verdicts, slips.
    tables = {table for _, table in declared}
    assert tables >= {"core_change", "review_verdict", "finds_determinationslip"}
    assert declared <= triggers_there()


@pytest.mark.django_db
def test_a_trigger_that_is_gone_is_found_missing_and_put_back_by_migrate():
    trigger = triggers._declared[0]
    with connection.cursor() as cursor:
        where = "" if connection.vendor == "sqlite" else f" ON {trigger.table}"
        cursor.execute(f"DROP TRIGGER {trigger.name}{where}")
    assert (trigger.name, trigger.table) not in triggers_there()
    call_command("migrate", verbosity=0)
    assert (trigger.name, trigger.table) in triggers_there()
