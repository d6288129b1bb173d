"""One circuit: its form, its wires and why they are so. Works without scripts and on a phone."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from circuits.planning.access import loaded_or_404, person
from circuits.planning.changes import delete_rows, duplicate_circuit
from circuits.planning.circuit_page import circuit_context, row_or_404
from circuits.planning.edits import ConflictError
from circuits.planning.forms import RowForm
from circuits.planning.grid import words
from circuits.planning.listing import CIRCUITS
from circuits.planning.models import CircuitRow
from circuits.planning.plan_page import plan_block
from circuits.planning.row_page import Dispute, store_row
from circuits.planning.store import size_loaded


@permission_required("planning.view_plan", raise_exception=True)
def circuit(request: HttpRequest, plan_id: int, circuit_id: int) -> HttpResponse:
    """A circuit with its results; its form for those who may change it."""
    loaded = loaded_or_404(plan_id)
    row = row_or_404(loaded, circuit_id)
    can_edit = request.user.has_perm("planning.edit_plan")
    form = RowForm(request.POST or None, CIRCUITS.cells_of(row), row.version)
    dispute: Dispute | None = None
    if request.method == "POST":
        if not can_edit:
            raise PermissionDenied
        stored = store_row(form, plan_id=plan_id, row_id=row.pk, by=person(request))
        if stored is not None and not isinstance(stored, Dispute):
            messages.success(request, f"{stored} is stored.")
            return redirect("planning:circuit", plan_id, row.pk)
        dispute = stored
    sized = size_loaded(loaded)
    with_prices = request.user.has_perm("quotes.view_prices")
    context = circuit_context(loaded, sized, row, with_prices=with_prices) | {
        "sheet": plan_block(row.name, loaded.row),
        "form": form,
        "can_edit": can_edit,
        "dispute": dispute,
        "words": words(loaded.plan, sized.rules),
    }
    return render(request, "circuits/planning/circuit.html", context, status=409 if dispute else 200)


@permission_required("planning.edit_plan", raise_exception=True)
def new_circuit(request: HttpRequest, plan_id: int) -> HttpResponse:
    """The form of a circuit that does not exist yet; what the last one has in common is filled in."""
    loaded = loaded_or_404(plan_id)
    form = RowForm(request.POST or None, CIRCUITS.handed_down(loaded.circuit_rows))
    if request.method == "POST":
        stored = store_row(form, plan_id=plan_id, row_id=None, by=person(request))
        if isinstance(stored, CircuitRow):
            messages.success(request, f"{stored.name} is stored.")
            return redirect("planning:circuit", plan_id, stored.pk)
    rules = size_loaded(loaded).rules
    context = {
        "sheet": plan_block("New circuit", loaded.row),
        "plan": loaded.row,
        "form": form,
        "words": words(loaded.plan, rules),
    }
    return render(request, "circuits/planning/new_circuit.html", context)


@require_POST
@permission_required("planning.edit_plan", raise_exception=True)
def duplicate(request: HttpRequest, plan_id: int, circuit_id: int) -> HttpResponse:
    """The circuit once more, behind itself."""
    row_or_404(loaded_or_404(plan_id), circuit_id)
    copy = duplicate_circuit(plan_id=plan_id, row_id=circuit_id, by=person(request))
    return redirect("planning:circuit", plan_id, copy.pk)


@require_POST
@permission_required("planning.edit_plan", raise_exception=True)
def take_out(request: HttpRequest, plan_id: int, circuit_id: int) -> HttpResponse:
    """Take the circuit out of the plan, if it is still as the person saw it."""
    row = row_or_404(loaded_or_404(plan_id), circuit_id)
    seen = request.POST.get("version", "")
    version = int(seen) if seen.isdecimal() else 0
    try:
        delete_rows(plan_id=plan_id, listing=CIRCUITS, versions={circuit_id: version}, by=person(request))
    except ConflictError:
        messages.error(request, f"{row.name} was changed by {row.updated_by} meanwhile, so it was not taken out.")
        return redirect("planning:circuit", plan_id, circuit_id)
    messages.success(request, f"{row.name} is taken out.")
    return redirect("planning:plan", plan_id)
