"""Work as rows."""

from __future__ import annotations

from datetime import datetime
from enum import StrEnum
from typing import Any

from django.db import models
from django.db.models import Q
from django.utils import timezone

NOT_OVER = Q(done_at=None, failed_at=None)


class State(StrEnum):
    """Where a piece of work stands, in words for people."""

    WAITING = "waiting"
    RUNNING = "running"
    DONE = "done"
    FAILED = "failed"


class OutboxQuerySet(models.QuerySet["OutboxRow"]):
    """Rows by what is to be done with them."""

    def due(self, now: datetime) -> OutboxQuerySet:
        """Rows that the sweep must deliver, oldest first: never sent, lost on the way, or to be tried again."""
        return self.filter(NOT_OVER, due_at__lte=now).order_by("due_at", "id")

    def free(self, now: datetime) -> OutboxQuerySet:
        """Rows that may be started: neither over nor in another worker's hands."""
        return self.filter(NOT_OVER).filter(Q(claimed_until=None) | Q(claimed_until__lte=now))


class OutboxRow(models.Model):
    """One call of a registered function, committed with the data it is about."""

    task = models.CharField(max_length=100)
    args = models.JSONField(default=list)
    created_at = models.DateTimeField(default=timezone.now)
    due_at = models.DateTimeField(default=timezone.now, help_text="The sweep delivers it then, unless it is over")
    sent_at = models.DateTimeField(null=True, blank=True, help_text="Last handed to the broker")
    claimed_until = models.DateTimeField(null=True, blank=True, help_text="A worker has it until then")
    done_at = models.DateTimeField(null=True, blank=True, db_index=True)
    failed_at = models.DateTimeField(null=True, blank=True, help_text="Given up after the last attempt")
    attempts = models.PositiveSmallIntegerField(default=0)
    last_error = models.TextField(blank=True)
    steps_done = models.PositiveIntegerField(default=0)
    steps_total = models.PositiveIntegerField(default=0, help_text="0 where the work does not say")
    step = models.CharField(max_length=200, blank=True, help_text="What it is doing, for people")

    objects = OutboxQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["due_at", "id"], name="outbox_not_over", condition=NOT_OVER)]

    def __str__(self) -> str:
        args: list[Any] = self.args
        return f"{self.task}({', '.join(map(repr, args))})"

    def state(self, now: datetime) -> State:
        """Where the work stands at ``now``."""
        if self.done_at:
            return State.DONE
        if self.failed_at:
            return State.FAILED
        return State.RUNNING if self.claimed_until and self.claimed_until > now else State.WAITING
