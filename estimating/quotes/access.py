"""Fetching for the views: the row or 404; who asks, by name; where a page stands."""

from __future__ import annotations

from typing import TypeVar

from django.http import Http404, HttpRequest
from django.urls import reverse

from circuits.paper.title_block import TitleBlock
from circuits.planning.models import CircuitRow, PlanRow
from estimating.quotes.models import QuoteRevision, QuoteRow
from estimating.quotes.states import State

MAX_NAME = 160

T = TypeVar("T")


def plan_or_404(plan_id: int) -> PlanRow:
    """The row of a plan.

    Raises
    ------
    Http404
    """
    return _found(PlanRow.objects.filter(pk=plan_id).first(), f"plan {plan_id}")


def quote_or_404(quote_id: int) -> QuoteRow:
    """The quote with its plan.

    Raises
    ------
    Http404
    """
    return _found(QuoteRow.objects.select_related("plan").filter(pk=quote_id).first(), f"quote {quote_id}")


def sent_or_404(quote_id: int, number: int) -> QuoteRevision:
    """A revision that has been sent, with its quote.

    Raises
    ------
    Http404
        Also for a draft: that is seen on the page of the quote.
    """
    rows = QuoteRevision.objects.select_related("quote").exclude(state=State.DRAFT)
    return _found(rows.filter(quote=quote_id, number=number).first(), f"revision {number} of quote {quote_id}")


def _found(row: T | None, name: str) -> T:
    if row is None:
        raise Http404(f"There is no {name}.")
    return row


def circuit_urls(plan_id: int) -> dict[str, str]:
    """Pages of the circuits of a plan, by name. One query."""
    rows = CircuitRow.objects.filter(plan=plan_id).values_list("name", "pk")
    return {name: reverse("planning:circuit", args=[plan_id, key]) for name, key in rows}


def person(request: HttpRequest) -> str:
    """Name of whoever is logged in, as text: this floor knows no staff."""
    return str(request.user)[:MAX_NAME]


def plan_block(title: str, plan: PlanRow) -> TitleBlock:
    """Title block of a sheet about a plan."""
    return TitleBlock(title=title, subject=plan.title, date=plan.updated_at.date(), by=plan.updated_by)
