"""The hours of a plan."""

from __future__ import annotations

from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from estimating.quotes.access import plan_block, plan_or_404
from estimating.quotes.hours_page import hours_page
from estimating.quotes.store import worked_up


@require_safe
@permission_required("quotes.view_hours", raise_exception=True)
def hours(request: HttpRequest, plan_id: int) -> HttpResponse:
    """The distribution of hours and what it was summed from; no money."""
    plan = plan_or_404(plan_id)
    worked = worked_up(plan_id)
    page = hours_page(worked.workup, worked.rules)
    context = {"sheet": plan_block("Hours", plan), "plan": plan, "page": page}
    return render(request, "estimating/quotes/hours.html", context)
