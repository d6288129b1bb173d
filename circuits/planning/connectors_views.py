"""The connectors of a plan and what sits in them."""

from __future__ import annotations

from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from circuits.planning.access import loaded_or_404
from circuits.planning.connectors_page import connectors_shown
from circuits.planning.listing import CAVITIES, CONNECTORS
from circuits.planning.plan_page import plan_block
from circuits.planning.power_page import powered_plan
from circuits.planning.rules import stored_rules
from circuits.planning.store import size_loaded
from circuits.planning.views import page_grid


@permission_required("planning.view_plan", raise_exception=True)
def connectors(request: HttpRequest, plan_id: int) -> HttpResponse:
    """Connectors and cavities, each where it is changed; each body drawn; what can be swapped by mistake."""
    loaded = loaded_or_404(plan_id)
    sized, stamp = size_loaded(loaded), (loaded.row.stamp, stored_rules()[1])
    context = {
        "sheet": plan_block("Connectors", loaded.row),
        "plan": loaded.row,
        "can_edit": request.user.has_perm("planning.edit_plan"),
        "connector_rows": loaded.rows_of("connectors"),
        "cavity_rows": loaded.rows_of("cavities"),
        "connectors": page_grid(request, CONNECTORS, loaded, sized),
        "cavities": page_grid(request, CAVITIES, loaded, sized),
        "shown": connectors_shown(sized, lambda joined: powered_plan(stamp, sized).judged(joined)),
    }
    return render(request, "circuits/planning/connectors.html", context)
