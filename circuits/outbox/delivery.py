"""Hand a row to where it is worked off."""

from __future__ import annotations

import logging
from datetime import timedelta

from celery import current_app
from django.conf import settings
from django.utils import timezone
from kombu.exceptions import OperationalError

from circuits.outbox.models import OutboxRow
from circuits.outbox.registry import WORK_OFF
from circuits.outbox.running import run

log = logging.getLogger(__name__)

RESEND_AFTER = timedelta(minutes=2)
"""A row sent this long ago and not yet started is sent again: the broker may have lost it. Doubles do no harm."""


def deliver(row_id: int) -> None:
    """Hand the row to the broker; run it here and now where there is none. What fails is left to the sweep."""
    if settings.REDIS_URL:
        _send(row_id)
    else:
        run(row_id)


def _send(row_id: int) -> None:
    try:
        current_app.send_task(WORK_OFF, (row_id,), retry=False)
    except (OperationalError, OSError) as error:
        log.warning("Broker away, row %s waits for the sweep: %s", row_id, error)
        return
    now = timezone.now()
    OutboxRow.objects.free(now).filter(pk=row_id).update(sent_at=now, due_at=now + RESEND_AFTER)
