"""Hand a row to where it is worked off."""

from __future__ import annotations

import logging
from datetime import timedelta

from celery import current_app
from django.conf import settings
from django.utils import timezone
from kombu.exceptions import OperationalError

from circuits.outbox.beside import run_beside
from circuits.outbox.models import OutboxRow
from circuits.outbox.registry import WORK_OFF, is_long
from circuits.outbox.running import run

log = logging.getLogger(__name__)

RESEND_AFTER = timedelta(minutes=2)
"""A row sent this long ago and not yet started is sent again: the broker may have lost it. Doubles do no harm."""


def deliver(row_id: int) -> None:
    """Hand the row to the broker; where there is none run it here: now, or beside where it is long.

    What fails is left to the sweep.
    """
    if settings.REDIS_URL:
        _send(row_id)
    elif settings.LONG_WORK_APART and _is_long(row_id):
        run_beside(row_id)
    else:
        run(row_id)


def _is_long(row_id: int) -> bool:
    return any(map(is_long, OutboxRow.objects.filter(pk=row_id).values_list("task", flat=True)))


def _send(row_id: int) -> None:
    try:
        current_app.send_task(WORK_OFF, (row_id,), retry=False)
    except (OperationalError, OSError) as error:
        log.warning("Broker away, row %s waits for the sweep: %s", row_id, error)
        return
    now = timezone.now()
    OutboxRow.objects.free(now).filter(pk=row_id).update(sent_at=now, due_at=now + RESEND_AFTER)
