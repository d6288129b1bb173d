"""What the broker carries: the id of a row, and the call to sweep."""

from __future__ import annotations

from celery import shared_task

from circuits.outbox.registry import SWEEP, WORK_OFF
from circuits.outbox.running import run
from circuits.outbox.sweeping import sweep


@shared_task(name=WORK_OFF, acks_late=True, reject_on_worker_lost=True, ignore_result=True)
def work_off(row_id: int) -> None:
    """Run one row."""
    run(row_id)


@shared_task(name=SWEEP, ignore_result=True)
def sweep_rows() -> None:
    """Deliver what is due."""
    sweep()
