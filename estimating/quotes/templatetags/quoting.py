"""Figures of a quote as its customers read them: ``{% load quoting %}``. Filters take the page's ``said``."""

from __future__ import annotations

from decimal import Decimal

from django import template

from estimating.quotes.paper_words import InWords

register = template.Library()


@register.filter
def money_in(amount: Decimal | str | None, said: InWords) -> str:
    """``{{ total|money_in:said }}``: an amount with its currency."""
    return "–" if amount is None or amount == "" else said.money(Decimal(amount))


@register.filter
def more_in(amount: Decimal, said: InWords) -> str:
    """``{{ change.by|more_in:said }}``: a difference with its sign."""
    return ("+" if amount > 0 else "−" if amount < 0 else "") + said.money(abs(amount))


@register.filter
def amount_in(amount: Decimal | str, said: InWords) -> str:
    """An amount without the currency sign."""
    return said.amount(Decimal(amount))


@register.filter
def unit_price_in(amount: Decimal | None, said: InWords) -> str:
    """A price of one, as fine as it is."""
    return "–" if amount is None else said.unit_price(amount)


@register.filter
def quantity_in(quantity: Decimal | float, said: InWords) -> str:
    """A count or measure without digits that say nothing."""
    return said.quantity(quantity if isinstance(quantity, Decimal) else Decimal(repr(quantity)))


@register.filter
def percent_in(percent: Decimal, said: InWords) -> str:
    """A plain percentage."""
    return said.percent(percent)
