"""Small weeks for the tests of buying, and the best plan of a tiny week by trying everything."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from itertools import product

from estimating.buying.kinds import Kind, Measure
from estimating.buying.purchase import PurchasePlan
from estimating.buying.solve import plan_purchases
from estimating.buying.verify import verify
from estimating.buying.verify_orders import expected_arrival
from estimating.buying.week import Need, Offer, PriceBreak, Supplier, Week

MONDAY = date(2026, 3, 2)
NEXT_MONDAY = date(2026, 3, 9)
RED = Kind("wire 2.5 mm² RD", Measure.CUTS, 2.5, 105, "RD")
SHOP = Supplier("supplier")


def price(*steps: str | tuple[int, str]) -> tuple[PriceBreak, ...]:
    """``price("4.00", (10, "3.50"))``: breaks, the first from 1 on."""
    return tuple(
        PriceBreak(1, Decimal(step)) if isinstance(step, str) else PriceBreak(step[0], Decimal(step[1]))
        for step in steps
    )


def roll_week(capacity: int, sizes: list[int]) -> Week:
    """One roll of ``capacity`` mm at one coin, to be cut into ``sizes``: its cost in coins is the number of rolls."""
    return Week(
        today=MONDAY,
        kinds=(RED,),
        needs=tuple(Need(f"cut {n}", RED.key, NEXT_MONDAY, 1, size / 1000) for n, size in enumerate(sizes)),
        offers=(Offer("roll", "supplier", RED.key, price("0.01"), capacity / 1000),),
        suppliers=(SHOP,),
    )


def checked_plan(week: Week) -> PurchasePlan:
    """The plan of a week, verified."""
    plan = plan_purchases(week)
    verify(week, plan)
    return plan


def least_cost(week: Week, most_packs: int) -> Decimal | None:
    """Cost of the best plan without substitutes, by trying every purchase of up to ``most_packs`` of each offer."""
    best = None
    for packs in product(*(range(most_packs + 1 if can_serve(week, offer) else 1) for offer in week.offers)):
        cost = cost_of(week, packs)
        if cost is not None and (best is None or cost < best) and all(can_meet(week, packs, k.key) for k in week.kinds):
            best = cost
    return best


def can_serve(week: Week, offer: Offer) -> bool:
    """Whether some need could be met from an offer: nothing else is ordered to fill up an order."""
    blade = round(week.settings.blade_loss_m * 1000) if offer.length_m else 0
    return any(
        need.kind == offer.kind
        and expected_arrival(week, offer.lead_days) <= need.needed_by
        and mm(need.length_m, 1) + blade <= mm(offer.length_m, offer.pack)
        for need in week.needs
    )


def cost_of(week: Week, packs: tuple[int, ...]) -> Decimal | None:
    """Goods and carriage; None where it cannot be ordered."""
    total = Decimal(0)
    for supplier in week.suppliers:
        goods, is_ordered = Decimal(0), False
        for offer, n in zip(week.offers, packs, strict=True):
            if n and offer.supplier == supplier.name:
                if n < offer.breaks[0].from_packs or n % offer.multiple:
                    return None
                goods += n * offer.price_at(n)
                is_ordered = True
        if is_ordered:
            if goods < supplier.min_order:
                return None
            is_free = supplier.carriage_free_from is not None and goods >= supplier.carriage_free_from
            total += goods + (0 if is_free else supplier.carriage)
    return total


def can_meet(week: Week, packs: tuple[int, ...], kind: str) -> bool:
    """Whether all cuts (or parts) of a kind can be taken from stock and purchase, tried one by one."""
    rooms = [(mm(s.length_m, s.count), s.available or week.today) for s in week.stock if s.kind == kind]
    for offer, n in zip(week.offers, packs, strict=True):
        if offer.kind == kind:
            rooms += [(mm(offer.length_m, offer.pack), expected_arrival(week, offer.lead_days))] * n
    blade = round(week.settings.blade_loss_m * 1000)
    atoms = [
        (mm(need.length_m, 1) + (blade if need.length_m else 0), need.needed_by)
        for need in week.needs
        if need.kind == kind
        for _ in range(need.count)
    ]
    return _place(sorted(atoms, reverse=True), [room for room, _ in rooms], [day for _, day in rooms])


def mm(length_m: float | None, count: int) -> int:
    """Whole millimetres, or the count."""
    return count if length_m is None else round(length_m * 1000)


def _place(atoms: list[tuple[int, date]], rooms: list[int], days: list[date]) -> bool:
    if not atoms:
        return True
    (size, due), rest = atoms[0], atoms[1:]
    tried = set()
    for n, room in enumerate(rooms):
        if room >= size and days[n] <= due and (room, days[n]) not in tried:
            tried.add((room, days[n]))
            if _place(rest, [*rooms[:n], room - size, *rooms[n + 1 :]], days):
                return True
    return False
