"""Long work says how far it is; pages ask."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from time import monotonic

from django.utils import timezone

from circuits.outbox.models import OutboxRow, State

MIN_INTERVAL_S = 0.5
"""Reports in between are dropped: a page polls no faster."""


@dataclass(slots=True)
class _Reporter:
    row_id: int
    next_at_s: float = 0.0


_reporter: ContextVar[_Reporter | None] = ContextVar("outbox_reporter", default=None)


@dataclass(frozen=True, slots=True)
class Progress:
    """How far a piece of work is.

    Parameters
    ----------
    state : State
    steps_done, steps_total : int
        ``steps_total`` is 0 where the work does not say.
    step : str
        What it is doing, or the last error.
    """

    state: State
    steps_done: int
    steps_total: int
    step: str

    @property
    def is_over(self) -> bool:
        """True where asking again will not change the answer."""
        return self.state in (State.DONE, State.FAILED)


@contextmanager
def reporting_on(row_id: int) -> Iterator[None]:
    """Let ``report`` inside the block write to this row."""
    token = _reporter.set(_Reporter(row_id))
    try:
        yield
    finally:
        _reporter.reset(token)


def report(steps_done: int, steps_total: int, step: str = "") -> None:
    """Say how far the running task is; outside a task it does nothing, so that cores may be handed it.

    Parameters
    ----------
    steps_done, steps_total : int
    step : str
        What is being done, for people; at most 200 characters are kept.
    """
    reporter = _reporter.get()
    if reporter is None or (monotonic() < reporter.next_at_s and steps_done < steps_total):
        return
    reporter.next_at_s = monotonic() + MIN_INTERVAL_S
    OutboxRow.objects.filter(pk=reporter.row_id).update(steps_done=steps_done, steps_total=steps_total, step=step[:200])


def progress_of(row_id: int) -> Progress:
    """How far the row with this id is.

    Raises
    ------
    OutboxRow.DoesNotExist
        Where there is none.
    """
    row = OutboxRow.objects.get(pk=row_id)
    state = row.state(timezone.now())
    step = row.last_error if state is State.FAILED or (state is State.WAITING and row.last_error) else row.step
    return Progress(state, row.steps_done, row.steps_total, step)
