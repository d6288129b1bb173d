"""A customer's account on one job: what of each invoice is still open, and what the shop holds for the customer.

Pure replay of everything that was issued, paid and paid back, in its order. No cent is made or lost:
claims - credits - payments + refunds = open - held, after every step.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum

from circuits.errors import PlanError

ZERO = Decimal(0)


class Act(StrEnum):
    """What can happen to an account."""

    INVOICE = "invoice"
    CREDIT = "credit"
    PAYMENT = "payment"
    REFUND = "refund"


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing that happened.

    Parameters
    ----------
    act : Act
    amount : Decimal
        What an invoice claims (negative: in the customer's favour), what a credit note gives back, or what was paid.
    invoice : str
        Number of the invoice issued, credited, or paid; a payment may name none.
    """

    act: Act
    amount: Decimal
    invoice: str = ""


@dataclass
class Account:
    """Where an account stands.

    ``open`` is what of each invoice, by number in order of issue, is still to be paid; ``held`` is the customer's money
    that no invoice asks for: it pays the next invoice, or is paid back.

    Examples
    --------
    >>> account = Account()
    >>> account.enter(Entry(Act.INVOICE, Decimal(100), "I-1")); account.enter(Entry(Act.PAYMENT, Decimal(130), "I-1"))
    >>> account.open["I-1"], account.held
    (Decimal('0'), Decimal('30'))
    >>> account.enter(Entry(Act.REFUND, Decimal(30))); account.held
    Decimal('0')
    """

    open: dict[str, Decimal] = field(default_factory=dict)
    held: Decimal = ZERO

    @property
    def due(self) -> Decimal:
        """All that is still to be paid."""
        return sum(self.open.values(), ZERO)

    def enter(self, entry: Entry) -> None:
        """Takes one entry in.

        Raises
        ------
        PlanError
            For a payment or refund that is not above 0, a refund of more than is held, or an unknown invoice.
        """
        match entry.act:
            case Act.INVOICE:
                self.open[entry.invoice] = max(entry.amount, ZERO)
                self.held += max(-entry.amount, ZERO)
            case Act.CREDIT:
                self._credit(self._known(entry), entry.amount)
            case Act.PAYMENT:
                if entry.amount <= 0:
                    raise PlanError(f"a payment must be above 0, got {entry.amount}")
                self.held += entry.amount
                if entry.invoice:
                    self._pay(self._known(entry))
            case Act.REFUND:
                if not 0 < entry.amount <= self.held:
                    raise PlanError(f"{self.held} can be paid back, not {entry.amount}")
                self.held -= entry.amount
                return
        for number in self.open:
            self._pay(number)

    def _known(self, entry: Entry) -> str:
        if entry.invoice not in self.open:
            raise PlanError(f"there is no invoice {entry.invoice} on this account")
        return entry.invoice

    def _credit(self, number: str, amount: Decimal) -> None:
        """A credit first lowers what is open; what was paid already is held for the customer.

        A negative one takes back what an invoice in the customer's favour gave: from what is held, else it is owed.
        """
        if amount >= 0:
            off = min(amount, self.open[number])
            self.open[number] -= off
            self.held += amount - off
        else:
            taken = min(-amount, self.held)
            self.held -= taken
            self.open[number] += -amount - taken

    def _pay(self, number: str) -> None:
        paid = min(self.held, self.open[number])
        self.open[number] -= paid
        self.held -= paid


def replay(entries: Iterable[Entry]) -> Account:
    """The account after all entries, in their order.

    Examples
    --------
    >>> replay([Entry(Act.INVOICE, Decimal(100), "I-1"), Entry(Act.PAYMENT, Decimal(40), "I-1")]).due
    Decimal('60')
    """
    account = Account()
    for entry in entries:
        account.enter(entry)
    return account
