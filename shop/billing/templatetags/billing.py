"""Amounts in lists of several currencies, and the notice of work not accepted: ``{% load billing %}``."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import template

from estimating.quotes.paper_words import InWords
from shop.billing.aged import BUCKETS, Aged
from shop.billing.agreement import unaccepted_circuits
from shop.jobs.models import Job, Stage

register = template.Library()

_BEFORE_ACCEPTANCE = (Stage.SURVEY, Stage.QUOTED, Stage.TURNED_DOWN)


@register.filter
def amount_of(amount: Decimal, currency: str) -> str:
    """``{{ total|amount_of:"EUR" }}``: an amount in the decimals of its currency."""
    return InWords(currency).amount(amount)


@register.filter
def by_bucket(aged: Aged) -> list[tuple[str, Decimal]]:
    """Amounts with the names of their buckets."""
    return list(zip(BUCKETS, aged.amounts, strict=True))


@register.filter
def plain(percent: Decimal) -> str:
    """A percentage without digits that say nothing."""
    return f"{percent.normalize():f}"


@register.inclusion_tag("shop/billing/_unaccepted.html", takes_context=True)
def unaccepted(context: dict[str, Any], job: Job) -> dict[str, Any]:
    """``{% unaccepted job %}``: which circuits' work the customer has not accepted; nothing before a job is booked."""
    names = unaccepted_circuits(job) if job.stage not in _BEFORE_ACCEPTANCE else ()
    return {"unaccepted": names, "job": job, "perms": context.get("perms")}
