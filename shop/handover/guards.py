"""The database's own refusal to change or delete what was handed over, so that no path around the models exists.

Installed after every migration, because rebuilding a table drops its triggers on SQLite.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.db import connections

from shop.handover.models import Handover, HandoverPaper

MESSAGE = "what has been handed over cannot be changed or deleted"
_EVENTS = {"sqlite": ("UPDATE", "DELETE"), "postgresql": ("UPDATE", "DELETE", "TRUNCATE")}


def _tables() -> tuple[str, ...]:
    return (Handover._meta.db_table, HandoverPaper._meta.db_table)


def names(vendor: str) -> tuple[tuple[str, str], ...]:
    """Every trigger with its table, for a kind of database."""
    return tuple((f"{table}_no_{event.lower()}", table) for table in _tables() for event in _EVENTS.get(vendor, ()))


def install(using: str) -> None:
    """Puts the triggers in place on the database named ``using``, SQLite or PostgreSQL."""
    connection = connections[using]
    if not set(_tables()) <= set(connection.introspection.table_names()):
        return
    write = {"sqlite": _sqlite, "postgresql": _postgresql}.get(connection.vendor)
    with connection.cursor() as cursor:
        for statement in write() if write else ():
            cursor.execute(statement)


def _sqlite() -> Iterator[str]:
    for name, table in names("sqlite"):
        event = name.rpartition("_")[2].upper()
        yield f"DROP TRIGGER IF EXISTS {name}"
        yield f"CREATE TRIGGER {name} BEFORE {event} ON {table} BEGIN SELECT RAISE(ABORT, '{MESSAGE}'); END"


def _postgresql() -> Iterator[str]:
    yield (
        "CREATE OR REPLACE FUNCTION handover_refuse_change() RETURNS trigger AS $$ "
        f"BEGIN RAISE EXCEPTION '{MESSAGE}' USING ERRCODE = 'integrity_constraint_violation'; END $$ LANGUAGE plpgsql"
    )
    for name, table in names("postgresql"):
        event = name.rpartition("_")[2].upper()
        each = "STATEMENT" if event == "TRUNCATE" else "ROW"
        yield (
            f"CREATE OR REPLACE TRIGGER {name} BEFORE {event} ON {table} "
            f"FOR EACH {each} EXECUTE FUNCTION handover_refuse_change()"
        )


def install_after_migrate(using: str, **_: Any) -> None:
    """Receiver of ``post_migrate``."""
    install(using)
