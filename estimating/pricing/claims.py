"""What an invoice or credit note claims: a share of the agreed price, the rest of it, or part of an invoice back.

Every document obeys ``invoice.totals_of`` by itself, so its tax is exact. Rounded tax of shares does not always add up
to the rounded tax of the whole; the last document therefore carries the odd cent as its rounding amount, so that all
documents together claim the agreed price and not a cent more or less.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from circuits.errors import PlanError
from estimating.pricing.invoice import ZERO, InvoiceLine, Totals, lot, nets_by_rate, totals_of
from estimating.pricing.money import rounded

SHARE = "share"
LESS = "less:"


@dataclass(frozen=True, slots=True)
class Claim:
    """Lines and their sums."""

    lines: tuple[InvoiceLine, ...]
    totals: Totals


@dataclass(frozen=True, slots=True)
class Remaining:
    """What of an issued invoice has not been credited.

    Parameters
    ----------
    number : str
    words : str
        As a later invoice names it.
    taxable : tuple of (Decimal, Decimal)
        Tax rate [%] and net.
    payable : Decimal
        With tax and rounding.
    """

    number: str
    words: str
    taxable: tuple[tuple[Decimal, Decimal], ...]
    payable: Decimal

    @property
    def is_nothing(self) -> bool:
        """True where all of it has been credited."""
        return self.payable == 0 and all(net == 0 for _, net in self.taxable)


def whole(lines: Sequence[InvoiceLine], currency: str) -> Claim:
    """A document of just these lines.

    Examples
    --------
    >>> whole([lot("horn", Decimal(10), Decimal(20), "EUR")], "EUR").totals.due
    Decimal('12.00')
    """
    return Claim(tuple(lines), totals_of(lines, currency))


def share(agreed: Sequence[InvoiceLine], agreed_payable: Decimal, amount: Decimal, words: str, currency: str) -> Claim:
    """A deposit or part of an agreed price: one line per tax rate, together exactly ``amount`` with tax.

    Parameters
    ----------
    agreed : sequence of InvoiceLine
        All that has been agreed.
    agreed_payable : Decimal
        Its sum with tax; not 0.
    amount : Decimal
        To be claimed, with tax.
    words : str
        What the lines say; the tax rate is added where there are several.
    currency : str

    Raises
    ------
    PlanError
        Where nothing has been agreed.

    Examples
    --------
    >>> agreed = [lot("a", Decimal("100.01"), Decimal(20), "EUR"), lot("b", Decimal("50.00"), Decimal(5), "EUR")]
    >>> claim = share(agreed, Decimal("172.51"), Decimal("51.75"), "Deposit", "EUR")
    >>> [line.net for line in claim.lines], claim.totals.due
    ([Decimal('30.00'), Decimal('15.00')], Decimal('51.75'))
    """
    if agreed_payable == 0:
        raise PlanError("nothing has been agreed that a share could be taken of")
    nets = {rate: net for rate, net in nets_by_rate(agreed).items() if net}
    lines = tuple(
        lot(
            words if len(nets) == 1 else f"{words}, part taxed at {rate.normalize():f} %",
            net * amount / agreed_payable,
            rate,
            currency,
            origin=SHARE,
        )
        for rate, net in nets.items()
    )
    return _claiming(lines, amount, currency)


def rest(work: Sequence[InvoiceLine], work_payable: Decimal, earlier: Sequence[Remaining], currency: str) -> Claim:
    """The work as a whole, less what earlier invoices claimed for it, rate by rate.

    Parameters
    ----------
    work : sequence of InvoiceLine
    work_payable : Decimal
        What the work costs with tax: the claims of this and all earlier documents add up to it.
    earlier : sequence of Remaining
        Deposits and parts invoiced before, less their credit notes.
    currency : str

    Examples
    --------
    >>> work = [lot("rewire", Decimal("100.00"), Decimal(20), "EUR")]
    >>> deposit = Remaining("I-2031-001", "deposit I-2031-001", ((Decimal(20), Decimal("30.00")),), Decimal("36.00"))
    >>> claim = rest(work, Decimal("120.00"), [deposit], "EUR")
    >>> claim.lines[1].text, claim.lines[1].net, claim.totals.due
    ('Less deposit I-2031-001', Decimal('-30.00'), Decimal('84.00'))
    """
    less = tuple(
        lot(
            f"Less {before.words}" + (f", part taxed at {rate.normalize():f} %" if len(before.taxable) > 1 else ""),
            -net,
            rate,
            currency,
            origin=f"{LESS}{before.number}",
        )
        for before in earlier
        for rate, net in before.taxable
        if net
    )
    wanted = work_payable - sum((before.payable for before in earlier), ZERO)
    return _claiming((*work, *less), wanted, currency)


def credit(remaining: Remaining, nets: Mapping[Decimal, Decimal], words: str, currency: str) -> Claim:
    """A credit note on an invoice: lines with the amounts given back, as positive figures.

    Parameters
    ----------
    remaining : Remaining
        Of the invoice, before this note.
    nets : mapping of Decimal to Decimal
        Net to be given back by tax rate; of the sign of what remains, and not more.
    words : str
        Why.
    currency : str

    Raises
    ------
    PlanError
        For a rate that the invoice does not have, an amount beyond what remains, or no amount at all.

    Notes
    -----
    A note that takes the last of every rate gives back the last cent too; none gives back more than remains.

    Examples
    --------
    >>> left = Remaining("I-2031-001", "", ((Decimal(20), Decimal("30.00")),), Decimal("36.00"))
    >>> credit(left, {Decimal(20): Decimal("10.00")}, "Horn not fitted", "EUR").totals.payable
    Decimal('12.00')
    """
    left = dict(remaining.taxable)
    for rate, net in nets.items():
        most = left.get(rate, ZERO)
        if not min(ZERO, most) <= net <= max(ZERO, most):
            raise PlanError(f"at {rate.normalize():f} % tax, {most} net remain to be credited, not {net}")
    lines = tuple(lot(words, net, rate, currency, origin=SHARE) for rate, net in nets.items() if rounded(net, currency))
    is_all = all(rounded(nets.get(rate, ZERO), currency) == net for rate, net in left.items())
    if not lines and not (is_all and remaining.payable):
        raise PlanError("say what is credited: every amount is 0")
    if is_all:
        return _claiming(lines, remaining.payable, currency)
    claimed = totals_of(lines, currency).total
    most = remaining.payable
    return _claiming(lines, max(min(claimed, max(most, ZERO)), min(most, ZERO)), currency)


def _claiming(lines: tuple[InvoiceLine, ...], wanted: Decimal, currency: str) -> Claim:
    """The lines, with the rounding amount that makes them claim ``wanted``."""
    total = totals_of(lines, currency).total
    return Claim(lines, totals_of(lines, currency, rounding=rounded(wanted, currency) - total))
