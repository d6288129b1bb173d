"""The priced quote as values. Money is ``Decimal`` in the currency's own decimals."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum


class LineClass(StrEnum):
    """Classes of quote line; the tax rate goes by class."""

    PARTS = "parts"
    LABOUR = "labour"
    SUNDRIES = "sundries"
    CARRIAGE = "carriage"


class LabourBasis(StrEnum):
    """Which figure of the hours is sold. Shown on the quote."""

    P50 = "P50"
    P80 = "P80"


@dataclass(frozen=True, slots=True)
class PriceItem:
    """One row of the price book.

    ``spec`` matches a part's spec exactly, or by prefix where it ends in ``*`` (``14 AWG *`` = any colour).
    The selling price is ``price`` where given, else ``cost`` plus ``markup_percent``, else plus the shop's markup.
    """

    kind: str
    spec: str
    unit: str
    cost: Decimal
    markup_percent: Decimal | None = None
    price: Decimal | None = None
    pack: Decimal = Decimal(1)
    supplier: str = ""


@dataclass(frozen=True, slots=True)
class Terms:
    """What a shop charges and promises.

    Percentages are plain (20 = 20 %). ``tax_percent`` is by line class; a class that is absent bears no tax.
    """

    currency: str = "EUR"
    locale: str = "en"
    rate_per_h: Decimal = Decimal("75.00")
    labour_basis: LabourBasis = LabourBasis.P80
    markup_percent: Decimal = Decimal(30)
    sundries_percent: Decimal = Decimal(4)
    carriage: Decimal = Decimal(0)
    tax_percent: tuple[tuple[LineClass, Decimal], ...] = tuple((c, Decimal(20)) for c in LineClass)
    deposit_percent: Decimal = Decimal(30)
    validity_days: int = 30
    exclusions: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class QuoteLine:
    """One line: ``net`` = ``quantity × unit_price`` by the one rounding rule."""

    line_class: LineClass
    text: str
    quantity: Decimal
    unit: str
    unit_price: Decimal
    net: Decimal
    tax_percent: Decimal


@dataclass(frozen=True, slots=True)
class PartPrice:
    """A part with its selling price, for the annex and for the shop's own view of cost."""

    kind: str
    spec: str
    quantity: Decimal
    unit: str
    unit_cost: Decimal
    unit_price: Decimal
    net: Decimal
    supplier: str


@dataclass(frozen=True, slots=True)
class TaxGroup:
    """All lines of one rate: tax is worked out on their sum (EN 16931, BR-CO-17)."""

    tax_percent: Decimal
    taxable: Decimal
    tax: Decimal


@dataclass(frozen=True, slots=True)
class PricedQuote:
    """The quote in money. ``unpriced`` names the parts the price book has no price for."""

    currency: str
    lines: tuple[QuoteLine, ...]
    part_prices: tuple[PartPrice, ...]
    taxes: tuple[TaxGroup, ...]
    net: Decimal
    tax: Decimal
    total: Decimal
    deposit: Decimal
    unpriced: tuple[str, ...] = field(default=())
