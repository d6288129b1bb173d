"""The database's own refusal to change what has been sent: a trigger, so that no path around the models exists.

Installed after every migration, because rebuilding a table drops its triggers on SQLite.
"""

from __future__ import annotations

from typing import Any

from django.db import connections

from estimating.quotes.models import FROZEN, SIGNED, QuoteRevision

MESSAGE = "a sent revision cannot be changed"


def _condition(distinct: str) -> str:
    """SQL that is true where an update touches what is frozen in the state the row is in."""
    frozen = " OR ".join(f"NEW.{column} {distinct} OLD.{column}" for column in (*FROZEN, "id"))
    signed = " OR ".join(f"NEW.{column} {distinct} OLD.{column}" for column in SIGNED)
    return (
        f"(OLD.state <> 'draft' AND (NEW.state = 'draft' OR {frozen}))"
        f" OR (OLD.state = 'accepted' AND (NEW.state <> 'accepted' OR {signed}))"
    )


def install(using: str) -> None:
    """Puts the trigger in place on the database named ``using``, SQLite or PostgreSQL."""
    connection = connections[using]
    table = QuoteRevision._meta.db_table
    if table not in connection.introspection.table_names():
        return
    statements = {"sqlite": _sqlite, "postgresql": _postgresql}.get(connection.vendor, lambda _: ())(table)
    with connection.cursor() as cursor:
        for statement in statements:
            cursor.execute(statement)


def _sqlite(table: str) -> tuple[str, ...]:
    return (
        "DROP TRIGGER IF EXISTS quotes_sent_is_frozen",
        f"CREATE TRIGGER quotes_sent_is_frozen BEFORE UPDATE ON {table} "
        f"WHEN {_condition('IS NOT')} BEGIN SELECT RAISE(ABORT, '{MESSAGE}'); END",
    )


def _postgresql(table: str) -> tuple[str, ...]:
    return (
        "CREATE OR REPLACE FUNCTION quotes_refuse_change() RETURNS trigger AS $$ "
        f"BEGIN RAISE EXCEPTION '{MESSAGE}' USING ERRCODE = 'integrity_constraint_violation'; END $$ LANGUAGE plpgsql",
        f"CREATE OR REPLACE TRIGGER quotes_sent_is_frozen BEFORE UPDATE ON {table} "
        f"FOR EACH ROW WHEN ({_condition('IS DISTINCT FROM')}) EXECUTE FUNCTION quotes_refuse_change()",
    )


def install_after_migrate(using: str, **_: Any) -> None:
    """Receiver of ``post_migrate``."""
    install(using)
