"""The plan's own pages."""

from __future__ import annotations

from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse

from circuits.planning.access import loaded_or_404
from circuits.planning.history import last_changes
from circuits.planning.listing import CIRCUITS, Listing
from circuits.planning.plan_page import circuit_lines, grid_data, plan_block
from circuits.planning.store import LoadedPlan, size_loaded
from circuits.planning.summary import summary
from circuits.sized import SizedPlan


@permission_required("planning.view_plan", raise_exception=True)
def plan(request: HttpRequest, plan_id: int) -> HttpResponse:
    """The grid of circuits, the findings and the plan in figures."""
    loaded = loaded_or_404(plan_id)
    sized = size_loaded(loaded)
    context = {
        "sheet": plan_block("Circuit plan", loaded.row),
        "plan": loaded.row,
        "lines": circuit_lines(loaded, sized),
        "summary": summary(loaded, sized),
        "changes": last_changes(loaded.row),
        "grid": page_grid(request, CIRCUITS, loaded, sized),
        "can_edit": request.user.has_perm("planning.edit_plan"),
    }
    return render(request, "circuits/planning/plan.html", context)


def page_grid(request: HttpRequest, listing: Listing, loaded: LoadedPlan, sized: SizedPlan) -> dict[str, object]:
    """Data of a grid on a page of this plan, for this person."""
    at = {"plan_id": loaded.row.pk, "listing": listing.name}
    urls = {name: reverse(f"planning:{name}_rows", kwargs=at) for name in ("save", "delete", "move")}
    if listing is CIRCUITS:
        urls["open"] = reverse("planning:circuit", kwargs={"plan_id": loaded.row.pk, "circuit_id": 0})
    return grid_data(
        listing,
        loaded,
        sized,
        urls=urls,
        can_edit=request.user.has_perm("planning.edit_plan"),
        person=str(request.user.pk),
    )
