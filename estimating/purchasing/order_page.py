"""What the pages of orders show."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.db.models import Max, QuerySet

from estimating.purchasing.lines import lines_with_came
from estimating.purchasing.models import DeliveryRow, OrderLineRow, OrderRow, ReservationRow
from estimating.purchasing.states import OrderState
from estimating.quotes.csv_out import csv_bytes

CSV_HEADER = ("part_number", "material", "pack", "packs", "price", "net", "expected")


@dataclass(frozen=True, slots=True)
class OrderPage:
    """An order with all about it.

    Parameters
    ----------
    lines : list of OrderLineRow
        Each with ``came_packs``.
    deliveries : list of DeliveryRow
        With their lines.
    jobs : tuple of str
        Jobs that wait for it.
    expected : date or None
        Day on which the last of it is due.
    dearer_by : Decimal
        What the supplier asked more than was ordered at.
    """

    lines: list[OrderLineRow]
    deliveries: list[DeliveryRow]
    jobs: tuple[str, ...]
    expected: date | None
    dearer_by: Decimal


def orders_listed(state: str) -> QuerySet[OrderRow]:
    """Orders with their suppliers, newest first."""
    rows = OrderRow.objects.select_related("supplier").annotate(expected=Max("lines__arrives"))
    return rows.filter(state=state) if state in {each.value for each in OrderState} else rows


def order_page(order: OrderRow) -> OrderPage:
    """The page of one order. Four queries."""
    lines = lines_with_came(order)
    deliveries = list(order.deliveries.prefetch_related("lines__line__material"))
    waiting = ReservationRow.objects.filter(order_line__order=order).order_by("job").values_list("job", flat=True)
    open_days = [line.arrives for line in lines if line.came_packs < line.packs]
    differences = [
        (each.price - each.line.price) * each.packs
        for delivery in deliveries
        for each in delivery.lines.all()
        if each.price is not None
    ]
    return OrderPage(
        lines=lines,
        deliveries=deliveries,
        jobs=tuple(dict.fromkeys(waiting)),
        expected=max(open_days, default=None),
        dearer_by=sum(differences, Decimal(0)),
    )


def order_csv(lines: Sequence[OrderLineRow]) -> bytes:
    """The lines of an order as CSV."""
    rows = (
        [
            line.part_number,
            line.material.key,
            line.pack_words,
            Decimal(line.packs),
            line.price,
            line.net,
            line.arrives.isoformat(),
        ]
        for line in lines
    )
    return csv_bytes(CSV_HEADER, rows)
