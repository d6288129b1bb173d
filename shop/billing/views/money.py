"""The money sheet of a job; money received and paid back."""

from __future__ import annotations

from decimal import Decimal
from functools import partial

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from estimating.pricing.money import rounded
from estimating.quotes.paper_words import InWords
from estimating.quotes.views.acts import done, posted
from shop.billing.access import block, job_or_404, person
from shop.billing.forms import PaymentForm, RefundForm
from shop.billing.ledger import ledger_of
from shop.billing.models import Document
from shop.billing.money_page import money_page
from shop.billing.services import book_payment, book_refund
from shop.billing.views.permits import may_act, may_see


@require_safe
@may_see
def money(request: HttpRequest, job_id: int) -> HttpResponse:
    """Where the job stands in money."""
    job = job_or_404(job_id)
    page = money_page(job, timezone.localdate())
    return render(request, "shop/billing/money.html", {"sheet": block("Money", job), "page": page, "said": page.said})


@require_http_methods(["GET", "HEAD", "POST"])
@may_act
def pay(request: HttpRequest, job_id: int) -> HttpResponse:
    """Money received."""
    job, ledger = job_or_404(job_id), ledger_of(job_id)
    said = InWords(ledger.currency or "EUR")
    still_open = [(one.row, ledger.account.open[one.row.number]) for one in ledger.invoices]
    choices = [(row.pk, f"{row.number}: {said.amount(left)} {row.currency} open") for row, left in still_open if left]
    wanted = request.GET.get("invoice", "")
    first = next(((row, left) for row, left in still_open if left and wanted in ("", str(row.pk))), None)
    initial = {"moved_on": timezone.localdate(), "invoice": first and first[0].pk, "amount": first and first[1]}
    form = PaymentForm(posted(request), initial=initial, invoices=choices)
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        data["invoice"] = Document.objects.filter(pk=data["invoice"]).first() if data["invoice"] else None
        act = partial(book_payment, job=job, by=person(request), at=timezone.now(), **data)
        if done(request, act, f"{data['amount']} {ledger.currency} booked as received."):
            return redirect("billing:money", job_id)
    context = {"sheet": block("Payment", job), "form": form, "job": job, "due": ledger.account.due, "said": said}
    return render(request, "shop/billing/pay.html", context, status=400 if request.method == "POST" else 200)


@require_http_methods(["GET", "HEAD", "POST"])
@may_act
def refund(request: HttpRequest, job_id: int) -> HttpResponse:
    """Money paid back."""
    job, ledger = job_or_404(job_id), ledger_of(job_id)
    said, held = InWords(ledger.currency or "EUR"), ledger.account.held
    amount: Decimal | None = rounded(held, ledger.currency) if held else None
    form = RefundForm(posted(request), initial={"moved_on": timezone.localdate(), "amount": amount})
    if request.method == "POST" and form.is_valid():
        data = form.cleaned_data
        act = partial(book_refund, job=job, by=person(request), at=timezone.now(), **data)
        if done(request, act, f"{data['amount']} {ledger.currency} booked as paid back."):
            return redirect("billing:money", job_id)
    context = {"sheet": block("Pay back", job), "form": form, "job": job, "held": held, "said": said}
    return render(request, "shop/billing/refund.html", context, status=400 if request.method == "POST" else 200)
