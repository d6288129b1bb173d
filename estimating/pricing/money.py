"""The one rounding rule of money, and how many decimals a currency has.

Every amount that is shown or added up has been through ``rounded``: half up, away from zero, to the
currency's decimals. EN 16931 rounds so too (its examples take -156435.885 to -156435.89). Nothing is
rounded twice: sums are of rounded amounts, tax is taken on their sum.
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal, InvalidOperation
from functools import cache

from babel import UnknownLocaleError
from babel.numbers import get_currency_precision, is_currency

from circuits.errors import PlanError

UNIT_PRICE_EXTRA_DECIMALS = 2
"""A unit price may be finer than an amount: a metre of thin wire costs parts of a cent."""

QUANTITY_STEP = Decimal("0.01")
"""Lengths are sold by the centimetre, so that quantity times unit price on a line gives its net."""

HOURS_STEP = Decimal("0.1")
"""Hours are sold by the tenth."""


@cache
def decimals_of(currency: str) -> int:
    """Decimals of a currency by its ISO 4217 code (minor units as the CLDR holds them).

    Parameters
    ----------
    currency : str
        Three capital letters.

    Returns
    -------
    int

    Raises
    ------
    PlanError
        For a code that is no currency.

    Examples
    --------
    >>> decimals_of("EUR"), decimals_of("JPY"), decimals_of("KWD")
    (2, 0, 3)
    """
    try:
        known = is_currency(currency, "en")
    except (UnknownLocaleError, ValueError, TypeError):
        known = False
    if not known:
        raise PlanError(f"currency must be a three-letter ISO 4217 code such as EUR, got {currency!r}")
    return get_currency_precision(currency)


def rounded(amount: Decimal, currency: str) -> Decimal:
    """An amount by the one rounding rule: half up, away from zero, to the currency's decimals.

    Parameters
    ----------
    amount : Decimal
        Finite.
    currency : str
        ISO 4217 code.

    Returns
    -------
    Decimal
        With exactly the currency's decimals.

    Raises
    ------
    PlanError
        For an amount that is not finite or too large to hold, or an unknown currency.

    Examples
    --------
    >>> rounded(Decimal("365.125"), "NOK"), rounded(Decimal("-156435.885"), "DKK"), rounded(Decimal("0.5"), "JPY")
    (Decimal('365.13'), Decimal('-156435.89'), Decimal('1'))
    """
    return to_step(amount, _step(decimals_of(currency)))


def rounded_unit_price(amount: Decimal, currency: str) -> Decimal:
    """A unit price: as ``rounded``, with two more decimals, of which trailing zeros beyond the currency's are dropped.

    Examples
    --------
    >>> rounded_unit_price(Decimal("0.123456"), "EUR"), rounded_unit_price(Decimal("3"), "EUR")
    (Decimal('0.1235'), Decimal('3.00'))
    """
    decimals = decimals_of(currency)
    fine = to_step(amount, _step(decimals + UNIT_PRICE_EXTRA_DECIMALS))
    coarse = to_step(amount, _step(decimals))
    return coarse if coarse == fine else fine


def to_step(amount: Decimal, step: Decimal) -> Decimal:
    """``amount`` to the decimals of ``step``, half up away from zero; PlanError where that cannot be held.

    Examples
    --------
    >>> to_step(Decimal("12.25"), HOURS_STEP)
    Decimal('12.3')
    """
    try:
        if amount.is_finite():
            return amount.quantize(step, rounding=ROUND_HALF_UP)
    except InvalidOperation:  # more digits than the context holds
        pass
    raise PlanError(f"not an amount that can be rounded: {amount}")


def percent_of(amount: Decimal, percent: Decimal, currency: str) -> Decimal:
    """``percent`` per cent of an amount, rounded.

    Examples
    --------
    >>> percent_of(Decimal("908.91"), Decimal(21), "EUR")
    Decimal('190.87')
    """
    return rounded(amount * percent / 100, currency)


def quantity_of(quantity: float) -> Decimal:
    """A counted quantity as it is sold: whole pieces as they are, lengths to the centimetre, at least one.

    Examples
    --------
    >>> quantity_of(3.0), quantity_of(7.123), quantity_of(0.001)
    (Decimal('3'), Decimal('7.12'), Decimal('0.01'))
    """
    exact = Decimal(repr(round(quantity, 9)))  # drops the tail of binary sums, e.g. 0.30000000000000004
    if exact == exact.to_integral_value():
        return exact.to_integral_value()
    return max(to_step(exact, QUANTITY_STEP), QUANTITY_STEP)


@cache
def _step(decimals: int) -> Decimal:
    return Decimal(1).scaleb(-decimals)
