"""Lines of an order with what came of them."""

from __future__ import annotations

from django.db.models import Sum
from django.db.models.functions import Coalesce

from estimating.purchasing.models import OrderLineRow, OrderRow
from estimating.purchasing.states import UNDER_WAY


def lines_with_came(order: OrderRow) -> list[OrderLineRow]:
    """Lines of an order, each with ``came_packs``. One query."""
    lines = order.lines.annotate(came_packs=Coalesce(Sum("came__packs"), 0))  # type: ignore[no-redef]
    return list(lines.select_related("material").order_by("pk"))


def lines_under_way() -> list[OrderLineRow]:
    """Lines of orders whose goods are still counted on, each with ``came_packs``. One query."""
    rows = OrderLineRow.objects.filter(order__state__in=UNDER_WAY)
    lines = rows.annotate(came_packs=Coalesce(Sum("came__packs"), 0))  # type: ignore[no-redef]
    return list(lines.select_related("material", "order").order_by("pk"))
