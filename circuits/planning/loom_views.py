"""The loom of a plan: vehicle, zones, runs."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from circuits.drawings.loom import loom_drawing
from circuits.planning.access import loaded_or_404, person
from circuits.planning.listing import MOUNTINGS, RUNS, ZONES
from circuits.planning.loom_figures import loom_figures
from circuits.planning.loom_page import loom_notes
from circuits.planning.plan_page import plan_block
from circuits.planning.store import StalePlanError, size_loaded
from circuits.planning.summary import summary
from circuits.planning.vehicles import VehicleForm, save_vehicle, seen
from circuits.planning.views import page_grid


@permission_required("planning.view_plan", raise_exception=True)
def loom(request: HttpRequest, plan_id: int) -> HttpResponse:
    """Vehicle, zones and runs, each where it is changed; the loom as drawn; places nothing reaches."""
    loaded = loaded_or_404(plan_id)
    can_edit = request.user.has_perm("planning.edit_plan")
    form = VehicleForm(request.POST or None, loaded.row)
    if request.method == "POST":
        if not can_edit:
            raise PermissionDenied
        if _stored(request, plan_id, form):
            return redirect("planning:loom", plan_id)
    sized = size_loaded(loaded)
    context = {
        "sheet": plan_block("Loom", loaded.row),
        "plan": loaded.row,
        "value": loaded.plan,
        "form": form,
        "can_edit": can_edit,
        "notes": loom_notes(loaded.plan, sized),
        "loom": loom_drawing(loaded.plan, sized.bundles),
        "figures": loom_figures(sized, with_prices=request.user.has_perm("quotes.view_prices")),
        "zones": page_grid(request, ZONES, loaded, sized),
        "runs": page_grid(request, RUNS, loaded, sized),
        "mountings": page_grid(request, MOUNTINGS, loaded, sized),
        "run_rows": loaded.rows_of("runs"),
        "zone_rows": loaded.rows_of("zones"),
        "mounting_rows": loaded.rows_of("mountings"),
        "summary": summary(loaded, sized),
    }
    return render(request, "circuits/planning/loom.html", context)


def _stored(request: HttpRequest, plan_id: int, form: VehicleForm) -> bool:
    if not form.is_valid() or form.vehicle is None:
        return False
    data = form.cleaned_data
    try:
        save_vehicle(
            plan_id=plan_id, title=data["title"], vehicle=form.vehicle, seen_as=data["seen"], by=person(request)
        )
    except StalePlanError as error:
        form.add_error(None, f"{error}. The form holds yours; store again to put it over theirs.")
        form.data = {**{name: form.data[name] for name in form.data}, "seen": seen(loaded_or_404(plan_id).row)}
        return False
    messages.success(request, "The vehicle is stored.")
    return True
