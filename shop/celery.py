"""The site's Celery app. Start a worker with ``celery -A shop worker``, the sweep with ``celery -A shop beat``."""

from __future__ import annotations

import os
from typing import Any

from celery import Celery
from celery.signals import worker_init
from django.conf import settings

from circuits.outbox.registry import SWEEP
from circuits.outbox.tied import end_with_parent

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")

TASK_TIME_LIMIT_S = 900
"""The longest a task may take."""

VISIBILITY_TIMEOUT_S = 1200
"""Unacknowledged messages go back to the queue after this; above the longest task, or a live one would run twice."""

SWEEP_EVERY_S = 15.0


def make_app(broker_url: str) -> Celery:
    """A Celery app on this broker.

    Parameters
    ----------
    broker_url : str
        ``redis://HOST:PORT/0`` or ``redis+socket:///PATH``; empty = nothing is ever sent.
    """
    app = Celery("loomwright", broker=broker_url or "memory://", set_as_current=True)
    app.conf.update(
        accept_content=["json"],
        task_serializer="json",
        result_serializer="json",
        task_ignore_result=True,
        task_acks_late=True,
        task_reject_on_worker_lost=True,
        task_time_limit=TASK_TIME_LIMIT_S,
        worker_prefetch_multiplier=1,
        worker_hijack_root_logger=False,
        worker_cancel_long_running_tasks_on_connection_loss=True,
        broker_connection_retry_on_startup=True,
        broker_transport_options=transport_options(),
        beat_schedule={"sweep": {"task": SWEEP, "schedule": SWEEP_EVERY_S, "options": {"expires": SWEEP_EVERY_S}}},
        beat_schedule_filename=str(settings.VAR_DIR / "celerybeat-schedule"),
        timezone="UTC",
    )
    return app


def transport_options() -> dict[str, Any]:
    """Quick to give up on sending, for the outbox keeps the row; quick to restore lost messages."""
    return {
        "visibility_timeout": VISIBILITY_TIMEOUT_S,
        "unacked_restore_interval": 1,
        "unacked_restore_throttle": 1,
        "socket_connect_timeout": 2,
        "max_retries": 1,
        "interval_start": 0,
        "interval_step": 0,
        "interval_max": 0,
    }


app = make_app(settings.REDIS_URL)


@worker_init.connect
def _end_with_launcher(**_: Any) -> None:
    if os.environ.get("LOOMWRIGHT_TIED"):
        end_with_parent()
