"""The page of a run: how far it is, what it found, and the button that makes orders of it."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from circuits.paper.title_block import TitleBlock
from estimating.purchasing.models import RunRow
from estimating.purchasing.placing import place_orders
from estimating.purchasing.run_page import run_page
from estimating.purchasing.running import stop_run
from estimating.purchasing.views.shared import may_edit, may_see, said
from estimating.quotes.access import person
from estimating.quotes.rules import RefusedError


@require_safe
@may_see
def run(request: HttpRequest, run_id: int) -> HttpResponse:
    """How far a run is, asked again every second while it works; then what it found."""
    row = get_object_or_404(RunRow, pk=run_id)
    sheet = TitleBlock("What to buy", date=row.today, by=row.started_by)
    context = {"sheet": sheet, "run": row, "said": said(), "page": run_page(row)}
    part = bool(request.headers.get("HX-Request")) and row.is_open
    answer = render(request, f"estimating/purchasing/{'_progress' if part else 'run'}.html", context)
    if request.headers.get("HX-Request") and not row.is_open:
        answer = HttpResponse()
        answer["HX-Refresh"] = "true"
    return answer


@require_POST
@may_edit
def stop(request: HttpRequest, run_id: int) -> HttpResponse:
    """Stops a run that is under way."""
    stop_run(run=get_object_or_404(RunRow, pk=run_id), at=timezone.now())
    messages.info(request, "Stopping.")
    return redirect("purchasing:run", run_id=run_id)


@require_POST
@may_edit
def order(request: HttpRequest, run_id: int) -> HttpResponse:
    """Makes one order a supplier of what a run found."""
    row = get_object_or_404(RunRow, pk=run_id)
    try:
        orders = place_orders(run=row, by=person(request), at=timezone.now())
    except RefusedError as refused:
        for reason in refused.reasons:
            messages.error(request, reason)
        return redirect("purchasing:run", run_id=run_id)
    numbers = ", ".join(order.number for order in orders)
    messages.success(
        request, f"Made: {numbers}. Look at each and send it." if orders else "All comes from stock: reserved."
    )
    return redirect("purchasing:orders") if orders else redirect("purchasing:run", run_id=run_id)
