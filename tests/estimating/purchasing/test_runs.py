"""A run: one at a time, watched, stopped, told when it fails, begun anew when its worker dies."""

from datetime import date, timedelta

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from circuits.outbox.models import OutboxRow
from circuits.outbox.sweeping import sweep
from estimating.buying.watch import Progress
from estimating.purchasing import running
from estimating.purchasing.models import BuyingRow, OrderRow, ReservationRow, RunRow
from estimating.purchasing.placing import place_orders
from estimating.purchasing.running import start_run, stop_run, work_off
from estimating.purchasing.states import RunState
from estimating.purchasing.week_store import demand_of
from estimating.quotes.rules import RefusedError
from estimating.stock.services import material_named, take_in
from tests.estimating.purchasing import cast

pytestmark = pytest.mark.django_db


def started(*jobs, **options):
    return start_run(jobs=jobs, today=cast.TODAY, by="Ada", at=cast.NOON, **options)


def test_one_run_at_a_time(job):
    run = started(job)
    with pytest.raises(RefusedError, match="under way already"):
        started(job)
    stop_run(run=run, at=cast.NOON)
    started(job)


def test_the_database_holds_one_open_run(job):
    started(job)
    with pytest.raises(IntegrityError), transaction.atomic():
        RunRow.objects.create(started_at=cast.NOON, started_by="x", today=cast.TODAY, work=[])


def test_a_run_tells_cost_bound_rounds_and_time(job, market):
    run = cast.planned(job)
    assert run.state == RunState.READY, run.fault
    plan = cast.plan_of(run)
    assert plan.is_proven
    assert run.best_cost == run.lower_bound == plan.cost > 0
    assert run.elapsed_s > 0
    assert run.over_at is not None


def test_a_waiting_run_stops_at_once_and_is_never_worked_on(job, market):
    run = started(job)
    stop_run(run=run, at=cast.NOON)
    work_off(run.pk)
    run.refresh_from_db()
    assert run.state == RunState.STOPPED
    assert run.result is None


def test_a_working_run_stops_at_its_next_look(job, market, monkeypatch):
    def search(week, watch):
        watch.report(Progress(best := week.offers[0].breaks[0].price, best, 1))
        run.refresh_from_db()
        assert run.state == RunState.WORKING
        assert run.rounds == 1
        stop_run(run=run, at=cast.NOON)
        watch.elapsed_s()
        raise AssertionError("the look should have ended it")

    monkeypatch.setattr(running, "plan_purchases", search)
    monkeypatch.setattr(running, "LOOK_EVERY_S", -1.0)
    run = started(job)
    work_off(run.pk)
    run.refresh_from_db()
    assert run.state == RunState.STOPPED


def test_a_plan_that_the_verifier_refuses_is_never_shown(job, market, monkeypatch):
    def refuse(week, plan):
        raise ValueError("roll over-cut")

    monkeypatch.setattr(running, "verify", refuse)
    run = cast.planned(job)
    assert run.state == RunState.FAILED
    assert run.fault == "roll over-cut"
    assert run.result is None


def test_work_outlives_a_worker_that_dies(job, market, monkeypatch):
    class Killed(BaseException):
        pass

    def die(week, watch):
        raise Killed

    with monkeypatch.context() as patched:
        patched.setattr(running, "plan_purchases", die)
        run = started(job)
        with pytest.raises(Killed):
            work_off(run.pk)
    run.refresh_from_db()
    assert run.state == RunState.WORKING, "nobody knows yet"
    OutboxRow.objects.update(due_at=timezone.now(), claimed_until=None)
    assert sweep() == 1
    run.refresh_from_db()
    assert run.state == RunState.READY


def test_a_doubled_delivery_does_nothing_to_a_run_that_is_over(job, market):
    run = cast.planned(job)
    place_orders(run=run, by="Ada", at=cast.NOON)
    work_off(run.pk)
    run.refresh_from_db()
    assert run.state == RunState.ORDERED


def test_a_run_given_up_by_the_outbox_can_be_stopped(job):
    run = started(job)
    RunRow.objects.update(state=RunState.WORKING)
    OutboxRow.objects.update(failed_at=timezone.now())
    stop_run(run=run, at=cast.NOON)
    run.refresh_from_db()
    assert run.state == RunState.STOPPED


def test_orders_are_made_once(job, market):
    run = cast.planned(job)
    place_orders(run=run, by="Ada", at=cast.NOON)
    with pytest.raises(RefusedError, match="this one is ordered"):
        place_orders(run=run, by="Ada", at=cast.NOON)
    assert OrderRow.objects.count() == 2


def test_nothing_is_ordered_on_a_plan_of_other_rows(job, market):
    run = cast.planned(job)
    material = next(offer.material for offer in market[0].offers.all())
    take_in(material=material, amount=1, act=cast.ACT)
    with pytest.raises(RefusedError, match="plan again"):
        place_orders(run=run, by="Ada", at=cast.NOON)
    assert not OrderRow.objects.exists()
    assert not ReservationRow.objects.exists()


def test_nothing_is_ordered_on_a_plan_of_another_day(job, market):
    run = cast.planned(job)
    with pytest.raises(RefusedError, match="plan again"):
        place_orders(run=run, by="Ada", at=cast.NOON + timedelta(days=1))


def test_what_cannot_come_in_time_is_named_with_its_cure(office):
    job = cast.job("J-1", starts_on=cast.TODAY + timedelta(days=1))
    cast.sell_everything((job,), cast.supplier("North"))
    run = cast.planned(job)
    plan = cast.plan_of(run)
    assert {unmet.needed_by for unmet in plan.unmet} == {cast.TODAY}
    told = office.get(reverse("purchasing:run", args=[run.pk])).content.decode()
    assert "Move the date by 2 days to 2026-03-04: then North delivers" in told
    place_orders(run=run, by="Ada", at=cast.NOON)
    assert ReservationRow.objects.exists()
    assert not ReservationRow.objects.exclude(holding=None, order_line=None).exists(), "missing, and said so"


def test_what_cannot_come_in_time_is_ordered_late_where_dates_may_move(db):
    job = cast.job("J-1", starts_on=cast.TODAY + timedelta(days=1))
    cast.sell_everything((job,), cast.supplier("North"))
    run = cast.planned(job, lets_dates_move=True)
    assert cast.plan_of(run).unmet == ()
    assert run.result is not None
    assert set(run.result["moved"].values()) == {date(2026, 3, 4).isoformat()}
    assert len(place_orders(run=run, by="Ada", at=cast.NOON)) == 1


def test_a_price_finer_than_the_coin_is_told_and_nothing_is_planned(job, market):
    offer = market[0].offers.first()
    offer.breaks.update(price="1.005")
    run = cast.planned(job)
    assert run.state == RunState.FAILED
    assert "whole in 0.01 EUR" in run.fault


def test_a_thicker_wire_stands_in_only_where_the_shop_says_so(job):
    north = cast.supplier("North")
    cast.sell_everything((job,), north)
    wire = north.offers.filter(material__kind="wire", material__spec__startswith="16 AWG").first()
    assert wire is not None
    colour = wire.material.spec.removeprefix("16 AWG ")
    wire.delete()
    thicker = material_named("wire", f"1.5 mm² {colour}", 125)
    thinner = material_named("wire", f"18 AWG {colour}", 125)
    cooler = material_named("wire", f"1.5 mm² {colour}", 105)
    for material in (thicker, thinner, cooler):
        cast.offer(north, material, "5.00", 50)
    assert cast.plan_of(cast.planned(job)).unmet
    BuyingRow.objects.create(pk=1, may_be_thicker=True)
    plan = cast.plan_of(cast.planned(job))
    assert plan.unmet == ()
    wanted = {line.ref for line in demand_of([job]) if line.kind.key == f"wire 16 AWG {colour}, 125 °C"}
    cut_from = {piece.kind for piece in plan.pieces for cut in piece.cuts if cut.need in wanted}
    assert cut_from == {thicker.key}


def test_the_page_asks_again_while_a_run_works_and_once_over_is_drawn_anew(office, job):
    run = started(job)
    address = reverse("purchasing:run", args=[run.pk])
    page = office.get(address).content.decode()
    assert 'hx-trigger="every 500ms"' in page
    part = office.get(address, headers={"HX-Request": "true"})
    assert "<html" not in part.content.decode()
    assert office.post(reverse("purchasing:stop_run", args=[run.pk])).status_code == 302
    assert office.get(address, headers={"HX-Request": "true"})["HX-Refresh"] == "true"
    assert "Stopped before it was done" in office.get(address).content.decode()
