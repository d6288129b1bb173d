"""What can happen to an order, but changing and sending it, and deliveries. Each is one transaction that holds it."""

from __future__ import annotations

from django.db import transaction

from estimating.purchasing.models import OrderRow, ReservationRow
from estimating.purchasing.states import OrderState
from estimating.quotes.rules import RefusedError


def held(order_id: int) -> OrderRow:
    """The order's row, locked until the transaction ends."""
    return OrderRow.objects.select_for_update().get(pk=order_id)


@transaction.atomic
def write_note(*, order: OrderRow, note: str) -> None:
    """A few words to the supplier, while the order is in draft.

    Raises
    ------
    RefusedError
    """
    order = held(order.pk)
    refuse_unless(order, OrderState.DRAFT, "changed")
    order.note = note.strip()
    order.full_clean()
    order.save(update_fields=["note"])


@transaction.atomic
def withdraw_order(*, order: OrderRow) -> None:
    """An order that was never sent is put aside; what was reserved from it is missing again.

    Raises
    ------
    RefusedError
        For one that is not in draft.
    """
    order = held(order.pk)
    refuse_unless(order, OrderState.DRAFT, "withdrawn")
    order.state = OrderState.WITHDRAWN
    order.save(update_fields=["state"])
    _nothing_comes(order)


@transaction.atomic
def close_order(*, order: OrderRow) -> None:
    """No more comes of this order; what was reserved from it and has not come is missing again.

    Raises
    ------
    RefusedError
        For one that is not with the supplier.
    """
    order = held(order.pk)
    refuse_unless(order, OrderState.SENT, "closed")
    order.state = OrderState.CLOSED
    order.save(update_fields=["state"])
    _nothing_comes(order)


def _nothing_comes(order: OrderRow) -> None:
    ReservationRow.objects.filter(order_line__order=order).update(order_line=None, roll=0)


def refuse_unless(order: OrderRow, state: OrderState, act: str) -> None:
    """Refuses an act on an order that is in another state."""
    if order.state != state:
        raise RefusedError(f"Order {order.number} is {order.state}: only one that is {state} can be {act}.")
