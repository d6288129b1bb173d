"""The shop's build rules."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from circuits.paper.title_block import TitleBlock
from circuits.planning.access import person
from circuits.planning.rules import rules_row, save_build_rules, stored_rules
from circuits.planning.rules_form import BuildRulesForm


@permission_required("planning.edit_rules", raise_exception=True)
def rules(request: HttpRequest) -> HttpResponse:
    """Stocked sizes, insulation, fuses and allowances: used from now on; quotes already sent keep theirs."""
    form = BuildRulesForm(request.POST or None, stored_rules()[0])
    if request.method == "POST" and form.is_valid() and form.rules:
        save_build_rules(rules=form.rules, by=person(request))
        messages.success(request, "Stored. Used from now on; quotes already sent keep theirs.")
        return redirect("planning:rules")
    row = rules_row()
    sheet = TitleBlock(
        "How we build",
        revision=str(row.version) if row else "",
        date=row.updated_at.date() if row else None,
        by=row.updated_by if row else "",
    )
    return render(request, "circuits/planning/rules.html", {"sheet": sheet, "form": form})
