"""A plan under power, on paper."""

from __future__ import annotations

from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from circuits.planning.access import loaded_or_404
from circuits.planning.plan_page import plan_block
from circuits.planning.power_page import Asked, power_shown, powered_plan
from circuits.planning.rules import stored_rules
from circuits.planning.store import size_loaded

MOST_TEXT = 600


@permission_required("planning.view_plan", raise_exception=True)
def power(request: HttpRequest, plan_id: int) -> HttpResponse:
    """Switches thrown, loads lit, fuses, findings, and what a fault would do. A state is an address."""
    loaded = loaded_or_404(plan_id)
    asked = Asked(
        tuple(text[:MOST_TEXT] for text in request.GET.getlist("set")),
        request.GET.get("fault", "").strip()[:MOST_TEXT],
        request.GET.get("rank", ""),
        request.GET.get("circuit", ""),
    )
    plan = powered_plan((loaded.row.stamp, stored_rules()[1]), size_loaded(loaded))
    context = {
        "sheet": plan_block("Power-up", loaded.row),
        "plan": loaded.row,
        "shown": power_shown(plan, asked),
        "has_loads": bool(plan.built.branches.network.loads),
    }
    return render(request, "circuits/planning/power.html", context)
