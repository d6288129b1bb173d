"""The fuse panels of a plan."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from circuits.planning.access import loaded_or_404, person
from circuits.planning.listing import POSITIONS
from circuits.planning.panel_page import panels_shown
from circuits.planning.panel_services import keep_layout
from circuits.planning.plan_page import plan_block
from circuits.planning.store import StalePlanError, size_loaded
from circuits.planning.views import page_grid


@permission_required("planning.view_plan", raise_exception=True)
def panel(request: HttpRequest, plan_id: int) -> HttpResponse:
    """Each panel as it is fitted, what does not fit, and the positions where they are changed."""
    loaded = loaded_or_404(plan_id)
    can_edit = request.user.has_perm("planning.edit_plan")
    if request.method == "POST":
        if not can_edit:
            raise PermissionDenied
        _keep(request, plan_id)
        return redirect("planning:panel", plan_id)
    sized = size_loaded(loaded)
    context = {
        "sheet": plan_block("Panel", loaded.row),
        "plan": loaded.row,
        "value": loaded.plan,
        "can_edit": can_edit,
        "panels": panels_shown(sized),
        "rules": sized.rules.panel,
        "heavy_percent": sized.rules.panel.heavy_share * 100,
        "position_rows": loaded.rows_of("positions"),
        "positions": page_grid(request, POSITIONS, loaded, sized),
    }
    return render(request, "circuits/planning/panel.html", context)


def _keep(request: HttpRequest, plan_id: int) -> None:
    seen = request.POST.get("seen", "")
    try:
        keep_layout(plan_id=plan_id, seen_version=int(seen) if seen.isdecimal() else 0, by=person(request))
    except StalePlanError as error:
        messages.error(request, f"{error}. Look at the panels as they are now, then keep them.")
    else:
        messages.success(request, "The positions are listed; every fuse stays where it sits.")
