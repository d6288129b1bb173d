"""The supply of a plan: battery, alternator, feeders, switches and relays."""

from __future__ import annotations

from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from circuits.planning.access import loaded_or_404
from circuits.planning.plan_page import plan_block
from circuits.planning.store import size_loaded
from circuits.planning.supply_page import supply_shown


@permission_required("planning.view_plan", raise_exception=True)
def supply(request: HttpRequest, plan_id: int) -> HttpResponse:
    """What the supply carries, for how long, and which contacts wear."""
    loaded = loaded_or_404(plan_id)
    sized = size_loaded(loaded)
    context = {
        "sheet": plan_block("Supply", loaded.row),
        "plan": loaded.row,
        "shown": supply_shown(sized, with_prices=request.user.has_perm("quotes.view_prices")),
        "rules": sized.rules.supply,
        "usable_percent": sized.rules.supply.usable_share * 100,
    }
    return render(request, "circuits/planning/supply.html", context)
