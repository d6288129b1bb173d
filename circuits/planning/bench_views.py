"""The bench calculator: one wire in ten seconds."""

from __future__ import annotations

from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from circuits.electrical.single import size_single
from circuits.errors import LoomwrightError
from circuits.paper.title_block import TitleBlock
from circuits.plan import DEFAULT_ZONES_C
from circuits.planning.bench import BenchForm
from circuits.planning.circuit_page import wire_line
from circuits.planning.old_for_new import OldFuseForm, OldLampForm
from circuits.planning.rules import build_rules


@permission_required("planning.view_plan", raise_exception=True)
def bench(request: HttpRequest) -> HttpResponse:
    """Load and length in the address, size and fuse on the page; only the result where the page asks for that alone."""
    form = BenchForm(request.GET)
    rules = build_rules()
    context = {"sheet": TitleBlock("Bench: one wire"), "form": form, "zones": DEFAULT_ZONES_C, "rules": rules}
    if not form.is_empty and form.is_valid() and form.load_asked:
        try:
            result = size_single(form.load_asked, rules)
            context |= {"result": result, "line": wire_line(result.wire)}
        except LoomwrightError as error:
            form.add_error(None, str(error))
    old_fuse, old_lamp = OldFuseForm(request.GET, rules.sizing), OldLampForm(request.GET)
    context |= {
        "old_fuse": old_fuse,
        "old_lamp": old_lamp,
        "new_fuse": old_fuse.answer if old_fuse.is_valid() else None,
        "led": old_lamp.answer if old_lamp.is_valid() else None,
    }
    alone = request.headers.get("HX-Request") == "true"
    return render(request, f"circuits/planning/{'_bench_result' if alone else 'bench'}.html", context)
