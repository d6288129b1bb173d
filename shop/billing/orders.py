"""What an invoice is asked to claim, as values."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from estimating.pricing.quote import LineClass


class What(StrEnum):
    """What an invoice claims."""

    DEPOSIT = "deposit"
    PART = "part"
    REST = "rest"
    WORK = "work"
    WORK_REST = "work_rest"

    @property
    def words(self) -> str:
        """As people say it.

        Examples
        --------
        >>> What.DEPOSIT.words
        'Deposit on the agreed price'
        """
        return _WORDS[self]

    @property
    def is_agreed(self) -> bool:
        """True where the agreed price is charged, not hours and parts."""
        return self in (What.DEPOSIT, What.PART, What.REST)


_WORDS = {
    What.DEPOSIT: "Deposit on the agreed price",
    What.PART: "Part of the agreed price",
    What.REST: "Rest of the agreed price, deposits credited",
    What.WORK: "Hours and parts not invoiced yet",
    What.WORK_REST: "Hours and parts not invoiced yet, deposits credited: the last invoice",
}


@dataclass(frozen=True, slots=True)
class TypedLine:
    """A line typed by hand.

    Parameters
    ----------
    text : str
    line_class : LineClass
        Its tax goes by it.
    quantity : Decimal
        Not 0; negative takes something off.
    unit : str
    unit_price : Decimal
        Net.
    """

    text: str
    line_class: LineClass
    quantity: Decimal
    unit: str
    unit_price: Decimal


@dataclass(frozen=True, slots=True)
class Order:
    """What is to be invoiced.

    Parameters
    ----------
    what : What
    amount : Decimal or None
        With tax, for a deposit or part; None = the deposit as agreed.
    lines : tuple of TypedLine
        More work, beside hours booked; only where work is charged.
    with_parts : bool
        True = the parts that have not been invoiced yet: those given out, less returns; those of today's plan where
        stock was never given out.
    days : int
        To pay in, 0 or more.
    note : str
    """

    what: What
    amount: Decimal | None = None
    lines: tuple[TypedLine, ...] = ()
    with_parts: bool = False
    days: int = 14
    note: str = ""
