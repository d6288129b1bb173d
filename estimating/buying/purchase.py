"""What to order and what to cut from what: the answer, as frozen values."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One line of an order: ``net`` = ``packs × price``."""

    offer: str
    kind: str
    packs: int
    price: Decimal
    net: Decimal
    arrives: date


@dataclass(frozen=True, slots=True)
class SupplierOrder:
    """What is ordered from one supplier: ``total`` = ``goods + carriage``."""

    supplier: str
    lines: tuple[OrderLine, ...]
    goods: Decimal
    carriage: Decimal
    total: Decimal


@dataclass(frozen=True, slots=True)
class Cut:
    """One cut: the ``number``-th piece of a need, counted from 1."""

    need: str
    number: int
    length_m: float


@dataclass(frozen=True, slots=True)
class CutPiece:
    """One roll or offcut with what is cut from it.

    Parameters
    ----------
    source : str
        Reference of the stock, or of the offer where it is yet to arrive.
    number : int
        Which roll of that offer, from 1; 0 for stock.
    kind : str
    length_m : float
        Before cutting [m].
    cuts : tuple of Cut
        Longest first.
    left_m : float
        What remains, blade loss taken off [m].
    is_scrap : bool
        True where the rest is shorter than the shop's least useful offcut.
    """

    source: str
    number: int
    kind: str
    length_m: float
    cuts: tuple[Cut, ...]
    left_m: float
    is_scrap: bool


@dataclass(frozen=True, slots=True)
class Share:
    """Counted parts, or metres that may be joined, that a need gets from a source; one of the two is set."""

    need: str
    source: str
    count: int = 0
    length_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Remedy:
    """One way to meet what is not met.

    Parameters
    ----------
    text : str
        For people.
    move_days : int
        Calendar days by which the date would move; 0 where it may stay.
    new_date : date or None
    kind : str
        Kind that would stand in; empty where none does.
    extra_cost : Decimal or None
        What the material would cost at most, carriage apart; None where nobody offers it.
    """

    text: str
    move_days: int = 0
    new_date: date | None = None
    kind: str = ""
    extra_cost: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Unmet:
    """A need, or the part of one, that nothing can meet in time; ``remedies`` cheapest first."""

    need: str
    kind: str
    needed_by: date
    count: int
    length_m: float | None
    reason: str
    remedies: tuple[Remedy, ...]


@dataclass(frozen=True, slots=True)
class PurchasePlan:
    """What to order, and which cut comes from which piece.

    Parameters
    ----------
    orders : tuple of SupplierOrder
    pieces : tuple of CutPiece
        Every piece that is cut, and every roll that is bought.
    shares : tuple of Share
    unmet : tuple of Unmet
        Empty where everything is met in time.
    goods, carriage, cost : Decimal
        ``cost`` = ``goods + carriage``.
    lower_bound : Decimal
        No plan that meets the same needs costs less.
    gap : float
        ``(cost - lower_bound) / cost``; 0 where proven.
    is_proven : bool
        True where no cheaper plan exists.
    rounds : int
        How often the whole order was worked out anew.
    """

    orders: tuple[SupplierOrder, ...]
    pieces: tuple[CutPiece, ...]
    shares: tuple[Share, ...]
    unmet: tuple[Unmet, ...]
    goods: Decimal
    carriage: Decimal
    cost: Decimal
    lower_bound: Decimal
    gap: float
    is_proven: bool
    rounds: int = 0
