"""Run one row, once, in whichever process was handed it."""

from __future__ import annotations

import logging
from datetime import timedelta

from django.utils import timezone

from circuits.outbox.lease import lease, lease_length
from circuits.outbox.models import OutboxRow
from circuits.outbox.progress import reporting_on
from circuits.outbox.registry import task_named

log = logging.getLogger(__name__)

MAX_ATTEMPTS = 8
FIRST_RETRY = timedelta(seconds=5)
LAST_RETRY = timedelta(minutes=10)


def run(row_id: int) -> bool:
    """Run the row's function, unless it is over or in another worker's hands, and write down how it went.

    An error is kept on the row, which is tried again later, ``MAX_ATTEMPTS`` times in all.

    Returns
    -------
    bool
        True where the function ran to its end.
    """
    row = _claim(row_id)
    if row is None:
        return False
    try:
        with lease(row_id), reporting_on(row_id):
            task_named(row.task)(*row.args)
    except Exception as error:
        log.exception("Task %s failed, attempt %s of %s", row, row.attempts, MAX_ATTEMPTS)
        _put_back(row, error)
        return False
    OutboxRow.objects.filter(pk=row_id).update(done_at=timezone.now(), claimed_until=None, last_error="")
    return True


def retry_delay(attempts: int) -> timedelta:
    """Wait before the next attempt: doubling from ``FIRST_RETRY``, at most ``LAST_RETRY``.

    Examples
    --------
    >>> [int(retry_delay(attempts).total_seconds()) for attempts in (1, 2, 3, 20)]
    [5, 10, 20, 600]
    """
    doublings = min(attempts - 1, 16)
    return min(FIRST_RETRY * float(1 << doublings), LAST_RETRY)


def _claim(row_id: int) -> OutboxRow | None:
    now = timezone.now()
    until = now + lease_length()
    # One conditional UPDATE: of two workers handed the same row, one sees it free.
    if not OutboxRow.objects.free(now).filter(pk=row_id).update(claimed_until=until, due_at=until):
        return None
    row = OutboxRow.objects.get(pk=row_id)
    row.attempts += 1
    row.save(update_fields=["attempts"])
    return row


def _put_back(row: OutboxRow, error: Exception) -> None:
    now = timezone.now()
    row.last_error = f"{type(error).__name__}: {error}"
    row.claimed_until = None
    row.due_at = now + retry_delay(row.attempts)
    row.failed_at = now if row.attempts >= MAX_ATTEMPTS else None
    row.save(update_fields=["last_error", "claimed_until", "due_at", "failed_at"])
