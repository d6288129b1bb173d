"""Goods come in: into stock, to those who wait for them; whose kit is complete by that. Entered twice, done once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from django.db import transaction

from estimating.purchasing.lines import lines_with_came
from estimating.purchasing.models import DeliveryLineRow, DeliveryRow, OrderLineRow, OrderRow, ReservationRow
from estimating.purchasing.orders import held
from estimating.purchasing.states import OrderState
from estimating.quotes.rules import RefusedError
from estimating.stock.models import HoldingRow
from estimating.stock.services import Act, take_in

MAX_PACKS = 100_000


@dataclass(frozen=True, slots=True)
class Came:
    """Packs of one line that came; ``price`` of a pack where the supplier asks another than was ordered at."""

    packs: int
    price: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Received:
    """What a delivery brought about.

    Parameters
    ----------
    delivery : DeliveryRow
    is_new : bool
        False where it had been entered before; then nothing was done.
    ready_jobs : tuple of str
        Jobs whose kit is complete by it.
    """

    delivery: DeliveryRow
    is_new: bool
    ready_jobs: tuple[str, ...] = ()


@transaction.atomic
def receive(
    *, order: OrderRow, came: Mapping[int, Came], token: str, by: str, at: datetime, note_number: str = ""
) -> Received:
    """Enters a delivery. More or less than ordered is taken as it is; what is short stays on back-order.

    Parameters
    ----------
    order : OrderRow
    came : mapping of int to Came
        By the key of the order's line.
    token : str
        Of the form; a second delivery of the same token does nothing.
    by : str
    at : datetime
    note_number : str
        Of the supplier's delivery note.

    Raises
    ------
    RefusedError
        For an order that is not with the supplier, a line of another order, or nothing at all.
    """
    order = held(order.pk)
    known = DeliveryRow.objects.filter(token=token).first()
    if known is not None and known.order_id != order.pk:
        raise RefusedError("This form is of a delivery for another order: open the order and enter it there.")
    if known is not None:
        return Received(known, is_new=False)
    _check(order, came)
    delivery = DeliveryRow.objects.create(order=order, token=token, note_number=note_number, came_at=at, by=by)
    jobs: set[str] = set()
    for line in lines_with_came(order):
        each = came.get(line.pk)
        if each is None or not each.packs:
            continue
        DeliveryLineRow.objects.create(delivery=delivery, line=line, packs=each.packs, price=each.price)
        act = Act(by, at, note=order.number, key=f"delivery {delivery.pk} line {line.pk}")
        jobs |= _take_in(line, each.packs, act)
    if all(line.came_packs >= line.packs for line in lines_with_came(order)):
        order.state = OrderState.CLOSED
        order.save(update_fields=["state"])
    return Received(delivery, is_new=True, ready_jobs=tuple(sorted(job for job in jobs if is_complete(job))))


def is_complete(job: str) -> bool:
    """True where all that a job is to get, and has not got, lies in stock."""
    return not ReservationRow.objects.filter(job=job, issued_at=None, holding=None).exists()


def _check(order: OrderRow, came: Mapping[int, Came]) -> None:
    if order.state not in (OrderState.SENT, OrderState.CLOSED):
        raise RefusedError(f"Order {order.number} is {order.state}: goods come in for an order that was sent.")
    foreign = set(came) - set(order.lines.values_list("pk", flat=True))
    if foreign:
        raise RefusedError(f"Order {order.number} has no line {min(foreign)}.")
    if any(not 0 <= each.packs <= MAX_PACKS for each in came.values()):
        raise RefusedError(f"Packs that came: 0 to {MAX_PACKS} are expected.")
    if not any(each.packs for each in came.values()):
        raise RefusedError("Say of at least one line how many packs came.")


def _take_in(line: OrderLineRow, packs: int, act: Act) -> set[str]:
    """Puts packs of a line into stock and hands them to those who wait; the jobs that got some."""
    if line.length_mm is None:
        holding = take_in(material=line.material, amount=packs * line.pack, act=act)
        return _hand_out(line, holding, packs * line.pack)
    jobs: set[str] = set()
    first: int = line.came_packs + 1
    for roll in range(first, first + packs):
        key = f"{act.key} roll {roll}"
        holding = take_in(material=line.material, amount=line.length_mm, act=Act(act.by, act.at, "", act.note, key))
        waiting = ReservationRow.objects.filter(order_line=line, roll=roll)
        jobs |= set(waiting.values_list("job", flat=True))
        waiting.update(holding=holding, order_line=None, roll=0)
    return jobs


def _hand_out(line: OrderLineRow, holding: HoldingRow, amount: int) -> set[str]:
    """Counted parts go to those who wait in the order in which they were reserved; one may get a part of its own."""
    jobs: set[str] = set()
    for waiting in ReservationRow.objects.filter(order_line=line).order_by("pk"):
        if not amount:
            break
        got = min(amount, waiting.amount)
        amount -= got
        jobs.add(waiting.job)
        if got < waiting.amount:
            rest = waiting.amount - got
            ReservationRow.objects.create(
                job=waiting.job,
                kind=waiting.kind,
                circuits=waiting.circuits,
                amount=rest,
                order_line=line,
                needed_by=waiting.needed_by,
            )
        waiting.amount, waiting.holding, waiting.order_line = got, holding, None
        waiting.save()
    return jobs
