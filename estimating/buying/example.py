"""A small invented week, for the examples in docstrings and for the help."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from estimating.buying.kinds import Kind, Measure
from estimating.buying.week import Need, Offer, PriceBreak, StockPiece, Supplier, Week


def example_week() -> Week:
    """Five cuts of one wire and six relays, two suppliers, one offcut.

    Examples
    --------
    >>> len(example_week().needs)
    6
    """
    wire, due = "wire 14 AWG RD", date(2026, 3, 9)
    lengths = (6.0, 4.5, 3.5, 2.5, 1.5)
    cuts = tuple(Need(f"cut {n}", wire, due, 1, length, "J1", "horn") for n, length in enumerate(lengths, 1))
    return Week(
        today=date(2026, 3, 2),
        kinds=(Kind(wire, Measure.CUTS, 2.08, 125, "RD"), Kind("relay")),
        needs=(*cuts, Need("relays", "relay", due, 6, job="J1", circuit="horn")),
        offers=(
            Offer("north 10 m", "North", wire, (PriceBreak(1, Decimal("9.50")),), 10.0),
            Offer("south 25 m", "South", wire, (PriceBreak(1, Decimal("21.00")),), 25.0, lead_days=2),
            Offer("north relay", "North", "relay", (PriceBreak(1, Decimal("4.20")), PriceBreak(5, Decimal("3.80")))),
        ),
        suppliers=(
            Supplier("North", carriage=Decimal("6.00"), carriage_free_from=Decimal(60)),
            Supplier("South", min_order=Decimal(20), carriage=Decimal("8.00")),
        ),
        stock=(StockPiece("offcut 7", wire, 8.0),),
    )
