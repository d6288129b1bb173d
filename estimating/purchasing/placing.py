"""From a planned run to purchase orders, one a supplier, and to what is reserved for which job."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction
from django.utils import timezone

from estimating.buying.kinds import Measure
from estimating.buying.purchase import PurchasePlan, SupplierOrder
from estimating.buying.week import Week
from estimating.purchasing.demand import DemandLine, JobAhead
from estimating.purchasing.models import OfferRow, OrderLineRow, OrderRow, ReservationRow, RunRow, SupplierRow
from estimating.purchasing.record import read_plan
from estimating.purchasing.states import RunState
from estimating.purchasing.week_store import Planning, planning_of
from estimating.quotes.frozen import to_data
from estimating.quotes.numbering import next_number
from estimating.quotes.rules import RefusedError
from estimating.stock.kinds import natural, whole


@dataclass(frozen=True, slots=True)
class _Source:
    """Where something comes from, as columns of a reservation."""

    holding_id: int | None = None
    order_line_id: int | None = None
    roll: int = 0


@transaction.atomic
def place_orders(*, run: RunRow, by: str, at: datetime) -> tuple[OrderRow, ...]:
    """Makes the orders of a run in draft, and reserves for its jobs what they get from stock and orders.

    Raises
    ------
    RefusedError
        For a run that is not ready, and where plans, stock, offers or the day are no longer those it was planned for.
    """
    run = RunRow.objects.select_for_update().get(pk=run.pk)
    if run.state != RunState.READY or run.result is None:
        raise RefusedError(f"Orders are made from a planning that is ready; this one is {run.state}.")
    today = timezone.localdate(at)
    planning = planning_of([JobAhead.of(record) for record in run.work], today)
    if planning.fingerprint != run.fingerprint:
        raise RefusedError("Plans, stock, orders, offers or the day have changed since: plan again.")
    plan = read_plan(run.result["plan"])
    lines: dict[str, OrderLineRow] = {}
    orders = tuple(_order(each, run, planning.week, by, at, lines) for each in plan.orders)
    _reserve(run, planning, plan, lines)
    run.state = RunState.ORDERED
    run.save(update_fields=["state"])
    return orders


def _order(
    planned: SupplierOrder, run: RunRow, week: Week, by: str, at: datetime, lines: dict[str, OrderLineRow]
) -> OrderRow:
    terms = {each.name: each for each in week.suppliers}
    offered = {each.ref: each for each in week.offers}
    supplier = SupplierRow.objects.get(name=planned.supplier)
    order = OrderRow.objects.create(
        number=next_number("PO", timezone.localdate(at).year),
        supplier=supplier,
        run=run,
        addressee="\n".join(filter(None, [supplier.name, supplier.address.strip()])),
        currency=week.settings.currency,
        terms=to_data(terms[planned.supplier]),
        goods=planned.goods,
        carriage=planned.carriage,
        made_at=at,
        made_by=by,
    )
    offers = OfferRow.objects.in_bulk([int(line.offer) for line in planned.lines])
    for line in sorted(planned.lines, key=lambda line: natural(line.kind)):
        offer = offers[int(line.offer)]
        lines[line.offer] = OrderLineRow.objects.create(
            order=order,
            material_id=offer.material_id,
            part_number=offer.part_number,
            length_mm=offer.length_mm,
            pack=offer.pack,
            packs=line.packs,
            price=line.price,
            net=line.net,
            offered=to_data(offered[line.offer]),
            arrives=line.arrives,
        )
    return order


def _reserve(run: RunRow, planning: Planning, plan: PurchasePlan, lines: dict[str, OrderLineRow]) -> None:
    """Puts what the plan assigns in the place of what was reserved for these jobs and is not given out yet."""
    refs = [record["ref"] for record in run.work]
    ReservationRow.objects.filter(job__in=refs, issued_at=None).delete()
    moved = (run.result or {}).get("moved", {})
    days = {need.ref: need.needed_by for need in planning.week.needs}
    days |= {ref: date.fromisoformat(day) for ref, day in moved.items()}
    rows = [
        ReservationRow(
            job=line.job,
            kind=line.kind.key,
            cut=line.cut,
            circuits=", ".join(line.circuits),
            amount=amount,
            needed_by=days[line.ref],
            holding_id=source.holding_id,
            order_line_id=source.order_line_id,
            roll=source.roll,
        )
        for line, amount, source in _assigned(planning, plan, lines)
    ]
    ReservationRow.objects.bulk_create(rows)


def _assigned(
    planning: Planning, plan: PurchasePlan, lines: dict[str, OrderLineRow]
) -> Iterator[tuple[DemandLine, int, _Source]]:
    """What each line of the demand gets from where; a source of nothing for what nobody can deliver."""
    demand = planning.demand
    for piece in plan.pieces:
        for cut in piece.cuts:
            line = demand[cut.need]
            yield line, line.amount, _source(piece.source, piece.number, lines)
    rolls = _RollsOf(lines)
    soonest = sorted(plan.shares, key=lambda share: (_due(demand, share.need), share.need, share.source))
    for share in soonest:
        found = demand.get(share.need)  # None: kept in stock, for no job
        amount = share.count or whole(Measure.METRES, round(share.length_m, 3))
        for part, source in rolls.split(share.source, amount):
            if found is not None:
                yield found, part, source
    for unmet in plan.unmet:
        if unmet.need in demand:
            line = demand[unmet.need]
            missing = unmet.count if line.kind.measure is Measure.PARTS else unmet.length_m or 0.0
            yield line, whole(line.kind.measure, missing), _Source()


def _due(demand: dict[str, DemandLine], ref: str) -> date:
    return demand[ref].needed_by if ref in demand else date.max


def _source(ref: str, number: int, lines: dict[str, OrderLineRow]) -> _Source:
    if ref in lines:
        return _Source(order_line_id=lines[ref].pk, roll=number)
    where, key, roll = ref.split(":")
    return _Source(holding_id=int(key)) if where == "stock" else _Source(order_line_id=int(key), roll=int(roll))


class _RollsOf:
    """Deals joinable metres out over the rolls of a line, one after the other."""

    def __init__(self, lines: dict[str, OrderLineRow]) -> None:
        self.lines = lines
        self.used: dict[str, int] = {}

    def split(self, ref: str, amount: int) -> Iterator[tuple[int, _Source]]:
        """An amount of a source, by roll."""
        line = self.lines.get(ref)
        if line is None or line.length_mm is None:
            yield amount, _source(ref, 0, self.lines)
            return
        while amount:
            used = self.used.get(ref, 0)
            part = min(amount, line.length_mm - used % line.length_mm)
            yield part, _source(ref, min(used // line.length_mm + 1, line.packs), self.lines)
            self.used[ref] = used + part
            amount -= part
