"""Prices a quote: parts and hours in, lines and totals out."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from estimating.labour.hours import Hours
from estimating.pricing.book import PriceBook, selling_price
from estimating.pricing.labour_lines import sold_hours
from estimating.pricing.money import percent_of, quantity_of, rounded
from estimating.pricing.quote import LineClass, PartPrice, PricedQuote, QuoteLine, TaxGroup, Terms
from estimating.takeoff.parts import Part, PartKind

LOT = "lot"
"""Unit of a line that stands for several things together."""

PART_TEXTS: dict[PartKind, str] = {
    PartKind.WIRE: "Wire",
    PartKind.FUSE: "Fuses",
    PartKind.FUSE_HOLDER: "Fuse holders",
    PartKind.PANEL_POSITION: "Fuse panel positions",
    PartKind.RELAY: "Relays",
    PartKind.RELAY_SOCKET: "Relay sockets",
    PartKind.TERMINAL: "Terminals",
    PartKind.CONNECTOR: "Connectors",
    PartKind.CAVITY_PLUG: "Cavity plugs",
    PartKind.SPLICE: "Splices",
    PartKind.HEAT_SHRINK: "Heat-shrink",
    PartKind.GROMMET: "Grommets",
    PartKind.COVERING: "Loom covering",
    PartKind.CLIP: "Clips",
    PartKind.TAPE: "Loom tape",
    PartKind.LABEL: "Wire labels",
    PartKind.END_CAP: "End caps",
    PartKind.REPAIR_LENGTH: "Repair lengths",
}
"""What a customer reads for each kind of part."""


@dataclass(frozen=True, slots=True)
class PricedParts:
    """Parts the book has a price for, and the names of those it has none for."""

    priced: tuple[PartPrice, ...]
    unpriced: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PricedMaterials:
    """Lines for parts, sundries and carriage, the parts behind them, and the names of those without a price."""

    lines: tuple[QuoteLine, ...]
    priced: tuple[PartPrice, ...]
    unpriced: tuple[str, ...]


def price_quote(parts: Iterable[Part], hours: Hours, book: PriceBook, terms: Terms) -> PricedQuote:
    """Prices parts and hours.

    Lines are grouped for the customer: labour by section, parts by kind, sundries as a share of the parts,
    carriage. Each net is rounded on its line; tax is taken per rate on the sum of the nets of that rate
    (EN 16931 BR-CO-17), the total is net plus tax (BR-CO-15).

    Parameters
    ----------
    parts : iterable of Part
        In any order.
    hours : Hours
    book : PriceBook
    terms : Terms

    Returns
    -------
    PricedQuote
        ``unpriced`` names parts without a price; they are in no line, so a quote that has any is not ready to send.

    Examples
    --------
    >>> from estimating.labour.hours import Spread
    >>> from estimating.pricing.quote import PriceItem
    >>> from estimating.takeoff.parts import Unit
    >>> book = PriceBook([PriceItem("clip", "*", "piece", Decimal("1.00"))])
    >>> clips = Part(PartKind.CLIP, "6 mm", 3, Unit.PIECE, ())
    >>> none = Hours(Spread(0, 0, 0, 0, 0), (), (), ())
    >>> quote = price_quote([clips], none, book, Terms(sundries_percent=Decimal(0)))
    >>> quote.net, quote.tax, quote.total, quote.deposit
    (Decimal('3.90'), Decimal('0.78'), Decimal('4.68'), Decimal('1.40'))
    """
    found = price_materials(parts, book, terms)
    lines = (*_labour_lines(hours, terms), *found.lines)
    taxes = tax_groups(((line.net, line.tax_percent) for line in lines), terms.currency)
    zero = rounded(Decimal(0), terms.currency)
    net = sum((line.net for line in lines), zero)
    tax = sum((group.tax for group in taxes), zero)
    return PricedQuote(
        currency=terms.currency,
        lines=lines,
        part_prices=found.priced,
        taxes=taxes,
        net=net,
        tax=tax,
        total=net + tax,
        deposit=percent_of(net + tax, terms.deposit_percent, terms.currency),
        unpriced=found.unpriced,
        labour_basis=terms.labour_basis,
    )


def price_parts(parts: Iterable[Part], book: PriceBook, terms: Terms) -> PricedParts:
    """Finds the price of every part.

    Parameters
    ----------
    parts : iterable of Part
    book : PriceBook
    terms : Terms

    Returns
    -------
    PricedParts
        In the order of ``PartKind``, then by spec as given; the order of ``parts`` does not matter.

    Examples
    --------
    >>> from estimating.takeoff.parts import Unit
    >>> price_parts([Part(PartKind.CLIP, "6 mm", 3, Unit.PIECE, ())], PriceBook(), Terms()).unpriced
    ('clip 6 mm',)
    """
    kinds = {kind: index for index, kind in enumerate(PartKind)}
    priced, unpriced = [], []
    for part in sorted(parts, key=lambda part: (kinds[part.kind], part.spec, part.unit, part.quantity)):
        item = book.find(part.kind, part.spec)
        if item is None:
            unpriced.append(f"{part.kind} {part.spec}")
        elif item.unit != part.unit:
            unpriced.append(f"{part.kind} {part.spec} (counted in {part.unit}, priced per {item.unit})")
        else:
            price, quantity = selling_price(item, terms), quantity_of(part.quantity)
            net = rounded(price * quantity, terms.currency)
            priced.append(PartPrice(part.kind, part.spec, quantity, part.unit, item.cost, price, net, item.supplier))
    return PricedParts(tuple(priced), tuple(unpriced))


def price_materials(parts: Iterable[Part], book: PriceBook, terms: Terms) -> PricedMaterials:
    """Lines for parts alone: by kind, with sundries and carriage, as a quote has them.

    Parameters
    ----------
    parts : iterable of Part
    book : PriceBook
    terms : Terms

    Examples
    --------
    >>> from estimating.takeoff.parts import Unit
    >>> from estimating.pricing.quote import PriceItem
    >>> book = PriceBook([PriceItem("clip", "*", "piece", Decimal("1.00"))])
    >>> clips = Part(PartKind.CLIP, "6 mm", 3, Unit.PIECE, ())
    >>> [(line.text, line.net) for line in price_materials([clips], book, Terms(sundries_percent=Decimal(0))).lines]
    [('Clips', Decimal('3.90'))]
    """
    found = price_parts(parts, book, terms)
    part_lines = _part_lines(found.priced, terms)
    return PricedMaterials((*part_lines, *_further_lines(part_lines, terms)), found.priced, found.unpriced)


def tax_groups(nets: Iterable[tuple[Decimal, Decimal]], currency: str) -> tuple[TaxGroup, ...]:
    """Tax by rate on the sum of the nets of that rate, highest rate first (EN 16931 BR-S-08, BR-CO-17).

    Parameters
    ----------
    nets : iterable of (Decimal, Decimal)
        Net amount and tax rate [%] of each line.
    currency : str

    Returns
    -------
    tuple of TaxGroup

    Examples
    --------
    >>> [group.tax for group in tax_groups([(Decimal("183.23"), Decimal(6)), (Decimal("46.37"), Decimal(21))], "EUR")]
    [Decimal('9.74'), Decimal('10.99')]
    """
    bases: dict[Decimal, Decimal] = {}
    for net, percent in nets:
        bases[percent] = bases.get(percent, Decimal(0)) + net
    return tuple(
        TaxGroup(percent, bases[percent], percent_of(bases[percent], percent, currency))
        for percent in sorted(bases, reverse=True)
    )


def _labour_lines(hours: Hours, terms: Terms) -> tuple[QuoteLine, ...]:
    rate, tax = rounded(terms.rate_per_h, terms.currency), terms.tax_on(LineClass.LABOUR)
    return tuple(
        QuoteLine(
            LineClass.LABOUR, f"Labour: {section}", quantity, "h", rate, rounded(rate * quantity, terms.currency), tax
        )
        for section, quantity in sold_hours(hours, terms.labour_basis)
    )


def _part_lines(priced: tuple[PartPrice, ...], terms: Terms) -> tuple[QuoteLine, ...]:
    nets: dict[str, Decimal] = {}
    for part in priced:
        nets[part.kind] = nets.get(part.kind, rounded(Decimal(0), terms.currency)) + part.net
    return tuple(_lot(LineClass.PARTS, PART_TEXTS[PartKind(kind)], net, terms) for kind, net in nets.items())


def _further_lines(part_lines: tuple[QuoteLine, ...], terms: Terms) -> tuple[QuoteLine, ...]:
    parts_net = sum((line.net for line in part_lines), Decimal(0))
    sundries = percent_of(parts_net, terms.sundries_percent, terms.currency)
    carriage = rounded(terms.carriage, terms.currency) if parts_net else Decimal(0)
    lines = (
        _lot(LineClass.SUNDRIES, f"Sundries, {terms.sundries_percent:f} % of parts", sundries, terms),
        _lot(LineClass.CARRIAGE, "Carriage", carriage, terms),
    )
    return tuple(line for line in lines if line.net > 0)


def _lot(line_class: LineClass, text: str, net: Decimal, terms: Terms) -> QuoteLine:
    return QuoteLine(line_class, text, Decimal(1), LOT, net, net, terms.tax_on(line_class))
