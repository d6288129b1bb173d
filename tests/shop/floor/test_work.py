"""Packages from what was accepted, progress from ticks, what waits for what, and the forecast."""

from __future__ import annotations

from dataclasses import replace

import pytest
from django.urls import reverse

from circuits.planning.store import replace_plan
from estimating.quotes.store import work_up_plan
from shop.billing.change_services import answer_change, send_change
from shop.faults.models import Weight
from shop.faults.services import Symptom, raise_fault
from shop.floor.layout import add_own_order, drop_own_order, lay_out_work
from shop.floor.models import OwnOrder, Package, Tick
from shop.floor.rules import Stand
from shop.floor.selectors import week, work_state
from shop.floor.services import PressError, hold, lift
from shop.jobs.models import Job
from tests.shop.floor import cast
from tests.shop.floor.cast import hour, package, tap


def of(state, stage, section):
    return next(one for one in state.packages if (one.package.stage, one.package.section) == (stage, section))


def test_acceptance_lays_the_work_out_from_the_frozen_revision(job):
    assert job.work_layout.words == f"revision 1 of quote {job.quote.number}"
    circuits = (*cast.PLAN.circuits, replace(cast.TAIL, name="boot lamp", section="boot"))
    replace_plan(plan_id=job.plan_id, plan=replace(cast.PLAN, circuits=circuits), expected_version=1, by="Otto")
    lay_out_work(job=job, at=hour(1))
    assert not Package.objects.filter(section="boot").exists()


def test_an_accepted_change_is_laid_out_by_itself_and_told_until_then(client, job, owner):
    client.force_login(owner)
    tap(owner, "tick", hour(0), package(job, "pull", "front"), "horn")
    lamp = replace(cast.TAIL, name="boot lamp", section="boot")
    replace_plan(
        plan_id=job.plan_id,
        plan=replace(cast.PLAN, circuits=(*cast.PLAN.circuits, lamp)),
        expected_version=1,
        by="Otto",
    )
    page = reverse("floor:work", args=[job.pk])
    assert "so no work on it yet: boot lamp" in client.get(page).content.decode()
    change = send_change(job=Job.objects.get(pk=job.pk), note="", by="Otto", at=hour(1))
    lay_out_work(job=job, at=hour(1))
    assert not Package.objects.filter(section="boot").exists(), "sent is not accepted"
    answer_change(change=change, accepted=True, name="Ada", at=hour(2))
    assert package(job, "pull", "boot").circuits == ["boot lamp"]
    assert package(job, "pull", "front").done == 1
    assert "boot lamp" not in client.get(page).context["state"].unaccepted


def test_work_and_acceptance_stand_or_fall_together(job, owner, monkeypatch):
    lamp = replace(cast.TAIL, name="boot lamp", section="boot")
    plan = replace(cast.PLAN, circuits=(*cast.PLAN.circuits, lamp))
    replace_plan(plan_id=job.plan_id, plan=plan, expected_version=1, by="Otto")
    change = send_change(job=Job.objects.get(pk=job.pk), note="", by="Otto", at=hour(1))

    def fails(**_):
        raise RuntimeError

    monkeypatch.setattr("shop.floor.receivers.lay_out_work", fails)
    with pytest.raises(RuntimeError):
        answer_change(change=change, accepted=True, name="Ada", at=hour(2))
    change.refresh_from_db()
    assert change.state == "sent"


def test_before_acceptance_the_work_is_laid_out_from_the_plan_of_today(db):
    job = cast.open_a_job()
    layout = lay_out_work(job=job, at=hour(0))
    assert not layout.is_agreed
    assert "version 1 of the plan" in layout.words
    state = work_state(job, hour(0))
    assert {waiting.words for waiting in state.packages[0].waiting} == {"the customer has not accepted"}


def test_estimates_of_the_packages_make_the_whole_estimate(job):
    told = work_state(job, hour(0)).forecast
    assert told.estimate_h == pytest.approx(work_up_plan(job.plan_id).hours.total.mean_h)
    assert told.total.mean_h == pytest.approx(told.estimate_h)


def test_every_package_has_its_share_of_the_estimate(job):
    assert all(
        row.estimate_min > 0 for row in Package.objects.filter(job=job, stage__in=("pull", "prove", "terminate"))
    )


def test_progress_is_what_is_ticked(job, tessa):
    pull = package(job, "pull", "front")
    assert pull.circuits == ["low beam", "horn"]
    tap(tessa, "tick", hour(0), pull, "horn")
    assert of(work_state(job, hour(0)), "pull", "front").package.done == 1
    tap(tessa, "tick", hour(1), pull, "low beam")
    assert of(work_state(job, hour(1)), "pull", "front").stand is Stand.DONE


def test_a_tick_taken_back_stays_in_the_history(job, tessa, bo):
    pull = package(job, "pull", "front")
    tap(tessa, "tick", hour(0), pull, "horn")
    tap(bo, "untick", hour(1), pull, "horn")
    assert package(job, "pull", "front").done == 0
    kept = Tick.objects.get()
    assert (kept.by, kept.undone_by) == (tessa, bo)


def test_a_late_tick_does_not_undo_a_later_press(job, tessa, bo):
    pull = package(job, "pull", "front")
    tap(bo, "tick", hour(0), pull, "horn")
    tap(bo, "untick", hour(2), pull, "horn")
    tap(tessa, "tick", hour(1), pull, "horn")
    assert package(job, "pull", "front").done == 0


def test_a_circuit_that_is_not_of_the_package_is_refused(job, tessa):
    with pytest.raises(PressError, match="no circuit 'tail lamp'"):
        tap(tessa, "tick", hour(0), package(job, "pull", "front"), "tail lamp")


def test_a_package_waits_for_those_before_it(job, tessa):
    state = work_state(job, hour(0))
    assert of(state, "strip out", "whole vehicle").stand is Stand.READY
    assert of(state, "strip out", "front").stand is Stand.WAITS
    tap(tessa, "tick", hour(0), package(job, "strip out", "whole vehicle"))
    assert of(work_state(job, hour(0)), "strip out", "front").stand is Stand.READY


def test_parts_hold_a_package_until_they_are_here(job, tessa):
    start = package(job, "strip out", "whole vehicle")
    row = hold(package=start, cause="parts", words="M6 rings", by=tessa, at=hour(0))
    found = of(work_state(job, hour(0)), "strip out", "whole vehicle")
    assert [waiting.words for waiting in found.waiting] == ["waiting for parts: M6 rings"]
    assert found.stand is Stand.WAITS
    lift(hold=row, by=tessa, at=hour(1))
    assert of(work_state(job, hour(1)), "strip out", "whole vehicle").stand is Stand.READY


def test_a_fault_holds_what_would_bury_it_and_nothing_else(job, tessa):
    symptom = Symptom(does="horn is dead", weight=Weight.STOPS, circuits=("horn",))
    raise_fault(job=job, symptom=symptom, by=tessa, at=hour(0), key="faultkey")
    state = work_state(job, hour(0))

    def held(stage, section):
        return any(waiting.cause == "fault" for waiting in of(state, stage, section).waiting)

    assert held("cover", "front")
    assert held("refit", "front")
    assert not held("prove", "front")
    assert not held("refit", "rear")


def test_a_comfort_fault_holds_nothing(job, tessa):
    symptom = Symptom(does="clock is slow", weight=Weight.COMFORT, circuits=("clock",))
    raise_fault(job=job, symptom=symptom, by=tessa, at=hour(0), key="faultkey")
    assert not any(w.cause == "fault" for one in work_state(job, hour(0)).packages for w in one.waiting)


def test_the_forecast_follows_the_pace_of_what_is_done(job, tessa):
    before = work_state(job, hour(0)).forecast
    strip, needed_h = package(job, "panel", "whole vehicle"), package(job, "panel", "whole vehicle").estimate_min / 60
    tap(tessa, "start", hour(0), strip)
    tap(tessa, "stop", hour(2 * needed_h))
    for circuit in strip.circuits:
        tap(tessa, "tick", hour(2 * needed_h), strip, circuit)
    after = work_state(job, hour(30)).forecast
    assert after.booked_h == pytest.approx(2 * needed_h)
    assert after.pace > 1.05
    assert after.total.mean_h > before.total.mean_h + needed_h


def test_hours_on_a_package_without_a_tick_move_no_pace(job, tessa):
    panel = package(job, "panel", "whole vehicle")
    tap(tessa, "start", hour(0), panel)
    tap(tessa, "stop", hour(0.5))
    told = work_state(job, hour(1)).forecast
    assert told.pace == 1
    assert told.total.mean_h == pytest.approx(told.estimate_h)


def test_laid_out_anew_ticks_and_hours_stay(db, tessa):
    job = cast.open_a_job()
    lay_out_work(job=job, at=hour(0))
    pull = package(job, "pull", "front")
    tap(tessa, "tick", hour(0), pull, "horn")
    tap(tessa, "start", hour(0), package(job, "pull", "rear"))
    tap(tessa, "stop", hour(1))
    plan = replace(cast.PLAN, circuits=(cast.BEAM, cast.HORN))
    replace_plan(plan_id=job.plan_id, plan=plan, expected_version=1, by="Otto")
    lay_out_work(job=job, at=hour(2))
    state = work_state(job, hour(2))
    assert of(state, "pull", "front").package.done == 1
    assert [str(one.package) for one in state.aside] == ["pull: rear"]
    assert state.forecast.booked_h == 1


def test_own_order_moves_a_package_and_can_be_taken_out(job, owner):
    first, then = package(job, "cover", "rear"), package(job, "cover", "front")
    told = add_own_order(job=job, first=first, then=then, why="the seat hides it", by=owner, at=hour(0))
    assert told == []
    assert package(job, "cover", "rear").position < package(job, "cover", "front").position
    drop_own_order(order=OwnOrder.objects.get(), at=hour(1))
    assert package(job, "cover", "front").position < package(job, "cover", "rear").position


def test_own_order_that_contradicts_is_told(job, owner):
    first, then = package(job, "refit", "front"), package(job, "pull", "front")
    [told] = add_own_order(job=job, first=first, then=then, why="whim", by=owner, at=hour(0))
    assert "the other way round is needed" in told


def test_week_names_who_is_at_what_and_counts_each_day(job, tessa):
    pull = package(job, "pull", "front")
    tap(tessa, "start", hour(0), pull)
    tap(tessa, "stop", hour(2))
    tap(tessa, "start", hour(24), pull)
    found = week(hour(0).date(), hour(25))
    [person] = found.people
    assert person.days[:3] == (120, 60, 0)
    [state] = found.jobs
    assert of(state, "pull", "front").at_work == (tessa,)
