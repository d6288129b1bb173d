"""From jobs to orders to kit: the services, end to end."""

import pytest

from estimating.purchasing.kits import KitState, give_out, kits_of
from estimating.purchasing.models import OrderRow, ReservationRow
from estimating.purchasing.receiving import Came, receive
from estimating.purchasing.states import OrderState, RunState
from estimating.purchasing.week_store import demand_of
from estimating.stock.models import HoldingRow, MovementRow, Reason
from tests.estimating.purchasing import cast

pytestmark = pytest.mark.django_db


def kit(job):
    return kits_of(demand_of([job]), [job.ref])[job.ref]


def test_from_jobs_to_orders_to_a_kit_that_is_given_out():
    jobs = tuple(cast.job(f"J-{n}") for n in (1, 2, 3))
    cast.sell_everything(jobs, cast.supplier("North"), wire_seller=cast.supplier("South"))
    run = cast.planned(*jobs)
    assert run.state == RunState.READY, run.fault
    orders = cast.place_orders(run=run, by="Ada", at=cast.NOON)
    assert {order.supplier.name for order in orders} == {"North", "South"}
    assert [order.number for order in orders] == ["PO-2026-001", "PO-2026-002"]
    assert {kit(job).state for job in jobs} == {KitState.WAITING}
    for order in orders:
        cast.send_order(order=order, by="Ada", at=cast.NOON)
        came = {line.pk: Came(line.packs) for line in order.lines.all()}
        received = receive(order=order, came=came, token=order.number, by="Ada", at=cast.NOON)
    assert received.ready_jobs == ("J-1", "J-2", "J-3")
    assert {kit(job).state for job in jobs} == {KitState.READY}
    assert set(OrderRow.objects.values_list("state", flat=True)) == {OrderState.CLOSED}

    give_out(job="J-1", by="Tessa", at=cast.NOON)
    assert kit(jobs[0]).state == KitState.GIVEN_OUT
    assert demand_of(jobs[:1]) == ()
    issued = -sum(MovementRow.objects.filter(reason=Reason.ISSUE).values_list("amount", flat=True))
    assert issued == sum(ReservationRow.objects.filter(job="J-1").values_list("amount", flat=True))
    assert all(holding.level >= 0 for holding in HoldingRow.objects.with_level())
