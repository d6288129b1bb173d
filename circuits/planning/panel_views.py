"""The fuse panels of a plan."""

from __future__ import annotations

from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from circuits.planning.access import loaded_or_404
from circuits.planning.listing import LISTINGS
from circuits.planning.panel_page import panels_shown
from circuits.planning.plan_page import plan_block
from circuits.planning.store import size_loaded
from circuits.planning.views import page_grid


@permission_required("planning.view_plan", raise_exception=True)
def panel(request: HttpRequest, plan_id: int) -> HttpResponse:
    """Each panel as it is fitted, what does not fit, and the positions where they are changed."""
    loaded = loaded_or_404(plan_id)
    sized = size_loaded(loaded)
    positions = LISTINGS.get("positions")
    context = {
        "sheet": plan_block("Panel", loaded.row),
        "plan": loaded.row,
        "value": loaded.plan,
        "can_edit": request.user.has_perm("planning.edit_plan"),
        "panels": panels_shown(sized),
        "rules": sized.rules.panel,
        "heavy_percent": sized.rules.panel.heavy_share * 100,
        "positions": page_grid(request, positions, loaded, sized) if positions else None,
    }
    return render(request, "circuits/planning/panel.html", context)
