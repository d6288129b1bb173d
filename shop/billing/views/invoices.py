"""Invoices and credit notes: made, looked at, fetched as paper."""

from __future__ import annotations

from functools import partial
from typing import Any

from django.forms import BaseFormSet
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from circuits.paper.title_block import TitleBlock
from estimating.quotes.downloads import pdf_download
from estimating.quotes.paper_words import InWords
from estimating.quotes.views.acts import all_valid, done, posted
from shop.billing.access import block, document_or_404, job_or_404, person
from shop.billing.document_record import read_document
from shop.billing.drafting import Draft, books_of, draft_credit, draft_invoice
from shop.billing.forms import LINES_SHOWN, MOST_LINES, CreditForm, InvoiceForm, LineForm, LineFormSet
from shop.billing.issue import paper_of_document
from shop.billing.ledger import ledger_of
from shop.billing.models import Document
from shop.billing.orders import Order, TypedLine, What
from shop.billing.papers import TITLES, sums_of
from shop.billing.services import issue_credit, issue_invoice
from shop.billing.views.permits import may_act, may_see
from shop.jobs.models import Job


@require_http_methods(["GET", "HEAD", "POST"])
@may_act
def new_invoice(request: HttpRequest, job_id: int) -> HttpResponse:
    """What is invoiced, chosen; its lines, looked at; then issued, in one form."""
    job = job_or_404(job_id)
    books = books_of(job)
    initial = {"what": request.GET.get("what", "")}
    form = InvoiceForm(posted(request), initial=initial, has_agreement=books.agreement is not None)
    lines = LineFormSet(_with_more_lines(request), prefix="line")
    order = _order(request, form, lines)
    draft = draft_invoice(books, order, by=person(request), today=timezone.localdate()) if order else None
    if order and draft and request.POST.get("act") == "issue":
        act = partial(_issue_invoice, job, order, form, person(request))
        if made := _issued(request, act, "issued"):
            return redirect("billing:invoice", job.pk, made.pk)
    failed = request.method == "POST" and (order is None or bool(draft and draft.reasons))
    said = InWords(books.currency, books.terms.locale)
    context = {"sheet": block("New invoice", job), "job": job, "form": form, "lines": lines, "books": books}
    context |= {"said": said} | _preview(draft)
    return render(request, "shop/billing/new_invoice.html", context, status=400 if failed else 200)


def _with_more_lines(request: HttpRequest) -> QueryDict | None:
    """What was typed; with room for more lines where that was asked for."""
    data = posted(request)
    if data is None or data.get("act") != "more":
        return data
    data = data.copy()
    shown = data.get("line-TOTAL_FORMS", "")
    if shown.isdecimal():
        data["line-TOTAL_FORMS"] = str(min(int(shown) + LINES_SHOWN, MOST_LINES))
    return data


def _order(request: HttpRequest, form: InvoiceForm, lines: BaseFormSet[LineForm]) -> Order | None:
    """What is asked for, from a form sent in or from a link that names the kind; None where that is not clear yet."""
    if request.method == "POST":
        if not all_valid(form, lines):
            return None
        typed = (one.line for one in lines.forms)
        return form.order(tuple(line for line in typed if isinstance(line, TypedLine)))
    what = request.GET.get("what", "")
    return Order(What(what)) if what in {*What} else None


def _issue_invoice(job: Job, order: Order, form: InvoiceForm, by: str) -> Document:
    data = form.cleaned_data
    return issue_invoice(job=job, order=order, by=by, at=timezone.now(), key=data["key"], seen=data["seen"] or "none")


def _issued(request: HttpRequest, act: Any, word: str) -> Document | None:
    """The document that the act made; None where the rules refuse, which is then said."""
    made: list[Document] = []
    done(request, lambda: made.append(act()), f"The paper is {word}. From now on it cannot be changed.")
    return made[0] if made else None


def _preview(draft: Draft | None) -> dict[str, Any]:
    if draft is None:
        return {"draft": None}
    return {"draft": draft, "record": draft.record, "sums": sums_of(draft.record), "title": TITLES[draft.record.kind]}


@require_safe
@may_see
def invoice(request: HttpRequest, job_id: int, document_id: int) -> HttpResponse:
    """A document as it was issued, and what became of it."""
    row = document_or_404(job_id, document_id)
    ledger = ledger_of(job_id)
    record = read_document(row.content)
    sheet = TitleBlock(
        title=row.get_kind_display(),
        subject=f"{row.job.number} {record.vehicle}",
        number=row.number,
        date=row.issued_on,
        by=row.issued_by,
    )
    context = {"sheet": sheet, "row": row, "job": row.job, "record": record, "sums": sums_of(record)}
    context |= {
        "said": InWords(row.currency, record.locale),
        "open": ledger.account.open.get(row.number),
        "notes": [one.row for one in ledger.documents if one.row.credits_id == row.pk],
        "payments": [payment for payment in ledger.payments if payment.invoice_id == row.pk],
        "can_credit": any(one.row.pk == row.pk for one, _ in ledger.standing) and not ledger.taken_off_by(row.number),
        "today": timezone.localdate(),
    }
    return render(request, "shop/billing/invoice.html", context)


@require_safe
@may_see
def invoice_paper(request: HttpRequest, job_id: int, document_id: int) -> HttpResponse:
    """The PDF that was issued."""
    row = document_or_404(job_id, document_id)
    return pdf_download(bytes(paper_of_document(row.pk, at=timezone.now()).pdf), row.number)


@require_safe
@may_see
def find(request: HttpRequest, document_id: int) -> HttpResponse:
    """Leads from a list to the document's page."""
    row = get_object_or_404(Document.objects.only("pk", "job_id"), pk=document_id)
    return redirect("billing:invoice", row.job_id, row.pk)


@require_http_methods(["GET", "HEAD", "POST"])
@may_act
def credit(request: HttpRequest, job_id: int, document_id: int) -> HttpResponse:
    """A credit note: what is given back and why, looked at, then issued."""
    row = document_or_404(job_id, document_id)
    books = books_of(row.job)
    of = next((one for one in books.ledger.invoices if one.row.pk == row.pk), None)
    if of is None:
        return redirect("billing:invoice", job_id, document_id)
    left = books.ledger.remaining(of)
    form = CreditForm(posted(request), taxable=left.taxable, currency=row.currency)
    draft = None
    if request.method == "POST" and form.is_valid():
        reason, today = form.cleaned_data["reason"], timezone.localdate()
        draft = draft_credit(books, of, form.nets, reason, by=person(request), today=today)
        if request.POST.get("act") == "issue":
            act = partial(_issue_credit, row, form, person(request))
            if made := _issued(request, act, "issued"):
                return redirect("billing:invoice", job_id, made.pk)
    failed = request.method == "POST" and (draft is None or bool(draft.reasons))
    said = InWords(row.currency, of.record.locale)
    context = {"sheet": block("Credit note", row.job), "row": row, "job": row.job, "form": form, "left": left}
    context |= {"said": said} | _preview(draft)
    return render(request, "shop/billing/credit.html", context, status=400 if failed else 200)


def _issue_credit(row: Document, form: CreditForm, by: str) -> Document:
    data = form.cleaned_data
    return issue_credit(
        invoice=row,
        nets=form.nets,
        reason=data["reason"],
        by=by,
        at=timezone.now(),
        key=data["key"],
        seen=data["seen"] or "none",
    )
