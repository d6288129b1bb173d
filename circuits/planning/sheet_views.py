"""The circuit sheet of a plan, in and out."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.text import slugify
from django.views.decorators.http import require_safe

from circuits.errors import UnreadableError
from circuits.plan import Plan
from circuits.planning.access import loaded_or_404, person
from circuits.planning.comparison import compare
from circuits.planning.plan_page import plan_block
from circuits.planning.store import LoadedPlan, StalePlanError, replace_plan
from circuits.planning.uploads import has_fittings, read_uploads, with_fittings_of, with_loom_of
from circuits.sheets import read_sheet, write_csv_zip, write_json, write_template_xlsx, write_xlsx

_XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
FORMATS: dict[str, tuple[Callable[[Plan], bytes], str, str]] = {
    "xlsx": (write_xlsx, _XLSX, "xlsx"),
    "csv": (write_csv_zip, "application/zip", "zip"),
    "json": (write_json, "application/json", "json"),
}


@permission_required("planning.view_plan", raise_exception=True)
def sheet(request: HttpRequest, plan_id: int) -> HttpResponse:
    """Bring a sheet in: read, look at what it changes, then put it in place. Nothing is stored before that."""
    loaded = loaded_or_404(plan_id)
    can_edit = request.user.has_perm("planning.edit_plan")
    context: dict[str, Any] = {"plan": loaded.row, "can_edit": can_edit}
    status = 200
    if request.method == "POST":
        if not can_edit:
            raise PermissionDenied
        try:
            new = _plan_in(request)
            if "put" in request.POST and _put(request, loaded, new):
                return redirect("planning:plan", plan_id)
            context |= _preview(loaded, new)
        except UnreadableError as error:
            context["faults"], status = error.faults, 422
    context["sheet"] = plan_block("Circuit sheet", loaded.row)
    return render(request, "circuits/planning/sheet.html", context, status=status)


def _plan_in(request: HttpRequest) -> Plan:
    """The plan of the upload, or the one read before and waiting in the page."""
    if "waiting" in request.POST:
        return read_sheet(("sheet.json", request.POST["waiting"].encode()))
    return read_uploads(request.FILES.getlist("file"))


def _put(request: HttpRequest, loaded: LoadedPlan, new: Plan) -> bool:
    """Put the new plan in place; False where somebody changed the plan after the preview was made."""
    seen = request.POST.get("version", "")
    if "keep_loom" in request.POST:
        new = with_loom_of(loaded.plan, new)
    if "keep_fittings" in request.POST:
        new = with_fittings_of(loaded.plan, new)
    try:
        replace_plan(
            plan_id=loaded.row.pk, plan=new, expected_version=int(seen) if seen.isdecimal() else 0, by=person(request)
        )
    except StalePlanError as error:
        messages.error(request, f"Not stored: {error}. What the sheet changes is worked out anew below.")
        return False
    messages.success(request, "The circuit sheet is now the plan.")
    return True


def _preview(loaded: LoadedPlan, new: Plan) -> dict[str, Any]:
    lists = compare(loaded.plan, new)
    return {
        "lists": lists,
        "differs": any(one.differs for one in lists),
        "waiting": write_json(new).decode(),
        "lacks_loom": bool(loaded.plan.runs) and not new.runs,
        "lacks_fittings": has_fittings(loaded.plan) and not has_fittings(new),
    }


@require_safe
@permission_required("planning.view_plan", raise_exception=True)
def sheet_file(request: HttpRequest, plan_id: int, file_format: str) -> HttpResponse:
    """The plan as a circuit sheet."""
    if file_format not in FORMATS:
        raise Http404(f"no sheet of format {file_format}")
    loaded = loaded_or_404(plan_id)
    write, content_type, ending = FORMATS[file_format]
    name = slugify(loaded.row.title)[:60] or "plan"
    return _file(write(loaded.plan), content_type, f"{name}-circuits.{ending}")


@require_safe
@permission_required("planning.view_plan", raise_exception=True)
def sheet_template(request: HttpRequest) -> HttpResponse:
    """The empty circuit sheet, to be filled in at survey."""
    return _file(write_template_xlsx(), _XLSX, "circuit-sheet.xlsx")


def _file(content: bytes, content_type: str, name: str) -> HttpResponse:
    return HttpResponse(
        content, content_type=content_type, headers={"Content-Disposition": f'attachment; filename="{name}"'}
    )
