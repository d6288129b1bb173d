"""Money, dates and plain words of a quote, in the shop's locale."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from babel import Locale, UnknownLocaleError
from babel.dates import format_date, format_datetime
from babel.numbers import format_currency, format_decimal

from estimating.pricing.money import decimals_of
from estimating.pricing.quote import LabourBasis
from estimating.quotes.paper_content import CircuitLine

_BASIS_WORDS = {
    LabourBasis.P50: "P50: in 5 of 10 such jobs we need no more hours",
    LabourBasis.P80: "P80: in 8 of 10 such jobs we need no more hours",
}

_WORK_WORDS = {
    "replace": "replaced",
    "new": "added new",
    "repair": "repaired",
    "keep": "kept as it is",
    "remove": "removed",
    "cap off": "capped off",
}
"""What is done to a circuit (``Disposition``), as said of it afterwards."""


def basis_words(basis: LabourBasis) -> str:
    """What the figure of the hours that is sold means.

    Examples
    --------
    >>> basis_words(LabourBasis.P80)
    'P80: in 8 of 10 such jobs we need no more hours'
    """
    return _BASIS_WORDS[basis]


def work_words(circuits: tuple[CircuitLine, ...]) -> str:
    """How many circuits have what done to them.

    Examples
    --------
    >>> work_words((CircuitLine("horn", "front", "replace", "horn", "", ""),))
    '1 circuit: 1 replaced'
    """
    counts = Counter(line.work for line in circuits)
    known = [f"{counts[work]} {words}" for work, words in _WORK_WORDS.items() if counts[work]]
    other = [f"{count} {work}" for work, count in counts.items() if work not in _WORK_WORDS]
    noun = "circuit" if len(circuits) == 1 else "circuits"
    return f"{len(circuits)} {noun}: {', '.join([*known, *other])}"


@dataclass(frozen=True, slots=True)
class InWords:
    """Writes figures as the shop's customers read them.

    Parameters
    ----------
    currency : str
    locale : str
        One that babel does not know falls back to English.
    """

    currency: str
    locale: str = "en"

    @property
    def _babel(self) -> Locale:
        try:
            return Locale.parse(self.locale.replace("-", "_"))
        except (UnknownLocaleError, ValueError):
            return Locale("en")

    def money(self, amount: Decimal) -> str:
        r"""An amount with its currency.

        Examples
        --------
        >>> InWords("EUR", "de").money(Decimal("1234.50"))
        '1.234,50\xa0€'
        """
        return format_currency(amount, self.currency, locale=self._babel)

    def unit_price(self, amount: Decimal) -> str:
        """A price of one, which may be finer than an amount."""
        finest = max(decimals_of(self.currency), -int(amount.normalize().as_tuple().exponent))
        return format_decimal(amount, f"#,##0.{'0' * finest}".rstrip("."), locale=self._babel)

    def amount(self, amount: Decimal) -> str:
        """An amount without the currency sign, for columns that name it in their head."""
        return format_decimal(amount, f"#,##0.{'0' * decimals_of(self.currency)}".rstrip("."), locale=self._babel)

    def quantity(self, quantity: Decimal, unit: str = "") -> str:
        """A count or measure, no digits that say nothing; hours always to the tenth, so that they align.

        Examples
        --------
        >>> InWords("EUR", "de").quantity(Decimal("12.50"))
        '12,5'
        >>> InWords("EUR", "de").quantity(Decimal("8"), "h")
        '8,0 h'
        """
        figure = format_decimal(quantity, "#,##0.0##" if unit == "h" else "#,##0.###", locale=self._babel)
        return f"{figure} {unit}".rstrip()

    def percent(self, percent: Decimal) -> str:
        """A plain percentage (20 = 20 %)."""
        return f"{self.quantity(percent)} %"

    def hours(self, hours_h: float) -> str:
        """Hours to the tenth."""
        return f"{format_decimal(round(hours_h, 1), '#,##0.0', locale=self._babel)} h"

    def day(self, day: date | None) -> str:
        """A day, written out."""
        return format_date(day, "long", locale=self._babel) if day else ""

    def moment(self, moment: datetime | None) -> str:
        """A day with its time."""
        return format_datetime(moment, "d MMMM y, HH:mm", locale=self._babel) if moment else ""
