"""Work done after a transaction: the planning of a run."""

from __future__ import annotations

from circuits.outbox.registry import task
from estimating.purchasing.running import PLAN_RUN, work_off


@task(PLAN_RUN, is_long=True)
def plan_run(run_id: int) -> None:
    """Plans a run, unless it is over already."""
    work_off(run_id)
