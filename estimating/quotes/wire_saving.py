"""Tells the loom page what a detour saves, at the shop's prices."""

from __future__ import annotations

from collections.abc import Sequence

from circuits.planning.wire_prices import Saving, Swap
from estimating.pricing.wire_saving import wire_saving
from estimating.quotes.store import shop_rules


def at_shop_prices(swaps: Sequence[Swap]) -> list[Saving | None]:
    """What each swap of wires saves; None where one of them has no price."""
    rules = shop_rules()
    amounts = (wire_saving(before, after, rules.book, rules.terms) for before, after in swaps)
    return [None if amount is None else Saving(amount, rules.terms.currency) for amount in amounts]
