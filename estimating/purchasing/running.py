"""The run that plans what to buy: started, worked off as a task, watched, stopped. One at a time for the shop."""

from __future__ import annotations

import logging
from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime
from time import monotonic
from typing import Any

from django.conf import settings
from django.db import DatabaseError, IntegrityError, transaction
from django.utils import timezone

from circuits.errors import LoomwrightError
from circuits.outbox.models import OutboxRow
from circuits.outbox.progress import progress_of
from circuits.outbox.queue import enqueue
from estimating.buying.purchase import PurchasePlan
from estimating.buying.solve import plan_purchases
from estimating.buying.verify import verify
from estimating.buying.watch import Progress, Watch
from estimating.buying.week import Week
from estimating.purchasing.apart import plan_apart
from estimating.purchasing.demand import JobAhead
from estimating.purchasing.models import RunRow
from estimating.purchasing.record import write_plan
from estimating.purchasing.rules_store import buying_row
from estimating.purchasing.states import OPEN_RUNS, RunState
from estimating.purchasing.week_store import planning_of
from estimating.quotes.rules import RefusedError

log = logging.getLogger(__name__)

PLAN_RUN = "purchasing.plan_run"
LOOK_EVERY_S = 0.3
"""How often a search looks whether it is to stop, and tells how far it is."""


class StoppedError(LoomwrightError, RuntimeError):
    """Somebody pressed Stop."""


@transaction.atomic
def start_run(*, jobs: Iterable[JobAhead], today: date, by: str, at: datetime, lets_dates_move: bool = False) -> RunRow:
    """Starts planning what to buy for these jobs.

    Parameters
    ----------
    jobs : iterable of JobAhead
    today : date
        Day the orders would go out.
    by : str
    at : datetime
    lets_dates_move : bool
        Whether what cannot come in time is ordered all the same.

    Raises
    ------
    RefusedError
        While another run is under way.
    """
    run = RunRow(
        started_at=at,
        started_by=by,
        today=today,
        work=[job.record() for job in jobs],
        lets_dates_move=lets_dates_move,
        time_limit_s=buying_row().time_limit_s * (2 if lets_dates_move else 1),
    )
    try:
        with transaction.atomic():
            run.save()
    except IntegrityError:
        raise RefusedError("A planning is under way already: wait for it, or stop it.") from None
    run.outbox_row = enqueue(PLAN_RUN, run.pk).pk
    run.save(update_fields=["outbox_row"])
    return run


@transaction.atomic
def stop_run(*, run: RunRow, at: datetime) -> None:
    """Stops a run: at once where nobody works on it, else at its next look."""
    run = RunRow.objects.select_for_update().get(pk=run.pk)
    if not run.is_open:
        return
    run.is_cancelled = True
    if run.state == RunState.WAITING or _is_given_up(run):
        run.state, run.over_at = RunState.STOPPED, at
    run.save(update_fields=["is_cancelled", "state", "over_at"])


def _is_given_up(run: RunRow) -> bool:
    try:
        return run.outbox_row is None or progress_of(run.outbox_row).is_over
    except OutboxRow.DoesNotExist:
        return True


def work_off(run_id: int) -> None:
    """Plans a run and keeps what was found. Run again after a worker died, it begins anew; a run that is over stays."""
    if not RunRow.objects.filter(pk=run_id, state__in=OPEN_RUNS).update(state=RunState.WORKING):
        return
    run = RunRow.objects.get(pk=run_id)
    try:
        found = _found(run)
    except StoppedError:
        _end(run_id, state=RunState.STOPPED)
    except DatabaseError:
        raise  # tried again by the outbox
    except Exception as error:
        log.exception("Planning %s failed", run_id)
        _end(run_id, state=RunState.FAILED, fault=str(error) or type(error).__name__)
    else:
        _end(run_id, state=RunState.READY, **found)


def _end(run_id: int, **values: Any) -> None:
    with transaction.atomic():
        run = RunRow.objects.select_for_update().get(pk=run_id)
        if not run.is_open:
            return
        if run.is_cancelled:
            values = {"state": RunState.STOPPED}
        for name, value in {**values, "over_at": timezone.now()}.items():
            setattr(run, name, value)
        run.save()


def _found(run: RunRow) -> dict[str, Any]:
    """What a run found, as columns of its row. Nothing is shown that the verifier has not passed."""
    planning = planning_of([JobAhead.of(record) for record in run.work], run.today)
    listener = _Listener(run.pk)
    week, moved = planning.week, {}
    plan = listener.search(week)
    if run.lets_dates_move and (moved := moves_of(plan)):
        week = with_moves(week, moved)
        plan = listener.search(week)
    verify(week, plan)
    return {
        "result": {"plan": write_plan(plan), "moved": {ref: day.isoformat() for ref, day in moved.items()}},
        "fingerprint": planning.fingerprint,
        "best_cost": plan.cost,
        "lower_bound": plan.lower_bound,
        "rounds": plan.rounds,
        "elapsed_s": listener.elapsed_s(),
    }


def moves_of(plan: PurchasePlan) -> dict[str, date]:
    """The least change of date that would cure each unmet need, for those that a date can cure."""
    moves = {}
    for unmet in plan.unmet:
        days = [remedy.new_date for remedy in unmet.remedies if remedy.new_date and not remedy.kind]
        if days:
            moves[unmet.need] = min(days)
    return moves


def with_moves(week: Week, moved: dict[str, date]) -> Week:
    """The week with some needs' dates let go."""
    needs = tuple(replace(need, needed_by=moved.get(need.ref, need.needed_by)) for need in week.needs)
    return replace(week, needs=needs)


@dataclass(slots=True)
class _Listener:
    """Hears a search and looks whether it is to stop."""

    run_id: int
    began_s: float = 0.0
    next_s: float = 0.0

    def search(self, week: Week) -> PurchasePlan:
        """Plans a week, in a process of its own where long work is done apart."""
        search_began_s = monotonic()
        self.began_s = self.began_s or search_began_s
        if settings.LONG_WORK_APART:
            return plan_apart(week, self._tell, self._look, LOOK_EVERY_S)

        def elapsed_s() -> float:
            self._look()
            return monotonic() - search_began_s

        return plan_purchases(week, Watch(elapsed_s, self._tell))

    def elapsed_s(self) -> float:
        return monotonic() - self.began_s

    def _look(self) -> None:
        if monotonic() < self.next_s:
            return
        self.next_s = monotonic() + LOOK_EVERY_S
        if not RunRow.objects.filter(pk=self.run_id, is_cancelled=False).update(elapsed_s=self.elapsed_s()):
            raise StoppedError

    def _tell(self, progress: Progress) -> None:
        RunRow.objects.filter(pk=self.run_id).update(
            best_cost=progress.cost,
            lower_bound=progress.lower_bound,
            rounds=progress.rounds,
            elapsed_s=self.elapsed_s(),
        )
