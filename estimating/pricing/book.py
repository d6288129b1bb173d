"""The price book: finds the row for a part, and the price it sells at."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from circuits.errors import PlanError
from estimating.pricing.money import rounded_unit_price
from estimating.pricing.quote import PriceItem, Terms
from estimating.takeoff.parts import PartKind

WILDCARD = "*"

SAME_GOODS: dict[str, str] = {PartKind.REPAIR_LENGTH: PartKind.WIRE}
"""Kinds that are bought as another kind, where the book has no row of their own."""


class PriceBook:
    """Rows of the price book, found at once whatever their number.

    An exact spec wins over a prefix (``14 AWG *``), a longer prefix over a shorter one.

    Parameters
    ----------
    items : iterable of PriceItem
        Kind and spec together are unique; PlanError otherwise.

    Examples
    --------
    >>> book = PriceBook([PriceItem("wire", "14 AWG *", "m", Decimal("0.60"))])
    >>> book.find("wire", "14 AWG RD/BK").cost
    Decimal('0.60')
    >>> book.find("wire", "16 AWG RD") is None
    True
    """

    __slots__ = ("_exact", "_lengths", "_prefixes", "items")

    def __init__(self, items: Iterable[PriceItem] = ()) -> None:
        self.items = tuple(items)
        self._exact: dict[tuple[str, str], PriceItem] = {}
        self._prefixes: dict[tuple[str, str], PriceItem] = {}
        for item in self.items:
            is_prefix = item.spec.endswith(WILDCARD)
            table = self._prefixes if is_prefix else self._exact
            key = (item.kind, item.spec.removesuffix(WILDCARD) if is_prefix else item.spec)
            if key in table:
                raise PlanError(f"price book: {item.kind} {item.spec} has two rows")
            table[key] = item
        by_kind: dict[str, set[int]] = {}
        for kind, prefix in self._prefixes:
            by_kind.setdefault(kind, set()).add(len(prefix))
        self._lengths = {kind: sorted(lengths, reverse=True) for kind, lengths in by_kind.items()}

    def __eq__(self, other: object) -> bool:
        return isinstance(other, PriceBook) and self.items == other.items

    def __hash__(self) -> int:
        return hash(self.items)

    def __len__(self) -> int:
        return len(self.items)

    def find(self, kind: str, spec: str) -> PriceItem | None:
        """The row for a part, by its kind and spec; None where the book has none."""
        if item := self._exact.get((kind, spec)):
            return item
        for length in self._lengths.get(kind, ()):
            if item := self._prefixes.get((kind, spec[:length])):
                return item
        return self.find(SAME_GOODS[kind], spec) if kind in SAME_GOODS else None


def selling_price(item: PriceItem, terms: Terms) -> Decimal:
    """What one unit sells at: the row's price, else its cost plus its markup, else plus the shop's markup.

    Examples
    --------
    >>> selling_price(PriceItem("clip", "6 mm", "piece", Decimal("0.50")), Terms(markup_percent=Decimal(30)))
    Decimal('0.65')
    """
    if item.price is not None:
        return rounded_unit_price(item.price, terms.currency)
    markup = terms.markup_percent if item.markup_percent is None else item.markup_percent
    return rounded_unit_price(item.cost * (100 + markup) / 100, terms.currency)
