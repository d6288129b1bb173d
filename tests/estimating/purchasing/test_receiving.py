"""Deliveries: in parts, short, over, at another price; entered twice, done once; who gets what, whose kit is ready."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.db.models import Sum
from django.urls import reverse

from estimating.purchasing.kits import KitState, kits_of
from estimating.purchasing.models import DeliveryRow, ReservationRow
from estimating.purchasing.order_page import order_page
from estimating.purchasing.orders import close_order
from estimating.purchasing.placing import place_orders
from estimating.purchasing.receiving import Came, receive
from estimating.purchasing.states import OrderState
from estimating.purchasing.week_store import demand_of, planning_of
from estimating.quotes.rules import RefusedError
from estimating.stock.models import HoldingRow, MovementRow
from tests.estimating.purchasing import cast

pytestmark = pytest.mark.django_db


def came(order, **packs):
    """All of an order, save lines whose packs are named by their place: ``l0=3``."""
    lines = list(order.lines.order_by("pk"))
    each = {line.pk: Came(packs.get(f"l{n}", line.packs)) for n, line in enumerate(lines)}
    return receive(order=order, came=each, token=order.number, by="Ada", at=cast.NOON)


def in_stock():
    return MovementRow.objects.aggregate(sum=Sum("amount"))["sum"] or 0


def kit(job):
    return kits_of(demand_of([job]), [job.ref])[job.ref]


def test_a_delivery_entered_twice_is_in_stock_once(orders):
    first = came(orders[0])
    stock = in_stock()
    second = came(orders[0])
    assert first.is_new
    assert not second.is_new
    assert second.delivery == first.delivery
    assert in_stock() == stock
    assert DeliveryRow.objects.count() == 1


def test_the_form_of_another_order_is_refused(orders):
    came(orders[0])
    line = orders[1].lines.first()
    with pytest.raises(RefusedError, match="another order"):
        receive(order=orders[1], came={line.pk: Came(1)}, token=orders[0].number, by="Ada", at=cast.NOON)


def test_each_roll_that_comes_lies_in_stock_by_itself(orders):
    wire = orders[1]
    came(wire)
    rolls = sum(line.packs for line in wire.lines.all())
    assert HoldingRow.objects.exclude(label="").count() == rolls
    assert {holding.level for holding in HoldingRow.objects.with_level()} == {25_000}


def test_counted_parts_come_by_the_pack(orders):
    came(orders[0])
    for line in orders[0].lines.filter(length_mm=None):
        (lot,) = line.material.holdings.with_level()
        assert lot.level == line.packs * line.pack


def test_what_is_short_stays_on_order_and_is_not_ordered_again(job, orders):
    received = came(orders[0], l0=0)
    assert received.ready_jobs == ()
    orders[0].refresh_from_db()
    assert orders[0].state == OrderState.SENT
    came(orders[1])
    assert kit(job).state == KitState.WAITING
    line = orders[0].lines.order_by("pk")[0]
    assert any(piece.ref.startswith(f"order:{line.pk}:") for piece in planning_of([job], cast.TODAY).week.stock)
    assert place_orders(run=cast.planned(job), by="Ada", at=cast.NOON) == ()


def test_the_rest_makes_the_kit_ready_and_closes_the_order(job, orders):
    came(orders[1])
    came(orders[0], l0=0)
    lines = list(orders[0].lines.order_by("pk"))
    rest = {lines[0].pk: Came(lines[0].packs)}
    received = receive(order=orders[0], came=rest, token="rest", by="Ada", at=cast.NOON)
    assert received.ready_jobs == ("J-1",)
    orders[0].refresh_from_db()
    assert orders[0].state == OrderState.CLOSED
    assert kit(job).state == KitState.READY


def test_what_is_over_goes_to_stock_for_no_job(job, orders):
    line = orders[0].lines.filter(length_mm=None).order_by("pk")[0]
    receive(order=orders[0], came={line.pk: Came(line.packs + 2)}, token="t", by="Ada", at=cast.NOON)
    (lot,) = line.material.holdings.with_level()
    assert lot.level == (line.packs + 2) * line.pack
    reserved = ReservationRow.objects.filter(holding=lot).aggregate(sum=Sum("amount"))["sum"]
    assert reserved == sum(each.amount for each in demand_of([job]) if each.kind.key == line.material.key)
    assert not any(p.ref.startswith(f"order:{line.pk}:") for p in planning_of([job], cast.TODAY).week.stock)


def test_who_reserved_first_is_served_first_and_may_get_a_part(db):
    jobs = tuple(cast.job(f"J-{n}") for n in (1, 2))
    north = cast.supplier("North")
    cast.sell_everything(jobs, north)
    (order,) = cast.ordered(*jobs)
    line = next(each for each in order.lines.all() if each.length_mm is None and each.reserved.count() == 2)
    wanted = dict(line.reserved.values_list("job", "amount"))
    assert sum(wanted.values()) > 1
    lot_before = sum(wanted.values())
    receive(order=order, came={line.pk: Came(1)}, token="t", by="Ada", at=cast.NOON)
    here = ReservationRow.objects.filter(kind=line.material.key, holding__isnull=False).aggregate(s=Sum("amount"))["s"]
    there = ReservationRow.objects.filter(order_line=line).aggregate(s=Sum("amount"))["s"] or 0
    assert here == min(line.pack, lot_before)
    assert here + there == lot_before


def test_no_more_comes_of_a_closed_order_and_its_needs_are_missing(job, orders):
    came(orders[0])
    close_order(order=orders[1])
    assert kit(job).state == KitState.MISSING
    assert len(place_orders(run=cast.planned(job), by="Ada", at=cast.NOON)) == 1


def test_another_price_is_kept_with_the_delivery(orders):
    line = orders[0].lines.order_by("pk")[0]
    price = line.price
    dearer = Came(line.packs, price + Decimal("0.50"))
    receive(order=orders[0], came={line.pk: dearer}, token="t", by="Ada", at=cast.NOON)
    assert order_page(orders[0]).dearer_by == line.packs * Decimal("0.50")
    line.refresh_from_db()
    assert line.price == price, "the order stays as it was sent"


def test_what_makes_no_sense_is_refused_and_nothing_comes_in(job, market, orders):
    other = orders[1].lines.first()
    for each, words in (({}, "at least one line"), ({other.pk: Came(1)}, "has no line"), ({0: Came(-1)}, "no line")):
        with pytest.raises(RefusedError, match=words):
            receive(order=orders[0], came=each, token="t", by="Ada", at=cast.NOON)
    mine = orders[0].lines.first()
    with pytest.raises(RefusedError, match="0 to"):
        receive(order=orders[0], came={mine.pk: Came(-1)}, token="t", by="Ada", at=cast.NOON)
    assert in_stock() == 0


def test_nothing_comes_in_for_a_draft(job, market):
    order = place_orders(run=cast.planned(job), by="Ada", at=cast.NOON)[0]
    with pytest.raises(RefusedError, match="is draft"):
        came(order)


def test_the_form_starts_from_what_is_to_come_and_is_entered_once(office, orders):
    address = reverse("purchasing:receive", args=[orders[0].pk])
    form = office.get(address).context["form"]
    data = {"token": form["token"].value(), "note_number": "N-7"}
    data |= {f"packs-{line.pk}": packs.value() for line, packs, _ in form.rows()}
    for _ in range(2):
        assert office.post(address, data).status_code == 302
    assert DeliveryRow.objects.get().note_number == "N-7"
    orders[0].refresh_from_db()
    assert orders[0].state == OrderState.CLOSED


@pytest.mark.parametrize(("field", "value"), [("packs", "-1"), ("packs", "x"), ("price", "cheap"), ("price", "NaN")])
def test_a_form_that_cannot_be_read_stores_nothing(office, orders, field, value):
    line = orders[0].lines.first()
    data = {"token": "t", f"packs-{line.pk}": "1", f"{field}-{line.pk}": value}
    answer = office.post(reverse("purchasing:receive", args=[orders[0].pk]), data)
    assert answer.status_code == 400
    assert not DeliveryRow.objects.exists()
