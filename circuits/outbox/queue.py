"""Queue work in the transaction of the data it is about."""

from __future__ import annotations

from typing import Any

from django.db import transaction

from circuits.errors import LoomwrightError
from circuits.outbox.delivery import deliver
from circuits.outbox.models import OutboxRow
from circuits.outbox.registry import task_named


class NoTransactionError(LoomwrightError, RuntimeError):
    """Work queued outside a transaction could outlive, or be outlived by, its data."""


def enqueue(task_name: str, *args: Any) -> OutboxRow:
    """Queue one call of the function registered as ``task_name``; it is delivered when the transaction commits.

    Parameters
    ----------
    task_name : str
        Name given to ``circuits.outbox.registry.task``.
    *args
        Ids and other plain JSON values.

    Returns
    -------
    OutboxRow
        Its id tells the progress later on.

    Raises
    ------
    NoTransactionError
        Outside ``transaction.atomic()``.
    UnknownTaskError
        Where no function has that name.
    """
    if not transaction.get_connection().in_atomic_block:
        raise NoTransactionError(f"queue {task_name} inside the transaction that writes its data")
    task_named(task_name)
    row = OutboxRow.objects.create(task=task_name, args=list(args))
    # Robust: the data are committed, so the caller must not see an error; the sweep delivers the row.
    transaction.on_commit(lambda: deliver(row.pk), robust=True)
    return row
