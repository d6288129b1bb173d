"""Long searches: in a process of their own, beside the page that started them, and stopped in the midst of a step."""

from __future__ import annotations

import subprocess
import time
from dataclasses import replace
from typing import Any

import pytest

from circuits.outbox.sweeping import sweep
from estimating.buying.example import example_week
from estimating.buying.solve import plan_purchases
from estimating.buying.watch import Progress
from estimating.purchasing.apart import LostError, plan_apart
from estimating.purchasing.models import RunRow
from estimating.purchasing.running import start_run, stop_run
from estimating.purchasing.states import RunState
from tests.estimating.buying.weeks import Made, made_week
from tests.estimating.purchasing import cast
from tests.servers.workers import wait_until

LONG = Made(20, 1500, 30, 3, has_breaks=True, has_substitutes=True, time_limit_s=300)


class StopError(Exception):
    pass


def test_a_search_apart_finds_the_same_and_tells_a_first_cost_at_once():
    heard: list[Progress] = []
    plan = plan_apart(example_week(), heard.append, lambda: None, 0.1)
    assert plan == plan_purchases(example_week())
    assert heard[0].cost >= heard[-1].cost == plan.cost
    assert heard[0].rounds == 0


def test_a_stop_ends_a_search_in_the_midst_of_a_step():
    heard: list[Progress] = []
    began_s = time.monotonic()

    def look() -> None:
        if heard and time.monotonic() - began_s > 1.0:
            raise StopError

    with pytest.raises(StopError):
        plan_apart(made_week(0, LONG), heard.append, look, 0.1)
    assert [progress.rounds for progress in heard] == [0], "the first step alone takes longer"


def test_what_is_wrong_with_a_week_reaches_whoever_asked():
    week = example_week()
    broken = replace(week)
    object.__setattr__(broken, "needs", (replace(week.needs[0], kind="gone"),))
    with pytest.raises(Exception, match="gone"):
        plan_apart(broken, lambda progress: None, lambda: None, 0.1)


def test_a_search_that_is_killed_is_told(monkeypatch):
    started = []
    real = subprocess.Popen

    def popen(*args: Any, **options: Any) -> Any:
        started.append(real(*args, **options))
        return started[-1]

    monkeypatch.setattr(subprocess, "Popen", popen)
    with pytest.raises(LostError):
        plan_apart(made_week(0, LONG), lambda progress: started[0].kill(), lambda: None, 0.1)


@pytest.mark.django_db(transaction=True)
def test_without_a_broker_a_run_is_worked_on_beside_and_can_be_stopped(settings):
    settings.LONG_WORK_APART = True
    job = cast.job("J-1")
    cast.sell_everything((job,), cast.supplier("North"))

    def state_of(run: RunRow) -> str:
        return RunRow.objects.values_list("state", flat=True).get(pk=run.pk)

    run = start_run(jobs=[job], today=cast.TODAY, by="Ada", at=cast.NOON)
    assert state_of(run) in (RunState.WAITING, RunState.WORKING), "the page does not wait for it"
    stop_run(run=run, at=cast.NOON)
    wait_until(lambda: state_of(run) == RunState.STOPPED, "it stopped")
    again = start_run(jobs=[job], today=cast.TODAY, by="Ada", at=cast.NOON)
    wait_until(lambda: state_of(again) == RunState.READY, "it was planned")
    again.refresh_from_db()
    assert again.best_cost == again.lower_bound == cast.plan_of(again).cost
    assert sweep() == 0
