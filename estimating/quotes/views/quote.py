"""The page of a quote: today's offer, what has been sent, sending."""

from __future__ import annotations

from functools import partial

from django.contrib.auth.decorators import permission_required
from django.core.exceptions import BadRequest
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from circuits.paper.title_block import TitleBlock
from estimating.quotes.access import person, plan_block, plan_or_404, quote_or_404
from estimating.quotes.downloads import pdf_download
from estimating.quotes.forms import DraftForm, SendForm, StartForm
from estimating.quotes.issue import draft_pdf
from estimating.quotes.quote_page import QuotePage, draft_texts, quote_page
from estimating.quotes.services import create_quote, send_revision, write_draft
from estimating.quotes.views.acts import done, need, posted

may_see = permission_required("quotes.view_prices", raise_exception=True)


@require_http_methods(["GET", "HEAD", "POST"])
@may_see
def for_plan(request: HttpRequest, plan_id: int) -> HttpResponse:
    """Leads to the plan's latest quote, or makes the first."""
    plan = plan_or_404(plan_id)
    if latest := plan.quotes.order_by("-pk").first():
        return redirect("quotes:quote", latest.pk)
    form = StartForm(posted(request), initial={"vehicle": plan.description or plan.title})
    if request.method == "POST" and form.is_valid():
        need(request, "quotes.edit_quote")
        made = create_quote(plan=plan, by=person(request), at=timezone.now(), **form.cleaned_data)
        return redirect("quotes:quote", made.pk)
    context = {"sheet": plan_block("Quote", plan), "plan": plan, "form": form}
    return render(request, "estimating/quotes/start.html", context, status=400 if form.errors else 200)


@require_http_methods(["GET", "HEAD", "POST"])
@may_see
def quote(request: HttpRequest, quote_id: int) -> HttpResponse:
    """Today's offer and where the quote stands; POST stores what is said on the next revision."""
    page = _page(request, quote_id)
    form = DraftForm(posted(request), initial=draft_texts(page.draft), usual=page.draft.usual_basis)
    if request.method == "POST":
        need(request, "quotes.edit_quote")
        if form.is_valid() and done(request, lambda: write_draft(quote=page.quote, **form.cleaned_data), "Stored."):
            return redirect("quotes:quote", quote_id)
    return _render(request, page, form)


@require_POST
@permission_required("quotes.send_quote", raise_exception=True)
def send(request: HttpRequest, quote_id: int) -> HttpResponse:
    """Sends what the sender looked at as the next revision."""
    row = quote_or_404(quote_id)
    form = SendForm(request.POST)
    if not form.is_valid():
        raise BadRequest("This form is not ours: open the quote again.")
    act = partial(send_revision, quote=row, by=person(request), at=timezone.now(), **form.cleaned_data)
    if done(request, act, f"Revision {form.cleaned_data['expected']} is with the customer."):
        return redirect("quotes:revision", row.pk, form.cleaned_data["expected"])
    return redirect("quotes:quote", row.pk)


@require_safe
@may_see
def draft_paper(request: HttpRequest, quote_id: int) -> HttpResponse:
    """The PDF as it would be, marked as a draft."""
    page = _page(request, quote_id)
    return pdf_download(draft_pdf(page.draft.record), f"{page.quote.number} draft")


def _page(request: HttpRequest, quote_id: int) -> QuotePage:
    return quote_page(quote_or_404(quote_id), by=person(request), at=timezone.now())


def _render(request: HttpRequest, page: QuotePage, form: DraftForm) -> HttpResponse:
    sheet = TitleBlock(
        title="Quote",
        subject=page.quote.plan.title,
        number=page.quote.number,
        revision=page.revision_words,
        by=page.quote.created_by,
    )
    send_form = SendForm(initial={"expected": page.draft.revision.number, "seen": page.draft.fingerprint})
    context = {
        "sheet": sheet,
        "page": page,
        "shown": page.shown,
        "said": page.shown.said,
        "form": form,
        "send_form": send_form,
    }
    return render(request, "estimating/quotes/quote.html", context, status=400 if form.errors else 200)
