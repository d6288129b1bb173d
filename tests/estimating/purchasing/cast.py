"""Who and what the tests of buying are about: small plans, two suppliers, everything invented."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal

from circuits.plan import Plan
from circuits.planning.models import PlanRow
from circuits.planning.store import create_plan
from estimating.buying.purchase import PurchasePlan
from estimating.buying.week import PriceBreak
from estimating.purchasing.demand import JobAhead
from estimating.purchasing.models import OfferRow, OrderRow, RunRow, SupplierRow
from estimating.purchasing.offers import save_offer
from estimating.purchasing.placing import place_orders
from estimating.purchasing.record import read_plan
from estimating.purchasing.redraft import send_order
from estimating.purchasing.running import start_run, work_off
from estimating.purchasing.week_store import demand_of
from estimating.stock.models import MaterialRow
from estimating.stock.services import Act, material_named
from estimating.takeoff.parts import PartKind
from tests.estimating.quotes import cast as quotes_cast

__all__ = ["JobAhead", "material_named", "place_orders", "send_order", "start_run"]

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)  # a Monday
TODAY = NOON.date()
START = date(2026, 3, 12)
ACT = Act("Ada", NOON)
PLAN = quotes_cast.PLAN
LENGTHS = (PartKind.COVERING, PartKind.TAPE, PartKind.HEAT_SHRINK)


def plan_row(title: str = "Heron estate", plan: Plan = PLAN) -> PlanRow:
    return create_plan(title=title, plan=plan, by="Ada")


def job(ref: str, plan: PlanRow | None = None, starts_on: date = START) -> JobAhead:
    row = plan or plan_row(ref)
    return JobAhead(ref, "Rewire", row.pk, starts_on)


def supplier(name: str, **terms: object) -> SupplierRow:
    return SupplierRow.objects.create(name=name, **terms)


def offer(
    seller: SupplierRow, material: MaterialRow, price: str, size: int, *, lead_days: int = 2, breaks: tuple = ()
) -> OfferRow:
    """``size`` is metres of a roll, or pieces in a pack."""
    row = OfferRow(supplier=seller, lead_days=lead_days)
    length_mm = size * 1000 if material.is_length else None
    prices = (PriceBreak(1, Decimal(price)), *breaks)
    return save_offer(offer=row, material=material, length_mm=length_mm, pack=1 if length_mm else size, breaks=prices)


def sell_everything(jobs: tuple[JobAhead, ...], seller: SupplierRow, *, wire_seller: SupplierRow | None = None) -> None:
    """Offers of all that the jobs need: wire by ``wire_seller``, the rest by ``seller``."""
    for line in {line.kind.key: line for line in demand_of(jobs)}.values():
        material = material_named(line.part_kind, line.spec, int(line.kind.insulation_c or 0))
        is_wire = material.kind == PartKind.WIRE
        by = wire_seller or seller if is_wire else seller
        offer(by, material, "12.50" if is_wire else "3.00", 25 if is_wire else 10)


def planned(*jobs: JobAhead, **options: bool) -> RunRow:
    """A run of today's that is over, worked off here."""
    run = start_run(jobs=jobs, today=TODAY, by="Ada", at=NOON, **options)
    work_off(run.pk)
    run.refresh_from_db()
    return run


def ordered(*jobs: JobAhead) -> tuple[OrderRow, ...]:
    """Orders for the jobs, sent."""
    orders = place_orders(run=planned(*jobs), by="Ada", at=NOON)
    for order in orders:
        send_order(order=order, by="Ada", at=NOON)
        order.refresh_from_db()
    return orders


def version(plan_id: int) -> int:
    """Of a plan as it stands."""
    return PlanRow.objects.values_list("version", flat=True).get(pk=plan_id)


def plan_of(run: RunRow) -> PurchasePlan:
    """What a run found."""
    assert run.result is not None, run.fault
    return read_plan(run.result["plan"])
