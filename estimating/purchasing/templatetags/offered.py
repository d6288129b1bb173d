"""Prices of an offer as people type them: ``{% load offered %}``."""

from __future__ import annotations

from django import template

from estimating.purchasing.models import OfferRow
from estimating.purchasing.offers import BreakText

register = template.Library()


@register.filter
def prices_in(offer: OfferRow, prices: BreakText) -> str:
    """``{{ offer|prices_in:prices }}``: its breaks, read beforehand."""
    return prices.write(list(offer.breaks.all()))
