"""Hold a row while it is worked on, so that no second worker starts it, and let go when the worker dies.

The holder renews a short lease for as long as it lives. A killed worker stops renewing, the lease runs out, and the
sweep delivers the row anew: nobody has to notice the death.
"""

from __future__ import annotations

import logging
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from threading import Event, Thread

from django.conf import settings
from django.db import DatabaseError, connection
from django.utils import timezone

from circuits.outbox.models import OutboxRow

log = logging.getLogger(__name__)


def lease_length() -> timedelta:
    """How long a claim holds without being renewed."""
    return timedelta(seconds=float(settings.OUTBOX_LEASE_S))


@contextmanager
def lease(row_id: int) -> Iterator[None]:
    """Keep the claim on a row alive inside the block, from a thread with a connection of its own."""
    over = Event()
    keeper = Thread(target=_renew, args=(row_id, over), name=f"outbox-lease-{row_id}", daemon=True)
    keeper.start()
    try:
        yield
    finally:
        over.set()
        keeper.join(timeout=1)


def _renew(row_id: int, over: Event) -> None:
    while not over.wait(lease_length().total_seconds() / 3):
        until = timezone.now() + lease_length()
        try:
            OutboxRow.objects.filter(pk=row_id, done_at=None).update(claimed_until=until, due_at=until)
        except DatabaseError as error:  # a long write elsewhere; the next beat may get through
            log.warning("Lease of row %s not renewed: %s", row_id, error)
    connection.close()
