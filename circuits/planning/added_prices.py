"""What a plan would cost more with something added: asked here, answered by whichever floor above knows prices."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from circuits.plan import Plan
from circuits.sized import SizedPlan


@dataclass(frozen=True, slots=True)
class Added:
    """Money that a change adds before tax, parts and hours; below 0 where it saves."""

    amount: Decimal
    currency: str


Pricer = Callable[[SizedPlan, Plan], Added | None]
"""What the second plan costs more than the first; None where something of it has no price."""

_known: list[Pricer] = []


def answer_by(pricer: Pricer) -> None:
    """Have prices told by ``pricer`` from now on; asked for when the site starts."""
    _known[:] = [pricer]


def added_price(before: SizedPlan, after: Plan) -> Added | None:
    """What the second plan costs more; None where nobody knows."""
    return _known[0](before, after) if _known else None
