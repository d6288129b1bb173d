"""Aged balances: what customers owe, by how long it has been due."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from django.db.models import Q, Sum

from estimating.pricing.money import rounded
from shop.billing.models import Account, Balance

BUCKETS = ("not due yet", "1 to 30 days", "31 to 60 days", "61 to 90 days", "over 90 days")
"""Common practice, no source."""

_EDGES = (0, 30, 60, 90)


@dataclass(frozen=True, slots=True)
class Aged:
    """What one customer owes in one currency, by bucket."""

    customer: str
    currency: str
    amounts: tuple[Decimal, ...]
    customer_id: int = 0

    @property
    def total(self) -> Decimal:
        """All of it."""
        return sum(self.amounts, Decimal(0))


def bucket_of(due_on: date, today: date) -> int:
    """Index in ``BUCKETS`` of an invoice due on ``due_on``.

    Examples
    --------
    >>> today = date(2031, 5, 31)
    >>> [bucket_of(today - timedelta(days=late), today) for late in (0, 1, 30, 31, 90, 91)]
    [0, 1, 1, 2, 3, 4]
    """
    late = (today - due_on).days
    return sum(late > edge for edge in _EDGES)


def aged_balances(today: date) -> tuple[Aged, ...]:
    """Open invoices by customer and bucket, largest debt first. One query."""
    names = [f"bucket_{index}" for index in range(len(BUCKETS))]
    sums = {name: Sum("open", filter=_within(index, today)) for index, name in enumerate(names)}
    keys = ("document__job__customer", "document__job__customer__name", "document__currency")
    rows = Balance.objects.filter(open__gt=0).values(*keys).annotate(**sums)
    found = [
        Aged(
            row[keys[1]],
            row[keys[2]],
            tuple(rounded(row[name] or Decimal(0), row[keys[2]]) for name in names),
            row[keys[0]],
        )
        for row in rows
    ]
    return tuple(sorted(found, key=lambda aged: (aged.currency, -aged.total, aged.customer)))


def totals(aged: Sequence[Aged]) -> tuple[Aged, ...]:
    """All customers together, by currency.

    Examples
    --------
    >>> one = Aged("Ada", "EUR", tuple(map(Decimal, (1, 2, 0, 0, 0))))
    >>> totals([one, one])[0].total
    Decimal('6')
    """
    sums: dict[str, tuple[Decimal, ...]] = {}
    for one in aged:
        before = sums.get(one.currency, (Decimal(0),) * len(BUCKETS))
        sums[one.currency] = tuple(a + b for a, b in zip(before, one.amounts, strict=True))
    return tuple(Aged("All customers", currency, amounts) for currency, amounts in sums.items())


def held_for_customers() -> tuple[tuple[str, Decimal], ...]:
    """Customers' money that no invoice asks for, by currency. One query."""
    rows = Account.objects.filter(held__gt=0).values_list("currency").annotate(Sum("held")).order_by("currency")
    return tuple((currency, rounded(held, currency)) for currency, held in rows)


def _within(index: int, today: date) -> Q:
    """Due in the bucket of that index."""
    bounds = Q()
    if index < len(_EDGES):
        bounds &= Q(document__due_on__gte=today - timedelta(days=_EDGES[index]))
    if index:
        bounds &= Q(document__due_on__lt=today - timedelta(days=_EDGES[index - 1]))
    return bounds
