"""The priced quote as values. Money is ``Decimal`` in the currency's own decimals."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum

from babel import Locale, UnknownLocaleError

from circuits.errors import PlanError
from estimating.pricing.money import decimals_of


def _require_not_negative(value: Decimal | None, what: str) -> None:
    if value is not None and not (value.is_finite() and value >= 0):
        raise PlanError(f"{what} must be 0 or more, got {value}")


def _require_locale(locale: str) -> None:
    try:
        Locale.parse(locale.replace("-", "_"))
    except (UnknownLocaleError, ValueError, TypeError):
        raise PlanError(
            f"locale must be a language, and a country where wanted, such as en_GB, got {locale!r}"
        ) from None


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

    def __post_init__(self) -> None:
        name = f"price of {self.kind} {self.spec}"
        if not self.kind.strip() or not self.spec.strip():
            raise PlanError("a price needs a kind and a spec")
        for what in ("cost", "markup_percent", "price"):
            _require_not_negative(getattr(self, what), f"{name}: {what}")
        if not (self.pack.is_finite() and self.pack > 0):
            raise PlanError(f"{name}: pack must be above 0, got {self.pack}")


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

    def __post_init__(self) -> None:
        decimals_of(self.currency)
        _require_locale(self.locale)
        for what in ("rate_per_h", "markup_percent", "sundries_percent", "carriage", "deposit_percent"):
            _require_not_negative(getattr(self, what), what)
        for line_class, percent in self.tax_percent:
            _require_not_negative(percent, f"tax on {line_class}")
        if self.deposit_percent > 100:
            raise PlanError(f"deposit_percent must be at most 100, got {self.deposit_percent}")
        if self.validity_days < 1:
            raise PlanError(f"validity_days must be 1 or more, got {self.validity_days}")

    def tax_on(self, line_class: LineClass) -> Decimal:
        """Tax rate of a line class [%]; 0 where the class bears none.

        Examples
        --------
        >>> Terms(tax_percent=((LineClass.PARTS, Decimal(21)),)).tax_on(LineClass.LABOUR)
        Decimal('0')
        """
        return dict(self.tax_percent).get(line_class, Decimal(0))


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
    """The quote in money.

    ``unpriced`` names the parts the price book has no price for; ``labour_basis`` is the figure of the hours that is
    sold, None where that was not kept.
    """

    currency: str
    lines: tuple[QuoteLine, ...]
    part_prices: tuple[PartPrice, ...]
    taxes: tuple[TaxGroup, ...]
    net: Decimal
    tax: Decimal
    total: Decimal
    deposit: Decimal
    unpriced: tuple[str, ...] = field(default=())
    labour_basis: LabourBasis | None = None
