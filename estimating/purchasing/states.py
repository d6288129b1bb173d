"""Where a run and an order stand, in words for people."""

from __future__ import annotations

from enum import StrEnum


class RunState(StrEnum):
    """Where a run stands."""

    WAITING = "waiting"
    WORKING = "working"
    READY = "ready"
    ORDERED = "ordered"
    STOPPED = "stopped"
    FAILED = "failed"


OPEN_RUNS = (RunState.WAITING, RunState.WORKING)


class OrderState(StrEnum):
    """Where an order stands. What has come of it is told by its deliveries."""

    DRAFT = "draft"
    SENT = "sent"
    CLOSED = "closed"
    WITHDRAWN = "withdrawn"


UNDER_WAY = (OrderState.DRAFT, OrderState.SENT)
"""Orders whose goods are still counted on."""
