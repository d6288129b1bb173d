"""One row of a list in a plain form: changed, made, taken out. What the grids do, for phones and without scripts."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST

from circuits.planning.access import loaded_or_404, person
from circuits.planning.changes import delete_rows
from circuits.planning.edits import ConflictError
from circuits.planning.forms import RowForm
from circuits.planning.grid import words
from circuits.planning.plan_page import plan_block
from circuits.planning.row_page import PAGE_OF, Dispute, listing_or_404, part_or_404, store_row
from circuits.planning.rules import build_rules


@permission_required("planning.edit_plan", raise_exception=True)
def row(request: HttpRequest, plan_id: int, listing: str, row_id: int | None = None) -> HttpResponse:
    """The form of a row; without ``row_id`` that of a new one, filled with what the last one hands down."""
    rows_of, loaded = listing_or_404(listing), loaded_or_404(plan_id)
    part = None if row_id is None else part_or_404(loaded, rows_of, row_id)
    cells = rows_of.handed_down(loaded.rows_of(listing)) if part is None else rows_of.cells_of(part)
    form = RowForm(request.POST or None, cells, part.version if part else 0, listing=rows_of)
    dispute: Dispute | None = None
    if request.method == "POST":
        stored = store_row(form, plan_id=plan_id, row_id=row_id, by=person(request))
        if stored is not None and not isinstance(stored, Dispute):
            messages.success(request, f"{stored} is stored.")
            return redirect(PAGE_OF[listing], plan_id)
        dispute = stored
    context = {
        "sheet": plan_block(str(part) if part else f"New {rows_of.one}", loaded.row),
        "plan": loaded.row,
        "part": part,
        "listing": rows_of,
        "back": PAGE_OF[listing],
        "form": form,
        "dispute": dispute,
        "words": words(loaded.plan, build_rules()),
    }
    return render(request, "circuits/planning/row.html", context, status=409 if dispute else 200)


@require_POST
@permission_required("planning.edit_plan", raise_exception=True)
def take_out(request: HttpRequest, plan_id: int, listing: str, row_id: int) -> HttpResponse:
    """Take a row out of its list, if it is still as the person saw it."""
    rows_of = listing_or_404(listing)
    part = part_or_404(loaded_or_404(plan_id), rows_of, row_id)
    seen = request.POST.get("version", "")
    version = int(seen) if seen.isdecimal() else 0
    try:
        delete_rows(plan_id=plan_id, listing=rows_of, versions={row_id: version}, by=person(request))
    except ConflictError:
        messages.error(request, f"{part} was changed by {part.updated_by} meanwhile, so it was not taken out.")
        return redirect("planning:row", plan_id, listing, row_id)
    messages.success(request, f"{part} is taken out.")
    return redirect(PAGE_OF[listing], plan_id)
