"""``flush`` with the guards of money and of handovers lifted for as long as it takes."""

from __future__ import annotations

from typing import Any

from django.core.management.commands.flush import Command as Flush
from django.db import connections

from shop.billing import guards
from shop.handover import guards as handover_guards


class Command(Flush):
    """Empties the test database."""

    def handle(self, **options: Any) -> None:
        connection = connections[options["database"]]
        lift(connection)
        super().handle(**options)
        guards.install(connection.alias)
        handover_guards.install(connection.alias)


def lift(connection: Any) -> None:
    """Takes the guards away."""
    found = guards.guards("IS NOT")
    names = {(guard.name, guard.table) for guard in found} | {
        (f"{guard.table}_no_emptying", guard.table) for guard in found
    }
    names |= set(handover_guards.names(connection.vendor))
    with connection.cursor() as cursor:
        for name, table in names:
            on = "" if connection.vendor == "sqlite" else f" ON {table}"
            cursor.execute(f"DROP TRIGGER IF EXISTS {name}{on}")
