"""The journal for the bookkeeper: every document and every payment as balanced entries, one amount a row.

Account names are plain words; the bookkeeper's program maps them to its own numbers.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from circuits.sheets.neutral import guarded
from estimating.pricing.invoice import ZERO
from estimating.pricing.money import rounded
from shop.billing.document_record import DocumentRecord, read_document
from shop.billing.models import Direction, Document, Kind, Means, Payment

RECEIVABLES = "receivables"
ROUNDING = "rounding"
COLUMNS = ("date", "number", "what", "job", "customer", "account", "tax_percent", "debit", "credit", "currency", "text")


@dataclass(frozen=True, slots=True)
class Posting:
    """One row: ``debit`` and ``credit`` are 0 or more, one of them is 0."""

    day: date
    number: str
    what: str
    job: str
    customer: str
    account: str
    tax_percent: Decimal | None
    debit: Decimal
    credit: Decimal
    currency: str
    text: str = ""


def postings_of(record: DocumentRecord, customer: str) -> tuple[Posting, ...]:
    """An invoice or credit note as balanced postings: receivables, sales and tax by rate, rounding."""
    totals, sign = record.totals, -1 if record.kind == Kind.CREDIT else 1

    def post(account: str, amount: Decimal, percent: Decimal | None = None) -> Posting:
        signed = amount * sign
        what, text = Kind(record.kind).label, record.credits and f"credits {record.credits}"
        debit, credit = max(signed, ZERO), max(-signed, ZERO)
        return Posting(
            record.date, record.number, what, record.job_number, customer, account, percent, debit, credit,
            record.currency, text,
        )  # fmt: skip

    found = [post(RECEIVABLES, totals.payable)]
    for group in totals.taxes:
        found.append(post("sales", -group.taxable, group.tax_percent))
        found.append(post("sales tax", -group.tax, group.tax_percent))
    found.append(post(ROUNDING, -totals.rounding))
    return tuple(posting for posting in found if posting.debit or posting.credit)


def postings_of_payment(payment: Payment) -> tuple[Posting, ...]:
    """Money received or paid back as two postings."""
    amount, zero = rounded(payment.amount, payment.currency), ZERO
    received = payment.direction == Direction.RECEIVED
    what = "Payment" if received else "Paid back"
    number = payment.invoice.number if payment.invoice else ""

    def post(account: str, is_debit: bool) -> Posting:
        return Posting(
            payment.moved_on, number, what, payment.job.number, payment.job.customer.name, account, None,
            amount if is_debit else zero, zero if is_debit else amount, payment.currency, payment.reference,
        )  # fmt: skip

    return post(Means(payment.means).label, received), post(RECEIVABLES, not received)


def journal(first: date, last: date) -> Iterator[Posting]:
    """All postings of the days from ``first`` to ``last``, by day. Two queries, rows read as they are written."""
    documents = Document.objects.filter(issued_on__range=(first, last)).order_by("issued_on", "pk")
    payments = Payment.objects.filter(moved_on__range=(first, last)).order_by("moved_on", "pk")
    payments = payments.select_related("job__customer", "invoice")
    waiting = list(payments)
    for row in documents.iterator(chunk_size=500):
        while waiting and waiting[0].moved_on < row.issued_on:
            yield from postings_of_payment(waiting.pop(0))
        yield from postings_of(read_document(row.content), row.customer_name)
    for payment in waiting:
        yield from postings_of_payment(payment)


def journal_csv(postings: Iterable[Posting]) -> bytes:
    """The journal as CSV, with no cell that a spreadsheet would run."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for one in postings:
        percent = "" if one.tax_percent is None else f"{one.tax_percent.normalize():f}"
        texts = (one.number, one.what, one.job, one.customer, one.account)
        amounts = (f"{one.debit}" if one.debit else "", f"{one.credit}" if one.credit else "")
        writer.writerow([one.day.isoformat(), *map(guarded, texts), percent, *amounts, one.currency, guarded(one.text)])
    return ("\ufeff" + out.getvalue()).encode()
