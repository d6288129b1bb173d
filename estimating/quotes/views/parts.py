"""The parts of a plan."""

from __future__ import annotations

from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from estimating.quotes.access import circuit_urls, plan_block, plan_or_404
from estimating.quotes.downloads import csv_download
from estimating.quotes.paper_words import InWords
from estimating.quotes.parts_page import parts_csv, parts_groups
from estimating.quotes.store import worked_up


@require_safe
@permission_required("planning.view_plan", raise_exception=True)
def parts(request: HttpRequest, plan_id: int) -> HttpResponse:
    """The take-off by kind; prices only for those who may see them."""
    plan = plan_or_404(plan_id)
    worked = worked_up(plan_id)
    with_prices = request.user.has_perm("quotes.view_prices")
    groups = parts_groups(worked.workup, circuit_urls(plan_id), with_prices=with_prices)
    if request.GET.get("as") == "csv":
        return csv_download(parts_csv(groups, with_prices=with_prices), f"parts {plan.title}")
    context = {
        "sheet": plan_block("Parts", plan),
        "plan": plan,
        "groups": groups,
        "with_prices": with_prices,
        "quote": worked.workup.quote if with_prices else None,
        "said": InWords(worked.rules.terms.currency, worked.rules.terms.locale),
        "lengths": worked.rules.build.lengths,
        "slack_percent": 100 * worked.rules.build.lengths.slack_ratio,
    }
    return render(request, "estimating/quotes/parts.html", context)
