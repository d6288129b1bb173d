"""A change priced: the difference between two work-ups made by the same rules and prices.

Nets are differences of the two work-ups' nets, and tax is the difference of the tax on all that was agreed before and
after: so the quote and its changes, one after another, add up to the last work-up to the cent, in whatever steps.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from circuits.errors import PlanError
from estimating.pricing.book import PriceBook
from estimating.pricing.money import rounded
from estimating.pricing.price import LOT, tax_groups
from estimating.pricing.quote import LineClass, PartPrice, PricedQuote, PriceItem, QuoteLine, TaxGroup

ZERO = Decimal(0)


@dataclass(frozen=True, slots=True)
class PartChange:
    """A part that more or less of is needed."""

    kind: str
    spec: str
    unit: str
    before: Decimal
    after: Decimal

    @property
    def by(self) -> Decimal:
        """How much more; negative where it is less."""
        return self.after - self.before


@dataclass(frozen=True, slots=True)
class PricedChange:
    """A change in money: lines are differences, negative where something is saved.

    ``hours`` is the difference of the hours sold [h]; ``before`` and ``after`` are the agreed totals with tax.
    """

    currency: str
    lines: tuple[QuoteLine, ...]
    parts: tuple[PartChange, ...]
    hours: Decimal
    taxes: tuple[TaxGroup, ...]
    net: Decimal
    tax: Decimal
    total: Decimal
    before: Decimal
    after: Decimal
    unpriced: tuple[str, ...] = ()

    @property
    def is_nothing(self) -> bool:
        """True where neither money nor parts nor hours differ."""
        return not (self.lines or self.parts)


def price_change(before: PricedQuote, after: PricedQuote, agreed: Sequence[QuoteLine]) -> PricedChange:
    """Prices what the plan of ``after`` needs more or less than that of ``before``.

    Parameters
    ----------
    before, after : PricedQuote
        Of the plan agreed on, and of the plan wanted: by the same rules, terms and price book.
    agreed : sequence of QuoteLine
        All lines agreed so far: those of the quote and of accepted changes.

    Raises
    ------
    PlanError
        Where the two are in different currencies.

    Examples
    --------
    >>> def quote(net):
    ...     line = QuoteLine(LineClass.PARTS, "Wire", Decimal(1), "lot", net, net, Decimal(20))
    ...     return PricedQuote("EUR", (line,), (), (), net, net / 5, net * 6 / 5, Decimal(0))
    >>> old, new = quote(Decimal("100.00")), quote(Decimal("90.00"))
    >>> change = price_change(old, new, old.lines)
    >>> change.net, change.tax, change.total, change.after
    (Decimal('-10.00'), Decimal('-2.00'), Decimal('-12.00'), Decimal('108.00'))
    """
    if before.currency != after.currency:
        raise PlanError(f"a change from {before.currency} to {after.currency} cannot be priced")
    currency = before.currency
    lines = _line_changes(before.lines, after.lines, currency)
    old, new = _taxes(agreed, currency), _taxes((*agreed, *lines), currency)
    taxes = tuple(
        TaxGroup(rate, new[rate].taxable - old[rate].taxable, new[rate].tax - old[rate].tax)
        if rate in old
        else new[rate]
        for rate in new
    )
    taxes = tuple(group for group in taxes if group.taxable or group.tax)
    zero = rounded(ZERO, currency)
    net = sum((line.net for line in lines), zero)
    tax = sum((group.tax for group in taxes), zero)
    agreed_total = agreed_with_tax(agreed, currency)
    return PricedChange(
        currency=currency,
        lines=lines,
        parts=_part_changes(before.part_prices, after.part_prices),
        hours=_hours(after) - _hours(before),
        taxes=taxes,
        net=net,
        tax=tax,
        total=net + tax,
        before=agreed_total,
        after=agreed_total + net + tax,
        unpriced=tuple(part for part in after.unpriced if part not in before.unpriced),
    )


def agreed_with_tax(lines: Sequence[QuoteLine], currency: str) -> Decimal:
    """What agreed lines come to with tax: nets, and tax once per rate on their sum.

    Examples
    --------
    >>> line = QuoteLine(LineClass.PARTS, "Wire", Decimal(1), "lot", Decimal(10), Decimal("10.00"), Decimal(20))
    >>> agreed_with_tax([line, line], "EUR")
    Decimal('24.00')
    """
    taxes = tax_groups(((line.net, line.tax_percent) for line in lines), currency)
    return sum((group.taxable + group.tax for group in taxes), rounded(ZERO, currency))


def agreed_book(kept: Iterable[PartPrice], book: PriceBook) -> PriceBook:
    """Prices for a change: those the customer agreed to, and today's for parts that were not priced then.

    Parameters
    ----------
    kept : iterable of PartPrice
        Of the accepted quote and accepted changes, in their order; the first price of a part holds.
    book : PriceBook
        Today's.

    Examples
    --------
    >>> agreed = PartPrice("clip", "6 mm", Decimal(3), "piece", Decimal(1), Decimal("1.30"), Decimal("3.90"), "")
    >>> today = PriceBook([PriceItem("clip", "*", "piece", Decimal("9.00"))])
    >>> found = agreed_book([agreed], today)
    >>> found.find("clip", "6 mm").price, found.find("clip", "8 mm").cost
    (Decimal('1.30'), Decimal('9.00'))
    """
    items: dict[tuple[str, str], PriceItem] = {}
    for part in kept:
        item = PriceItem(part.kind, part.spec, part.unit, part.unit_cost, None, part.unit_price, supplier=part.supplier)
        items.setdefault((part.kind, part.spec), item)
    for item in book.items:
        items.setdefault((item.kind, item.spec), item)
    return PriceBook(items.values())


def _taxes(lines: Iterable[QuoteLine], currency: str) -> dict[Decimal, TaxGroup]:
    groups = tax_groups(((line.net, line.tax_percent) for line in lines), currency)
    return {group.tax_percent: group for group in groups}


def _line_changes(before: Sequence[QuoteLine], after: Sequence[QuoteLine], currency: str) -> tuple[QuoteLine, ...]:
    """One line for each that differs, in the order of the work-up after; lines that fell away come last."""
    old, new = _by_name(before), _by_name(after)
    changed = []
    for key in dict.fromkeys([*new, *old]):
        was, is_now = old.get(key), new.get(key)
        line = is_now or was
        assert line is not None
        net = rounded((is_now.net if is_now else ZERO) - (was.net if was else ZERO), currency)
        if not net:
            continue
        text = line.text
        if line.line_class is LineClass.LABOUR:
            by = (is_now.quantity if is_now else ZERO) - (was.quantity if was else ZERO)
            text = f"{text}, {abs(by).normalize():f} h {'more' if by > 0 else 'less'}"
        changed.append(replace(line, text=text, quantity=Decimal(1), unit=LOT, unit_price=net, net=net))
    return tuple(changed)


def _by_name(lines: Sequence[QuoteLine]) -> dict[tuple[LineClass, str, Decimal], QuoteLine]:
    found: dict[tuple[LineClass, str, Decimal], QuoteLine] = {}
    for line in lines:
        key = (line.line_class, line.text, line.tax_percent)
        before = found.get(key)
        found[key] = (
            replace(line, net=before.net + line.net, quantity=before.quantity + line.quantity) if before else line
        )
    return found


def _part_changes(before: Sequence[PartPrice], after: Sequence[PartPrice]) -> tuple[PartChange, ...]:
    old, new = _quantities(before), _quantities(after)
    changes = (
        PartChange(*key, before=old.get(key, ZERO), after=new.get(key, ZERO)) for key in dict.fromkeys([*new, *old])
    )
    return tuple(change for change in changes if change.by)


def _quantities(parts: Sequence[PartPrice]) -> dict[tuple[str, str, str], Decimal]:
    found: dict[tuple[str, str, str], Decimal] = {}
    for part in parts:
        key = (part.kind, part.spec, part.unit)
        found[key] = found.get(key, ZERO) + part.quantity
    return found


def _hours(quote: PricedQuote) -> Decimal:
    return sum((line.quantity for line in quote.lines if line.line_class is LineClass.LABOUR), ZERO)
