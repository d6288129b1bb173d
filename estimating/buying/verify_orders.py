"""Checks the orders of a plan from scratch: lines, prices, carriage, least orders, dates, sums."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal

from estimating.buying.purchase import PurchasePlan, SupplierOrder
from estimating.buying.week import Week


def order_faults(week: Week, plan: PurchasePlan) -> Iterator[str]:
    """Every fault in the orders of a plan.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from estimating.buying.example import example_week
    >>> from estimating.buying.solve import plan_purchases
    >>> plan = plan_purchases(example_week())
    >>> list(order_faults(example_week(), replace(plan, goods=plan.goods + 1)))
    ['goods are 33.30, the orders make 32.30']
    """
    checked = _Orders(week, plan)
    yield from checked.orders()
    yield from checked.sums()


def expected_arrival(week: Week, lead_days: int) -> date:
    """Counts working days one by one, by another route than the search.

    Examples
    --------
    >>> from estimating.buying.example import example_week
    >>> expected_arrival(example_week(), 5)  # from a Monday
    datetime.date(2026, 3, 9)
    """
    day, left = week.today - timedelta(days=1), lead_days + 1
    while left:
        day += timedelta(days=1)
        if day.weekday() in week.settings.workdays and day not in week.settings.holidays:
            left -= 1
    return day


class _Orders:
    """The orders of a plan with the offers and suppliers of its week, by name."""

    def __init__(self, week: Week, plan: PurchasePlan) -> None:
        self.week, self.plan = week, plan
        self.offers = {offer.ref: offer for offer in week.offers}
        self.suppliers = {supplier.name: supplier for supplier in week.suppliers}

    def orders(self) -> Iterator[str]:
        """Lines, prices, least orders and carriage."""
        for name, times in Counter(order.supplier for order in self.plan.orders).items():
            if times > 1:
                yield f"{name}: {times} orders where one is expected"
        for name, times in Counter(line.offer for order in self.plan.orders for line in order.lines).items():
            if times > 1:
                yield f"offer {name}: {times} lines where one is expected"
        for order in self.plan.orders:
            if order.supplier not in self.suppliers:
                yield f"{order.supplier}: not a supplier of this week"
                continue
            yield from self._lines(order)
            yield from self._terms(order)

    def _lines(self, order: SupplierOrder) -> Iterator[str]:
        for line in order.lines:
            offer = self.offers.get(line.offer)
            if offer is None or offer.supplier != order.supplier or offer.kind != line.kind:
                yield f"offer {line.offer}: not an offer of {line.kind} by {order.supplier}"
                continue
            if line.packs < offer.breaks[0].from_packs or line.packs % offer.multiple:
                yield f"offer {line.offer}: {line.packs} packs cannot be ordered"
            price = offer.breaks[0].price
            for price_break in offer.breaks:
                if price_break.from_packs <= line.packs:
                    price = price_break.price
            if line.price != price or line.net != price * line.packs:
                yield f"offer {line.offer}: {line.net} at {line.price}, {line.packs} × {price} expected"
            if line.arrives != (expected := expected_arrival(self.week, offer.lead_days)):
                yield f"offer {line.offer}: arrives {line.arrives}, {expected} expected"

    def _terms(self, order: SupplierOrder) -> Iterator[str]:
        supplier = self.suppliers[order.supplier]
        goods = sum((line.net for line in order.lines), Decimal(0))
        is_free = supplier.carriage_free_from is not None and goods >= supplier.carriage_free_from
        carriage = Decimal(0) if is_free else supplier.carriage
        if not order.lines:
            yield f"{order.supplier}: an order without lines"
        if order.goods != goods:
            yield f"{order.supplier}: goods are {order.goods}, its lines make {goods}"
        if order.carriage != carriage:
            yield f"{order.supplier}: carriage is {order.carriage}, {carriage} expected"
        if order.total != goods + carriage:
            yield f"{order.supplier}: total is {order.total}, {goods + carriage} expected"
        if goods < supplier.min_order:
            yield f"{order.supplier}: goods of {goods} are below the least order of {supplier.min_order}"

    def sums(self) -> Iterator[str]:
        """Goods, carriage and cost of all orders."""
        goods = sum((order.goods for order in self.plan.orders), Decimal(0))
        carriage = sum((order.carriage for order in self.plan.orders), Decimal(0))
        if self.plan.goods != goods:
            yield f"goods are {self.plan.goods}, the orders make {goods}"
        if self.plan.carriage != carriage:
            yield f"carriage is {self.plan.carriage}, the orders make {carriage}"
        if self.plan.cost != goods + carriage:
            yield f"cost is {self.plan.cost}, goods and carriage of the orders make {goods + carriage}"
