"""The arithmetic of one invoice or credit note, by the calculation rules of EN 16931 (BR-CO-10 to BR-CO-17).

How ours is exact: each line's net is rounded once, tax is taken once per rate on the sum of that rate's nets and
rounded once, and every other figure is a sum of rounded figures. Nothing may be off by a cent anywhere. What a share
of an agreed sum cannot be cut to, in whole cents of net and tax, stands as the rounding amount (BT-114), in the open.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from estimating.pricing.money import rounded, rounded_unit_price
from estimating.pricing.price import LOT, tax_groups
from estimating.pricing.quote import LineClass, QuoteLine, TaxGroup

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class InvoiceLine:
    """One line: ``net`` = ``quantity × unit_price`` by the one rounding rule; negative where something is credited.

    Parameters
    ----------
    text : str
    quantity : Decimal
    unit : str
    unit_price, net : Decimal
    tax_percent : Decimal
        0 or more [%].
    line_class : LineClass or None
        None where the line stands for several classes of one tax rate.
    origin : str
        What the line accounts for, so that it is not invoiced twice: ``hours:rear``, ``parts:wire``, ``share``,
        ``less:I-2031-001``; empty for a line typed by hand.
    """

    text: str
    quantity: Decimal
    unit: str
    unit_price: Decimal
    net: Decimal
    tax_percent: Decimal
    line_class: LineClass | None = None
    origin: str = ""


@dataclass(frozen=True, slots=True)
class Totals:
    """The sums of a document, named by the business terms of EN 16931.

    ``line_total`` is BT-106, ``net`` BT-109, ``tax`` BT-110, ``total`` BT-112, ``prepaid`` BT-113, ``rounding`` BT-114
    and ``due`` BT-115. An allowance or charge on the whole document (BR-CO-11, BR-CO-12) is a line of its own here, so
    that there is no sum of them (BT-107, BT-108) beside the lines.
    """

    line_total: Decimal
    taxes: tuple[TaxGroup, ...]
    net: Decimal
    tax: Decimal
    total: Decimal
    prepaid: Decimal
    rounding: Decimal
    due: Decimal

    @property
    def payable(self) -> Decimal:
        """What the document claims, before anything paid: total and rounding."""
        return self.total + self.rounding


def totals_of(
    lines: Sequence[InvoiceLine], currency: str, *, prepaid: Decimal = ZERO, rounding: Decimal = ZERO
) -> Totals:
    """The sums of a document with these lines.

    Parameters
    ----------
    lines : sequence of InvoiceLine
    currency : str
        ISO 4217 code.
    prepaid, rounding : Decimal
        Amounts in the currency's decimals.

    Returns
    -------
    Totals

    Notes
    -----
    BR-CO-10 line total, BR-CO-13 net, BR-CO-17 tax of a rate, BR-CO-14 tax, BR-CO-15 total, BR-CO-16 due.

    Examples
    --------
    >>> line = lot("horn", Decimal("1460.50"), Decimal(25), "NOK")
    >>> totals = totals_of([line], "NOK", prepaid=Decimal("1000.00"))
    >>> totals.tax, totals.total, totals.due
    (Decimal('365.13'), Decimal('1825.63'), Decimal('825.63'))
    """
    zero = rounded(ZERO, currency)
    line_total = sum((line.net for line in lines), zero)
    taxes = tax_groups(((line.net, line.tax_percent) for line in lines), currency)
    tax = sum((group.tax for group in taxes), zero)
    total = line_total + tax
    prepaid, rounding = rounded(prepaid, currency), rounded(rounding, currency)
    return Totals(line_total, taxes, line_total, tax, total, prepaid, rounding, total - prepaid + rounding)


def line_of(
    text: str,
    quantity: Decimal,
    unit: str,
    unit_price: Decimal,
    tax_percent: Decimal,
    currency: str,
    *,
    line_class: LineClass | None = None,
    origin: str = "",
) -> InvoiceLine:
    """A line whose net is worked out here.

    Examples
    --------
    >>> line_of("Hours", Decimal("2.5"), "h", Decimal("75.00"), Decimal(20), "EUR").net
    Decimal('187.50')
    """
    price = rounded_unit_price(unit_price, currency)
    net = rounded(price * quantity, currency)
    return InvoiceLine(text, quantity, unit, price, net, tax_percent, line_class, origin)


def lot(
    text: str,
    net: Decimal,
    tax_percent: Decimal,
    currency: str,
    *,
    line_class: LineClass | None = None,
    origin: str = "",
) -> InvoiceLine:
    """A line that stands for several things together.

    Examples
    --------
    >>> lot("Deposit", Decimal("100"), Decimal(20), "EUR").net
    Decimal('100.00')
    """
    return line_of(text, Decimal(1), LOT, net, tax_percent, currency, line_class=line_class, origin=origin)


def invoiced(line: QuoteLine, origin: str = "") -> InvoiceLine:
    """A line of a quote or change as a line of an invoice, not a cent changed.

    Examples
    --------
    >>> sold = QuoteLine(LineClass.LABOUR, "rear", Decimal(2), "h", Decimal(75), Decimal("150.00"), Decimal(20))
    >>> invoiced(sold).net
    Decimal('150.00')
    """
    return InvoiceLine(
        line.text, line.quantity, line.unit, line.unit_price, line.net, line.tax_percent, line.line_class, origin
    )


def nets_by_rate(lines: Sequence[InvoiceLine]) -> dict[Decimal, Decimal]:
    """Sum of the nets of each tax rate, highest rate first.

    Examples
    --------
    >>> nets_by_rate([lot("a", Decimal(5), Decimal(20), "EUR"), lot("b", Decimal(1), Decimal(20), "EUR")])
    {Decimal('20'): Decimal('6.00')}
    """
    nets: dict[Decimal, Decimal] = {}
    for line in sorted(lines, key=lambda line: -line.tax_percent):
        nets[line.tax_percent] = nets.get(line.tax_percent, ZERO) + line.net
    return nets
