"""A draft drawn anew: other quantities, or the same ones sent on another day; what it costs and whom it then fails.

Prices, least orders and carriage are those that the order was planned by, kept with it; the verifier of plans checks
the result as it checks a plan.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from estimating.buying.kinds import BuyingError
from estimating.buying.purchase import OrderLine, PurchasePlan, SupplierOrder
from estimating.buying.verify_orders import order_faults
from estimating.buying.week import Offer, Settings, Supplier, Week
from estimating.buying.working_days import arrival
from estimating.purchasing.models import OrderLineRow, OrderRow, ReservationRow
from estimating.purchasing.orders import held, refuse_unless
from estimating.purchasing.rules_store import buying_row, settings_of
from estimating.purchasing.states import OrderState
from estimating.quotes.frozen import from_data
from estimating.quotes.rules import RefusedError
from estimating.stock.kinds import in_words


@dataclass(frozen=True, slots=True)
class Failed:
    """Something that a job would no longer get in time.

    Parameters
    ----------
    reservation : int
        Its key.
    job, what : str
    amount : int
        Pieces or millimetres that it would not get, or not in time.
    says : str
        The amount, for people.
    needed_by : date
    comes_on : date or None
        None where it would not come at all.
    """

    reservation: int
    job: str
    what: str
    amount: int
    says: str
    needed_by: date | None
    comes_on: date | None


@dataclass(frozen=True, slots=True)
class Redraft:
    """An order drawn anew. ``lines`` are by the key of the order's line; those of no packs are left out."""

    order: SupplierOrder
    lines: dict[int, OrderLine]
    failed: tuple[Failed, ...]


def redraft(order: OrderRow, packs: Mapping[int, int], today: date) -> Redraft:
    """An order with other packs, or the same ones, sent on ``today``. Three queries.

    Parameters
    ----------
    order : OrderRow
    packs : mapping of int to int
        By the key of the order's line; 0 takes the line out. Lines left out stay as they are.
    today : date
        Day it would go out.

    Raises
    ------
    RefusedError
        For a number of packs that is not sold, an order that the supplier would not take, or one of nothing.
    """
    rows = list(order.lines.select_related("material").order_by("pk"))
    supplier = from_data(Supplier, order.terms)
    settings = settings_of(buying_row(), order.currency)
    offers = {row.pk: from_data(Offer, row.offered) for row in rows}
    lines = {}
    for row in rows:
        wanted = packs.get(row.pk, row.packs)
        if wanted:
            _refuse_unsold(row, offers[row.pk], wanted)
            price = offers[row.pk].price_at(wanted)
            comes = arrival(today, offers[row.pk].lead_days, settings)
            lines[row.pk] = OrderLine(offers[row.pk].ref, offers[row.pk].kind, wanted, price, wanted * price, comes)
    if not lines:
        raise RefusedError("Nothing would be left of the order: withdraw it instead.")
    drawn = _supplier_order(supplier, tuple(lines.values()), order.currency)
    _verify(drawn, rows, tuple(offers.values()), supplier, settings, today)
    return Redraft(drawn, lines, tuple(_failed(rows, lines)))


@transaction.atomic
def change_packs(*, order: OrderRow, packs: Mapping[int, int], at: datetime) -> Redraft:
    """Orders other quantities than planned, while the order is in draft; whom it fails is missing something then.

    Parameters
    ----------
    order : OrderRow
    packs : mapping of int to int
        By the key of the order's line; 0 takes the line out.
    at : datetime

    Raises
    ------
    RefusedError
    """
    order = held(order.pk)
    refuse_unless(order, OrderState.DRAFT, "changed")
    drawn = redraft(order, packs, timezone.localdate(at))
    _let_go(drawn)
    _store(order, drawn)
    order.lines.exclude(pk__in=drawn.lines).delete()
    return drawn


@transaction.atomic
def send_order(*, order: OrderRow, by: str, at: datetime) -> None:
    """The order goes out, with the days on which it comes from today on; it is never changed afterwards.

    Raises
    ------
    RefusedError
        For one that is not in draft.
    """
    order = held(order.pk)
    refuse_unless(order, OrderState.DRAFT, "sent")
    _store(order, redraft(order, {}, timezone.localdate(at)))
    order.state, order.sent_at, order.sent_by = OrderState.SENT, at, by
    order.save(update_fields=["state", "sent_at", "sent_by"])


def _refuse_unsold(row: OrderLineRow, offer: Offer, packs: int) -> None:
    if packs < offer.least_packs or packs % offer.multiple:
        step = f", in multiples of {offer.multiple}" if offer.multiple > 1 else ""
        raise RefusedError(f"{row.material}: {offer.least_packs} packs or more are sold{step}, got {packs}.")


def _supplier_order(supplier: Supplier, lines: tuple[OrderLine, ...], currency: str) -> SupplierOrder:
    goods = sum((line.net for line in lines), Decimal(0))
    if goods < supplier.min_order:
        raise RefusedError(
            f"{supplier.name} takes no order below {supplier.min_order} {currency}: this would be {goods}."
        )
    is_free = supplier.carriage_free_from is not None and goods >= supplier.carriage_free_from
    carriage = Decimal(0) if is_free else supplier.carriage
    return SupplierOrder(supplier.name, lines, goods, carriage, goods + carriage)


def _verify(
    drawn: SupplierOrder,
    rows: list[OrderLineRow],
    offers: tuple[Offer, ...],
    supplier: Supplier,
    settings: Settings,
    today: date,
) -> None:
    """The checks that every plan has to pass, here on one order."""
    kinds = {row.material.key: row.material.value() for row in rows}
    week = Week(today, tuple(kinds.values()), (), offers, (supplier,), settings=settings)
    plan = PurchasePlan(
        orders=(drawn,), pieces=(), shares=(), unmet=(), goods=drawn.goods, carriage=drawn.carriage, cost=drawn.total,
        lower_bound=Decimal(0), gap=0.0, is_proven=False, rounds=0,
    )  # fmt: skip
    if faults := list(order_faults(week, plan)):
        raise BuyingError("; ".join(faults))


def _failed(rows: list[OrderLineRow], lines: Mapping[int, OrderLine]) -> Iterator[Failed]:
    """Whom the lines fail: the later their date, the sooner they go without."""
    by_line: dict[int, list[ReservationRow]] = {row.pk: [] for row in rows}
    for waiting in ReservationRow.objects.filter(order_line__in=by_line).order_by("needed_by", "pk"):
        assert waiting.order_line_id is not None
        by_line[waiting.order_line_id].append(waiting)
    for row in rows:
        line = lines.get(row.pk)
        left = line.packs * row.pack if line else 0
        for waiting in by_line[row.pk]:
            if waiting.roll:
                got = waiting.amount if line and waiting.roll <= line.packs else 0
            else:
                got = min(waiting.amount, left)
                left -= got
            if got < waiting.amount:
                yield _fails(waiting, row, waiting.amount - got, None)
            if got and line and waiting.needed_by and line.arrives > waiting.needed_by:
                yield _fails(waiting, row, got, line.arrives)


def _fails(waiting: ReservationRow, row: OrderLineRow, amount: int, comes_on: date | None) -> Failed:
    says = in_words(row.material.measure, amount)
    what = f"{waiting.kind}, {waiting.cut}" if waiting.cut else waiting.kind
    return Failed(waiting.pk, waiting.job, what, amount, says, waiting.needed_by, comes_on)


def _let_go(drawn: Redraft) -> None:
    """What no longer comes at all is missing: it comes from nowhere yet."""
    for fails in drawn.failed:
        if fails.comes_on is not None:
            continue
        row = ReservationRow.objects.get(pk=fails.reservation)
        if fails.amount < row.amount:
            rest = ReservationRow(
                job=row.job, kind=row.kind, circuits=row.circuits, amount=fails.amount, needed_by=row.needed_by
            )
            rest.save()
            row.amount -= fails.amount
            row.save(update_fields=["amount"])
        else:
            row.order_line, row.roll = None, 0
            row.save(update_fields=["order_line", "roll"])


def _store(order: OrderRow, drawn: Redraft) -> None:
    for key, line in drawn.lines.items():
        OrderLineRow.objects.filter(pk=key).update(
            packs=line.packs, price=line.price, net=line.net, arrives=line.arrives
        )
    order.goods, order.carriage = drawn.order.goods, drawn.order.carriage
    order.save(update_fields=["goods", "carriage"])
