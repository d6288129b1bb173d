"""What the shop charges, allows and promises."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from circuits.cautions import cautions
from circuits.paper.title_block import TitleBlock
from estimating.quotes.settings_forms import AllowancesForm, TermsForm
from estimating.quotes.settings_services import save_terms
from estimating.quotes.store import takeoff_of, terms_row
from estimating.quotes.views.acts import all_valid, posted


@require_http_methods(["GET", "HEAD", "POST"])
@permission_required("quotes.edit_terms", raise_exception=True)
def terms(request: HttpRequest) -> HttpResponse:
    """Terms and take-off allowances: one form, all faults at once."""
    row = terms_row()
    allowances = AllowancesForm(posted(request), rules=takeoff_of(row.takeoff))
    form = TermsForm(posted(request), instance=row)
    if request.method == "POST" and all_valid(form, allowances):
        row = form.save(commit=False)
        row.takeoff = allowances.stored
        save_terms(row=row)
        messages.success(request, "Stored. Revisions that were sent keep the terms they were sent with.")
        return redirect("quotes:terms")
    context = {
        "sheet": TitleBlock("Terms"),
        "form": form,
        "allowances": allowances,
        "cautions": cautions(),
    }
    return render(
        request, "estimating/quotes/terms.html", context, status=400 if form.errors or allowances.errors else 200
    )
