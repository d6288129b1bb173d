"""The three-point minutes of the shop."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from circuits.paper.title_block import TitleBlock
from estimating.labour.minutes import DEFAULT_MINUTES
from estimating.quotes.settings_forms import MinutesForm
from estimating.quotes.settings_services import save_minutes
from estimating.quotes.store import shop_rules
from estimating.quotes.views.acts import need, posted


@require_http_methods(["GET", "HEAD", "POST"])
@permission_required("quotes.view_hours", raise_exception=True)
def minutes(request: HttpRequest) -> HttpResponse:
    """The table; those who may not change it read it."""
    may_edit = request.user.has_perm("quotes.edit_prices")
    form = MinutesForm(posted(request), table=shop_rules().minutes)
    if request.method == "POST":
        need(request, "quotes.edit_prices")
        if form.is_valid():
            save_minutes(minutes=form.minutes)
            messages.success(request, "Stored. Hours are worked out with these minutes from now on.")
            return redirect("quotes:minutes")
    lines = [(row, bound, DEFAULT_MINUTES.minutes(row.element)) for row, bound in form.lines()]
    context = {"sheet": TitleBlock("Minutes"), "form": form, "lines": lines, "may_edit": may_edit}
    return render(request, "estimating/quotes/minutes.html", context, status=400 if form.errors else 200)
