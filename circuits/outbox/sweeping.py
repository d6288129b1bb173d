"""Deliver again what got lost on the way."""

from __future__ import annotations

import logging
from datetime import timedelta
from threading import Event

from django.db import DatabaseError, close_old_connections
from django.utils import timezone

from circuits.outbox.delivery import deliver
from circuits.outbox.models import OutboxRow

log = logging.getLogger(__name__)

KEEP_DONE = timedelta(days=30)
SWEEP_AT_MOST = 200


def sweep() -> int:
    """Deliver every row that is due, and drop rows done long ago.

    Returns
    -------
    int
        Rows delivered.
    """
    now = timezone.now()
    OutboxRow.objects.filter(done_at__lt=now - KEEP_DONE).delete()
    row_ids = list(OutboxRow.objects.due(now).values_list("pk", flat=True)[:SWEEP_AT_MOST])
    for row_id in row_ids:
        deliver(row_id)
    return len(row_ids)


def keep_sweeping(every_s: float, over: Event) -> None:
    """Sweep now and every ``every_s`` seconds until ``over`` is set."""
    while True:
        close_old_connections()
        try:
            sweep()
        except DatabaseError:
            log.exception("Sweep failed; the next one is in %g s", every_s)
        if over.wait(every_s):
            break
    close_old_connections()
