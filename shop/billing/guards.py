"""The database's own refusal to change, delete or misnumber what has been issued, so that no path around it exists.

Installed after every migration, because rebuilding a table drops its triggers on SQLite. ``flush`` is refused too, once
anything has been issued.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.db import connections

from shop.billing.models import CHANGE_FROZEN, Change, ChangePaper, Document, DocumentPaper, Payment

CHANGED = "what has been issued cannot be changed"
DELETED = "what has been issued cannot be deleted"
NUMBERED = "numbers follow one another without a gap"

_ANSWER = ("state", "answered_name", "answered_at", "answered_by", "answer_note")


@dataclass(frozen=True, slots=True)
class Guard:
    """One trigger: ``when`` is SQL that is true where the act is refused; empty = always."""

    name: str
    table: str
    event: str
    message: str
    when: str = ""


def guards(distinct: str) -> tuple[Guard, ...]:
    """Every guard, with the database's own word for "is another value than"."""
    found = []
    for model in (Document, Payment, DocumentPaper, ChangePaper):
        table = model._meta.db_table
        found.append(Guard(f"{table}_no_change", table, "UPDATE", CHANGED))
        found.append(Guard(f"{table}_no_delete", table, "DELETE", DELETED))
    changes, documents = Change._meta.db_table, Document._meta.db_table
    sent = " OR ".join(f"NEW.{column} {distinct} OLD.{column}" for column in CHANGE_FROZEN)
    answered = " OR ".join(f"NEW.{column} {distinct} OLD.{column}" for column in _ANSWER)
    found.append(
        Guard(f"{changes}_no_change", changes, "UPDATE", CHANGED, f"{sent} OR (OLD.state <> 'sent' AND ({answered}))")
    )
    found.append(Guard(f"{changes}_no_delete", changes, "DELETE", DELETED))
    last = f"(SELECT COALESCE(MAX(sequence), 0) FROM {documents} WHERE series = NEW.series)"  # noqa: S608
    found.append(Guard(f"{documents}_in_order", documents, "INSERT", NUMBERED, f"NEW.sequence <> {last} + 1"))
    return tuple(found)


def install(using: str) -> None:
    """Puts the triggers in place on the database named ``using``, SQLite or PostgreSQL."""
    connection = connections[using]
    if Payment._meta.db_table not in connection.introspection.table_names():
        return
    write = {"sqlite": _sqlite, "postgresql": _postgresql}.get(connection.vendor)
    with connection.cursor() as cursor:
        for statement in write() if write else ():
            cursor.execute(statement)


def _sqlite() -> Iterator[str]:
    for guard in guards("IS NOT"):
        when = f"WHEN {guard.when} " if guard.when else ""
        yield f"DROP TRIGGER IF EXISTS {guard.name}"
        yield (
            f"CREATE TRIGGER {guard.name} BEFORE {guard.event} ON {guard.table} "
            f"{when}BEGIN SELECT RAISE(ABORT, '{guard.message}'); END"
        )


def _postgresql() -> Iterator[str]:
    """A condition on other rows cannot stand in WHEN there: it goes into the function."""
    tables = dict.fromkeys(guard.table for guard in guards("IS DISTINCT FROM"))
    refusing = "BEGIN RAISE EXCEPTION '{}' USING ERRCODE = 'integrity_constraint_violation'; END"
    for guard in guards("IS DISTINCT FROM"):
        body = refusing.format(guard.message)
        if guard.when:
            old_or_new = "OLD" if guard.event == "DELETE" else "NEW"
            raised = body.removeprefix("BEGIN ").removesuffix(" END")
            body = f"BEGIN IF {guard.when} THEN {raised} END IF; RETURN {old_or_new}; END"
        yield _function(guard.name, body)
        yield (
            f"CREATE OR REPLACE TRIGGER {guard.name} BEFORE {guard.event} ON {guard.table} "
            f"FOR EACH ROW EXECUTE FUNCTION {guard.name}()"
        )
    for table in tables:
        name = f"{table}_no_emptying"
        body = refusing.format(DELETED).removeprefix("BEGIN ").removesuffix(" END")
        issued = f"EXISTS (SELECT 1 FROM {table})"  # noqa: S608
        yield _function(name, f"BEGIN IF {issued} THEN {body} END IF; RETURN NULL; END")
        yield (
            f"CREATE OR REPLACE TRIGGER {name} BEFORE TRUNCATE ON {table} FOR EACH STATEMENT EXECUTE FUNCTION {name}()"
        )


def _function(name: str, body: str) -> str:
    return f"CREATE OR REPLACE FUNCTION {name}() RETURNS trigger AS $$ {body} $$ LANGUAGE plpgsql"


def install_after_migrate(using: str, **_: Any) -> None:
    """Receiver of ``post_migrate``."""
    install(using)
