"""A run worked off by a real worker, with a real broker between: started here, planned there."""

from __future__ import annotations

import os
import signal
from typing import Any

import pytest

from circuits.outbox.models import OutboxRow
from circuits.outbox.sweeping import sweep
from estimating.purchasing.models import RunRow
from estimating.purchasing.running import start_run
from estimating.purchasing.states import RunState
from tests.estimating.purchasing import cast
from tests.servers.workers import wait_until, worker

pytestmark = pytest.mark.django_db(transaction=True)


def test_a_run_outlives_the_worker_that_was_killed(broker: str, tmp_path: Any) -> None:
    job = cast.job("J-1")
    cast.sell_everything((job,), cast.supplier("North"))
    run = start_run(jobs=[job], today=cast.TODAY, by="Ada", at=cast.NOON)
    assert run.outbox_row is not None

    def state() -> str:
        return RunRow.objects.values_list("state", flat=True).get(pk=run.pk)

    with worker(broker, tmp_path, "--pool", "solo") as first:
        wait_until(lambda: OutboxRow.objects.filter(pk=run.outbox_row or 0, attempts__gt=0).exists(), "it was begun")
        os.kill(first.pid, signal.SIGKILL)
        first.wait()
    with worker(broker, tmp_path, "--pool", "solo"):
        wait_until(lambda: sweep() or state() == RunState.READY, "another worker planned it")
        wait_until(lambda: state() == RunState.READY, "it is ready")
    run.refresh_from_db()
    assert run.best_cost == cast.plan_of(run).cost > 0
