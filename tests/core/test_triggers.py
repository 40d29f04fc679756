"""Rows that are never edited: on both databases, and still after their table was altered."""

from collections.abc import Iterator

import pytest
from django.core.management import call_command
from django.core.management.sql import emit_post_migrate_signal
from django.db import DEFAULT_DB_ALIAS, IntegrityError, connection, models, transaction
from django.test.utils import CaptureQueriesContext, isolate_apps

from society.core import triggers
from society.core.models import Change
from society.core.triggers import Trigger, declare, never_edited, triggers_install

KEPT = ("core_change", "finds_determinationslip", "review_verdict")


def put_in_place() -> None:
    triggers_install(sender=None)


@pytest.fixture
def reading(transactional_db: None) -> Iterator[type[models.Model]]:
    """A table of its own with a declared trigger, removed afterwards together with it."""
    before = list(triggers._declared)
    with isolate_apps("society.core"):

        class Reading(models.Model):
            seen = models.CharField(max_length=20)

            class Meta:
                app_label = "core"
                db_table = "core_test_reading"

        with connection.schema_editor() as editor:
            editor.create_model(Reading)
        never_edited("core_test_reading")
        put_in_place()
        yield Reading
        with connection.schema_editor() as editor:
            editor.delete_model(Reading)
    triggers._declared[:] = before


def refuses_update(model: type[models.Model]) -> bool:
    row = model._base_manager.create(seen="white")
    try:
        with transaction.atomic():
            model._base_manager.filter(pk=row.pk).update(seen="orange")
    except IntegrityError:
        return True
    return False


@pytest.mark.parametrize("table", KEPT)
def test_the_tables_of_acts_are_declared_as_never_edited(table: str) -> None:
    assert any(t.table == table and t.event == "UPDATE" for t in triggers._declared), table


def test_an_update_is_refused_and_an_insert_is_not(reading: type[models.Model]) -> None:
    assert refuses_update(reading)
    assert reading._base_manager.get().seen == "white"


def test_the_refusal_holds_below_django_too(reading: type[models.Model]) -> None:
    row = reading._base_manager.create(seen="white")
    with pytest.raises(IntegrityError, match="are kept"), connection.cursor() as cursor:
        cursor.execute("UPDATE core_test_reading SET seen = 'orange' WHERE id = %s", [row.pk])


def test_the_refusal_outlives_an_altered_table(reading: type[models.Model]) -> None:
    """SQLite rebuilds a table to alter it and drops its triggers without a word."""
    wider = models.CharField(max_length=40, null=True)
    wider.set_attributes_from_name("seen")
    wider.model = reading
    with connection.schema_editor() as editor:
        editor.alter_field(reading, reading._meta.get_field("seen"), wider)
    if connection.vendor == "sqlite":
        # Were this not so, the line below would prove nothing.
        assert not refuses_update(reading)
    emit_post_migrate_signal(verbosity=0, interactive=False, db=DEFAULT_DB_ALIAS)
    assert refuses_update(reading)


def test_migrate_itself_puts_them_back(transactional_db: None) -> None:
    with connection.cursor() as cursor:
        on = " ON core_change" if connection.vendor == "postgresql" else ""
        cursor.execute(f"DROP TRIGGER core_change_never_edited{on}")
    change = Change.objects.create(verb="find.posted", object_kind="finds.find", object_id=1)
    Change.objects.filter(pk=change.pk).update(object_id=2)
    call_command("migrate", verbosity=0, interactive=False)
    with pytest.raises(IntegrityError), transaction.atomic():
        Change.objects.filter(pk=change.pk).update(object_id=3)
    assert Change.objects.get(pk=change.pk).object_id == 2


def test_they_may_be_put_in_place_twice_and_are_once_a_migrate(
    reading: type[models.Model],
) -> None:
    put_in_place()
    put_in_place()
    assert refuses_update(reading)
    with CaptureQueriesContext(connection) as seen:
        emit_post_migrate_signal(verbosity=0, interactive=False, db=DEFAULT_DB_ALIAS)
    made = [
        query["sql"]
        for query in seen
        if query["sql"].startswith("CREATE TRIGGER core_change_never_edited")
    ]
    assert len(made) == 1


def test_a_condition_refuses_what_it_names_only(reading: type[models.Model]) -> None:
    declare(
        Trigger(
            "core_test_reading_tasted",
            "core_test_reading",
            "INSERT",
            "EXISTS (SELECT 1 FROM core_test_reading o WHERE o.seen = NEW.seen)",
            "seen twice",
        )
    )
    put_in_place()
    reading._base_manager.create(seen="white")
    reading._base_manager.create(seen="orange")
    with pytest.raises(IntegrityError, match="seen twice"), transaction.atomic():
        reading._base_manager.create(seen="white")
    assert reading._base_manager.count() == 2


def test_a_table_that_is_not_there_yet_is_passed_over(db: None) -> None:
    before = list(triggers._declared)
    triggers._declared.insert(0, Trigger("core_absent_kept", "core_absent", "UPDATE", "", "kept"))
    try:
        put_in_place()
    finally:
        triggers._declared[:] = before
    change = Change.objects.create(verb="find.posted", object_kind="finds.find", object_id=1)
    with pytest.raises(IntegrityError), transaction.atomic():
        Change.objects.filter(pk=change.pk).update(object_id=2)
