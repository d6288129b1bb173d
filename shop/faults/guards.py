"""The database's own refusal to change what was noted at the vehicle: a trigger on each table of kept rows.

Installed after every migration, because rebuilding a table drops its triggers on SQLite.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.apps import AppConfig
from django.db import connections

from shop.faults.models import Kept

MESSAGE = "what was noted cannot be changed"
FUNCTION = "kept_refuse_change"


def install_after_migrate(sender: AppConfig, using: str, **_: Any) -> None:
    """Receiver of ``post_migrate``: guards every table of kept rows of the app that was migrated."""
    connection = connections[using]
    present = set(connection.introspection.table_names())
    tables = [model._meta.db_table for model in sender.get_models() if issubclass(model, Kept)]
    write = {"sqlite": _sqlite, "postgresql": _postgresql}.get(connection.vendor)
    with connection.cursor() as cursor:
        for table in tables:
            for statement in write(table) if write and table in present else ():
                cursor.execute(statement)


def _sqlite(table: str) -> Iterator[str]:
    yield f"DROP TRIGGER IF EXISTS {table}_is_kept"
    yield f"CREATE TRIGGER {table}_is_kept BEFORE UPDATE ON {table} BEGIN SELECT RAISE(ABORT, '{MESSAGE}'); END"


def _postgresql(table: str) -> Iterator[str]:
    yield (
        f"CREATE OR REPLACE FUNCTION {FUNCTION}() RETURNS trigger AS $$ "
        f"BEGIN RAISE EXCEPTION '{MESSAGE}' USING ERRCODE = 'integrity_constraint_violation'; END $$ LANGUAGE plpgsql"
    )
    yield (
        f"CREATE OR REPLACE TRIGGER {table}_is_kept BEFORE UPDATE ON {table} FOR EACH ROW EXECUTE FUNCTION {FUNCTION}()"
    )
