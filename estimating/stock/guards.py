"""The database's own refusals: a movement is never changed, and nothing goes out that is not there.

Installed after every migration, because rebuilding a table drops its triggers on SQLite. On SQLite deleting is refused
by the model alone: emptying a database for tests is a plain DELETE there.
"""

from __future__ import annotations

from typing import Any

from django.db import connections

from estimating.stock.models import HoldingRow, MaterialRow, MovementRow

CHANGED = "a stock movement is never changed"
BELOW = "stock cannot go below nothing"


def install(using: str) -> None:
    """Puts the triggers in place on the database named ``using``, SQLite or PostgreSQL."""
    connection = connections[using]
    table = MovementRow._meta.db_table
    if table not in connection.introspection.table_names():
        return
    statements = {"sqlite": _sqlite, "postgresql": _postgresql}.get(connection.vendor, lambda _: ())(table)
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)


def _sum(table: str) -> str:
    return f"(SELECT COALESCE(SUM(amount), 0) FROM {table} WHERE holding_id = NEW.holding_id)"  # noqa: S608


def _sqlite(table: str) -> tuple[str, ...]:
    return (
        "DROP TRIGGER IF EXISTS stock_movement_is_frozen",
        f"CREATE TRIGGER stock_movement_is_frozen BEFORE UPDATE ON {table} BEGIN SELECT RAISE(ABORT, '{CHANGED}'); END",
        "DROP TRIGGER IF EXISTS stock_never_negative",
        f"CREATE TRIGGER stock_never_negative BEFORE INSERT ON {table} "
        f"WHEN NEW.amount < 0 AND {_sum(table)} + NEW.amount < 0 BEGIN SELECT RAISE(ABORT, '{BELOW}'); END",
    )


def _postgresql(table: str) -> tuple[str, ...]:
    holding, material = HoldingRow._meta.db_table, MaterialRow._meta.db_table
    # The row of the material is held, so that of two withdrawals at once the second sees the first.
    hold = (
        f"PERFORM 1 FROM {material} WHERE id = (SELECT material_id FROM {holding} WHERE id = NEW.holding_id) "  # noqa: S608
        "FOR UPDATE;"
    )
    error = "USING ERRCODE = 'integrity_constraint_violation'"
    return (
        f"CREATE OR REPLACE FUNCTION stock_refuse_change() RETURNS trigger AS $$ "
        f"BEGIN RAISE EXCEPTION '{CHANGED}' {error}; END $$ LANGUAGE plpgsql",
        f"CREATE OR REPLACE TRIGGER stock_movement_is_frozen BEFORE UPDATE OR DELETE ON {table} "
        "FOR EACH ROW EXECUTE FUNCTION stock_refuse_change()",
        f"CREATE OR REPLACE FUNCTION stock_refuse_below() RETURNS trigger AS $$ BEGIN {hold} "
        f"IF {_sum(table)} + NEW.amount < 0 THEN RAISE EXCEPTION '{BELOW}' {error}; END IF; "
        "RETURN NEW; END $$ LANGUAGE plpgsql",
        f"CREATE OR REPLACE TRIGGER stock_never_negative BEFORE INSERT ON {table} "
        "FOR EACH ROW WHEN (NEW.amount < 0) EXECUTE FUNCTION stock_refuse_below()",
    )


def install_after_migrate(using: str, **_: Any) -> None:
    """Receiver of ``post_migrate``."""
    install(using)
