"""All invoices with aged balances; the journal."""

from __future__ import annotations

from datetime import timedelta
from itertools import islice
from typing import Any

from django.db.models import Q, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from circuits.paper.title_block import TitleBlock
from estimating.quotes.downloads import csv_download
from shop.billing.aged import BUCKETS, aged_balances, held_for_customers, totals
from shop.billing.forms import JournalForm
from shop.billing.journal import journal as postings
from shop.billing.journal import journal_csv
from shop.billing.models import Document
from shop.billing.tables import DocumentTable
from shop.billing.views.permits import may_see
from shop.jobs.listing import listing
from shop.jobs.models import every_word

MOST_SHOWN = 400
"""Rows of the journal on its page; the CSV has them all."""

STATES = (
    ("open", "to be paid"),
    ("overdue", "overdue"),
    ("settled", "paid or credited"),
    ("credit", "credit notes"),
)


@require_safe
@may_see
def invoices(request: HttpRequest) -> HttpResponse:
    """Every invoice and credit note: searched, filtered, sorted, taken away; above them what customers owe."""
    words, state, today = request.GET.get("q", "").strip()[:100], request.GET.get("stage", ""), timezone.localdate()
    rows = Document.objects.select_related("job", "balance").defer("content")
    found = every_word(words, "number", "customer_name", "job__number", "job__vehicle__plate")
    aged = aged_balances(today)
    return listing(
        request,
        DocumentTable,
        _in_state(rows.filter(found), state),
        title="Invoices",
        template="shop/billing/invoices.html",
        q=words,
        stage=state,
        stages=STATES,
        buckets=BUCKETS,
        aged=aged,
        totals=totals(aged),
        held=held_for_customers(),
    )


def _in_state(rows: QuerySet[Document], state: str) -> QuerySet[Document]:
    wanted = {
        "open": Q(balance__open__gt=0),
        "overdue": Q(balance__open__gt=0, due_on__lt=timezone.localdate()),
        "settled": Q(balance__open=0),
        "credit": Q(kind="credit"),
    }
    return rows.filter(wanted[state]) if state in wanted else rows


@require_safe
@may_see
def journal(request: HttpRequest) -> HttpResponse:
    """The journal of some days, looked at or taken away as CSV."""
    today = timezone.localdate()
    first = (today.replace(day=1) - timedelta(days=1)).replace(day=1)
    given = request.GET if "first" in request.GET else None
    form = JournalForm(given, initial={"first": first, "last": today})
    days = form.cleaned_data if form.is_valid() else None
    if days and request.GET.get("as") == "csv":
        content = journal_csv(postings(days["first"], days["last"]))
        return csv_download(content, f"journal {days['first']} to {days['last']}")
    context: dict[str, Any] = {"sheet": TitleBlock("Journal"), "form": form, "rows": None}
    if days:
        rows = list(islice(postings(days["first"], days["last"]), MOST_SHOWN + 1))
        context |= {"rows": rows[:MOST_SHOWN], "is_cut": len(rows) > MOST_SHOWN}
    return render(request, "shop/billing/journal.html", context, status=400 if form.errors else 200)
