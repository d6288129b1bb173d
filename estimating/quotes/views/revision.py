"""A revision as it was sent, and the customer's answer to it."""

from __future__ import annotations

import json
from functools import partial

from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from circuits.paper.title_block import TitleBlock
from estimating.quotes.access import person, sent_or_404
from estimating.quotes.downloads import json_download, pdf_download
from estimating.quotes.forms import AcceptForm, DeclineForm
from estimating.quotes.issue import paper_of
from estimating.quotes.models import QuoteRevision
from estimating.quotes.quote_page import Standing, shown
from estimating.quotes.record import read_record
from estimating.quotes.rules import has_expired
from estimating.quotes.services import accept_revision, decline_revision
from estimating.quotes.views.acts import done

may_see = permission_required("quotes.view_prices", raise_exception=True)
may_answer = permission_required("quotes.send_quote", raise_exception=True)


@require_safe
@may_see
def revision(request: HttpRequest, quote_id: int, number: int) -> HttpResponse:
    """What was sent, to the letter."""
    return _render(request, sent_or_404(quote_id, number), AcceptForm(), DeclineForm())


@require_POST
@may_answer
def accept(request: HttpRequest, quote_id: int, number: int) -> HttpResponse:
    """The customer accepts."""
    row = sent_or_404(quote_id, number)
    form = AcceptForm(request.POST)
    if not form.is_valid():
        return _render(request, row, form, DeclineForm())
    act = partial(accept_revision, revision=row, name=form.cleaned_data["name"], at=timezone.now(), by=person(request))
    done(request, act, f"Revision {number} is accepted. The work can be booked.")
    return redirect("quotes:revision", quote_id, number)


@require_POST
@may_answer
def decline(request: HttpRequest, quote_id: int, number: int) -> HttpResponse:
    """The customer says no."""
    row = sent_or_404(quote_id, number)
    form = DeclineForm(request.POST)
    if not form.is_valid():
        return _render(request, row, AcceptForm(), form)
    act = partial(decline_revision, revision=row, reason=form.cleaned_data["reason"], at=timezone.now())
    done(request, act, f"Revision {number} is marked as declined.")
    return redirect("quotes:revision", quote_id, number)


@require_safe
@may_see
def paper(request: HttpRequest, quote_id: int, number: int) -> HttpResponse:
    """The PDF that was sent."""
    row = sent_or_404(quote_id, number)
    made = paper_of(row.pk, at=timezone.now())
    return pdf_download(bytes(made.pdf), f"{row.quote.number} revision {number}")


@require_safe
@may_see
def answer(request: HttpRequest, quote_id: int, number: int) -> HttpResponse:
    """Circuits, findings, parts, hours and quote as they were frozen, for scripts."""
    row = sent_or_404(quote_id, number)
    text = json.dumps(read_record(row.content).answer, ensure_ascii=False, indent=1)
    return json_download(text, f"{row.quote.number} revision {number}")


def _render(request: HttpRequest, row: QuoteRevision, accepting: AcceptForm, declining: DeclineForm) -> HttpResponse:
    page = shown(read_record(row.content), is_draft=False)
    sheet = TitleBlock(
        title="Quote",
        subject=page.content.vehicle.replace("\n", ", ") or row.quote.number,
        number=row.quote.number,
        revision=str(row.number),
        date=page.content.issued_on,
        by=row.sent_by,
    )
    context = {
        "sheet": sheet,
        "revision": row,
        "standing": Standing(row, has_expired(row.state, row.valid_until, timezone.localdate())),
        "shown": page,
        "said": page.said,
        "accepting": accepting,
        "declining": declining,
    }
    status = 400 if accepting.errors or declining.errors else 200
    return render(request, "estimating/quotes/revision.html", context, status=status)
