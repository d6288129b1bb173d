"""The database's own refusal to change an order that has been sent, or any of its lines.

Installed after every migration, because rebuilding a table drops its triggers on SQLite.
"""

from __future__ import annotations

from typing import Any

from django.db import connections

from estimating.purchasing.models import OrderLineRow, OrderRow

MESSAGE = "a sent order cannot be changed"
FROZEN = (
    "id", "number", "supplier_id", "run_id", "addressee", "currency", "goods", "carriage", "terms", "note", "made_at",
    "made_by", "sent_at", "sent_by",
)  # fmt: skip


def _condition(distinct: str) -> str:
    """SQL that is true where an update touches what is frozen, or takes the order back."""
    frozen = " OR ".join(f"NEW.{column} {distinct} OLD.{column}" for column in FROZEN)
    back = "OLD.state = 'sent' AND NEW.state NOT IN ('sent', 'closed')"
    reopened = "OLD.state = 'closed' AND NEW.state <> 'closed'"
    return f"(OLD.state IN ('sent', 'closed') AND ({frozen})) OR ({back}) OR ({reopened})"


def install(using: str) -> None:
    """Puts the triggers in place on the database named ``using``, SQLite or PostgreSQL."""
    connection = connections[using]
    order, line = OrderRow._meta.db_table, OrderLineRow._meta.db_table
    if order not in connection.introspection.table_names():
        return
    statements = {"sqlite": _sqlite, "postgresql": _postgresql}.get(connection.vendor, _nothing)(order, line)
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)


def _nothing(*_: str) -> tuple[str, ...]:
    return ()


def _sent(order: str) -> str:
    return f"EXISTS (SELECT 1 FROM {order} WHERE id = OLD.order_id AND state IN ('sent', 'closed'))"  # noqa: S608


def _sqlite(order: str, line: str) -> tuple[str, ...]:
    abort = f"BEGIN SELECT RAISE(ABORT, '{MESSAGE}'); END"
    return (
        "DROP TRIGGER IF EXISTS purchasing_sent_is_frozen",
        f"CREATE TRIGGER purchasing_sent_is_frozen BEFORE UPDATE ON {order} WHEN {_condition('IS NOT')} {abort}",
        "DROP TRIGGER IF EXISTS purchasing_line_is_frozen",
        f"CREATE TRIGGER purchasing_line_is_frozen BEFORE UPDATE ON {line} WHEN {_sent(order)} {abort}",
    )


def _postgresql(order: str, line: str) -> tuple[str, ...]:
    raises = f"RAISE EXCEPTION '{MESSAGE}' USING ERRCODE = 'integrity_constraint_violation'"
    return (
        f"CREATE OR REPLACE FUNCTION purchasing_refuse_change() RETURNS trigger AS $$ BEGIN {raises}; END $$ "
        "LANGUAGE plpgsql",
        f"CREATE OR REPLACE TRIGGER purchasing_sent_is_frozen BEFORE UPDATE ON {order} "
        f"FOR EACH ROW WHEN ({_condition('IS DISTINCT FROM')}) EXECUTE FUNCTION purchasing_refuse_change()",
        f"CREATE OR REPLACE FUNCTION purchasing_refuse_line() RETURNS trigger AS $$ BEGIN "
        f"IF {_sent(order)} THEN {raises}; END IF; RETURN NEW; END $$ LANGUAGE plpgsql",
        f"CREATE OR REPLACE TRIGGER purchasing_line_is_frozen BEFORE UPDATE ON {line} "
        "FOR EACH ROW EXECUTE FUNCTION purchasing_refuse_line()",
    )


def install_after_migrate(using: str, **_: Any) -> None:
    """Receiver of ``post_migrate``."""
    install(using)
