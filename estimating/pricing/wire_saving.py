"""What other wires for the same job save, at the prices they sell at."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal

from circuits.sized import SizedWire
from estimating.pricing.book import PriceBook, selling_price
from estimating.pricing.money import QUANTITY_STEP, rounded
from estimating.pricing.quote import Terms
from estimating.takeoff.parts import PartKind
from estimating.takeoff.wires import wire_spec


def wire_saving(
    before: Sequence[SizedWire], after: Sequence[SizedWire], book: PriceBook, terms: Terms
) -> Decimal | None:
    """What fitting ``after`` in place of ``before`` saves, before tax; below 0 where it costs more.

    Parameters
    ----------
    before, after : sequence of SizedWire
    book : PriceBook
    terms : Terms
        For markup and currency.

    Returns
    -------
    Decimal or None
        None where the book has no price for one of them.

    Examples
    --------
    >>> from estimating.pricing.quote import PriceItem
    >>> from estimating.takeoff.example import example_sized_plan
    >>> wires, terms = example_sized_plan().wires[:2], Terms(markup_percent=Decimal(0))
    >>> book = PriceBook([PriceItem("wire", "16 AWG *", "m", Decimal("1.00"))])
    >>> wire_saving(wires, wires[:1], book, terms) == round(Decimal(str(wires[1].wire.length_m)), 2)
    True
    """
    costs = [_cost(wires, book, terms) for wires in (before, after)]
    if costs[0] is None or costs[1] is None:
        return None
    return rounded(costs[0] - costs[1], terms.currency)


def _cost(wires: Iterable[SizedWire], book: PriceBook, terms: Terms) -> Decimal | None:
    total = Decimal(0)
    for wire in wires:
        item = book.find(PartKind.WIRE, wire_spec(wire))
        if item is None:
            return None
        total += Decimal(str(wire.wire.length_m)).quantize(QUANTITY_STEP) * selling_price(item, terms)
    return total
