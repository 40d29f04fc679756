"""Database triggers for what a constraint cannot say: rows that are never edited, and one hop.

SQLite rebuilds a table to alter it and silently drops its triggers, so they are put back after
every ``migrate``. A room declares its own in its ``apps.py``.
"""

from dataclasses import dataclass
from typing import Any

from django.db import connections

_declared: list["Trigger"] = []


@dataclass(frozen=True, slots=True)
class Trigger:
    """Refuse an event on a table where ``condition`` holds (SQL over NEW, OLD; '' for always).

    With ``kept``, refuse it also where one of these columns would change.
    """

    name: str
    table: str
    event: str  # INSERT or UPDATE
    condition: str
    message: str
    kept: tuple[str, ...] = ()

    def refused_where(self, vendor: str) -> str:
        """Return the whole condition in the words of a database; '' for always."""
        differs = "IS NOT" if vendor == "sqlite" else "IS DISTINCT FROM"
        conditions = [f"NEW.{name} {differs} OLD.{name}" for name in self.kept]
        if self.condition:
            conditions.append(f"({self.condition})")
        return " OR ".join(conditions)


def declare(trigger: Trigger) -> None:
    """Have a trigger put in place after every migration."""
    if trigger not in _declared:
        _declared.append(trigger)


def never_edited(table: str, *, kept: tuple[str, ...] = (), or_where: str = "") -> None:
    """Declare that the rows of ``table`` are never changed once written.

    With ``kept`` only these columns are; ``or_where`` adds a condition of its own.
    """
    name, message = f"{table}_never_edited", f"rows of {table} are kept"
    declare(Trigger(name, table, "UPDATE", or_where, message, kept))


def triggers_install(sender: Any, *, using: str = "default", **_: Any) -> None:
    """Put every declared trigger in place whose table exists; safe to run again."""
    connection = connections[using]
    tables = set(connection.introspection.table_names())
    with connection.cursor() as cursor:
        for trigger in _declared:
            if trigger.table in tables:
                for statement in _statements(trigger, connection.vendor):
                    cursor.execute(statement)


def _statements(trigger: Trigger, vendor: str) -> list[str]:
    """Return what puts a trigger in place. Its words come from the rooms' own code."""
    name, table = trigger.name, trigger.table
    condition = trigger.refused_where(vendor)
    if vendor == "sqlite":
        when = f"WHEN ({condition})" if condition else ""
        refuse = f"SELECT RAISE(ABORT, '{trigger.message}');"
        make = f"CREATE TRIGGER {name} BEFORE {trigger.event} ON {table} {when} BEGIN {refuse} END"
        return [f"DROP TRIGGER IF EXISTS {name}", make]
    # PostgreSQL allows no subquery in WHEN, so the condition stands inside the function.
    refuse = (
        f"IF {condition or 'TRUE'} THEN RAISE EXCEPTION '{trigger.message}' "
        "USING ERRCODE = 'integrity_constraint_violation'; END IF;"
    )
    function = f"$$ BEGIN {refuse} RETURN NEW; END $$"
    call = f"FOR EACH ROW EXECUTE FUNCTION {name}()"
    return [
        f"CREATE OR REPLACE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS {function}",
        f"DROP TRIGGER IF EXISTS {name} ON {table}",
        f"CREATE TRIGGER {name} BEFORE {trigger.event} ON {table} {call}",
    ]
