"""What can happen to the money of a job. Each is one transaction, and holds the job's account until its end.

A number is taken from its series in the very transaction that stores the document: a roll-back or a crash gives it
back, and nobody can take the one after it meanwhile. A form sent in twice carries the same key and is heard once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from typing import TypeVar
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from circuits.errors import PlanError
from circuits.outbox.queue import enqueue
from estimating.pricing import account as accounts
from estimating.pricing.account import Act, Entry
from estimating.pricing.money import rounded
from estimating.quotes.numbering import next_number
from estimating.quotes.rules import RefusedError
from shop.billing.document_record import DocumentRecord, write_document
from shop.billing.drafting import Books, Draft, books_of, draft_credit, draft_invoice
from shop.billing.ledger import Issued, Ledger, ledger_of
from shop.billing.models import Account, Balance, Direction, Document, Kind, Means, Payment
from shop.billing.orders import Order
from shop.jobs.models import Job

MAKE_PAPER = "billing.make_paper"
INVOICES, CREDITS = "I", "CN"

R = TypeVar("R", Document, Payment)


@transaction.atomic
def issue_invoice(*, job: Job, order: Order, by: str, at: datetime, key: UUID, seen: str = "") -> Document:
    """Issues an invoice with the next number.

    Parameters
    ----------
    job : Job
    order : Order
        What it claims.
    by : str
        Name of the member of staff.
    at : datetime
        Now; its day in the shop's time zone is the date of the invoice, its year goes into the number.
    key : UUID
        Names this one wish to issue: asked again with the same key, the same invoice is the answer.
    seen : str
        ``Draft.fingerprint`` of what was looked at; another one means that something has changed since.

    Raises
    ------
    RefusedError
        With every reason.
    """
    account = _held(job)
    if made := _made(Document.objects.filter(key=key).first(), job):
        return made
    books = books_of(job)
    draft = draft_invoice(books, order, by=by, today=timezone.localdate(at))
    return _issue(account, books, draft, INVOICES, at=at, key=key, seen=seen)


@transaction.atomic
def issue_credit(
    *, invoice: Document, nets: Mapping[Decimal, Decimal], reason: str, by: str, at: datetime, key: UUID, seen: str = ""
) -> Document:
    """Issues a credit note on an invoice: what was issued is never edited.

    Parameters
    ----------
    invoice : Document
    nets : mapping of Decimal to Decimal
        Net given back by tax rate [%].
    reason : str
        Printed on the note.
    by, at, key, seen
        As for ``issue_invoice``.

    Raises
    ------
    RefusedError
        With every reason: no reason given, more than remains, or credited elsewhere.
    """
    account = _held(invoice.job)
    if made := _made(Document.objects.filter(key=key).first(), invoice.job):
        return made
    books = books_of(invoice.job)
    of = next((one for one in books.ledger.invoices if one.row.pk == invoice.pk), None)
    if of is None:
        raise RefusedError(f"{invoice.number} is no invoice: only an invoice can be credited.")
    draft = draft_credit(books, of, nets, reason, by=by, today=timezone.localdate(at))
    return _issue(account, books, draft, CREDITS, at=at, key=key, seen=seen, of=of)


@transaction.atomic
def book_payment(
    *,
    job: Job,
    invoice: Document | None,
    amount: Decimal,
    means: Means,
    moved_on: date,
    by: str,
    at: datetime,
    key: UUID,
    reference: str = "",
) -> Payment:
    """Books money received. It pays the invoice named, then the others, the oldest first; the rest is held.

    Raises
    ------
    RefusedError
        For an amount that is not above 0 or too fine, a day that is yet to come, or an invoice of another job.
    """
    account = _held(job)
    if made := _made(Payment.objects.filter(key=key).first(), job):
        return made
    row = Payment(job=job, direction=Direction.RECEIVED, invoice=invoice, amount=amount, means=means, key=key)
    row.moved_on, row.reference, row.booked_by, row.booked_at = moved_on, reference.strip(), by, at
    if invoice is not None and (invoice.job_id != job.pk or invoice.kind == Kind.CREDIT):
        raise RefusedError(f"{invoice.number} is no invoice of job {job.number}.")
    entry = Entry(Act.PAYMENT, amount, invoice.number if invoice else "")
    return _book(account, ledger_of(job.pk), row, entry)


@transaction.atomic
def book_refund(
    *,
    job: Job,
    amount: Decimal,
    means: Means,
    moved_on: date,
    by: str,
    at: datetime,
    key: UUID,
    reference: str = "",
) -> Payment:
    """Books money paid back: at most what is held for the customer.

    Raises
    ------
    RefusedError
        As for ``book_payment``, and for more than is held.
    """
    account = _held(job)
    if made := _made(Payment.objects.filter(key=key).first(), job):
        return made
    row = Payment(job=job, direction=Direction.PAID_BACK, amount=amount, means=means, key=key)
    row.moved_on, row.reference, row.booked_by, row.booked_at = moved_on, reference.strip(), by, at
    return _book(account, ledger_of(job.pk), row, Entry(Act.REFUND, amount))


def _held(job: Job) -> Account:
    """The job's account, locked until the transaction ends, so that of two acts the second sees the first."""
    Account.objects.get_or_create(job=job)
    return Account.objects.select_for_update().get(job=job)


def _made(row: R | None, job: Job) -> R | None:
    """What was stored under this key before; a key of another job is not ours to answer."""
    if row is not None and row.job_id != job.pk:
        raise RefusedError("This form belongs to another job: open it again.")
    return row


def _issue(
    account: Account,
    books: Books,
    draft: Draft,
    letter: str,
    *,
    at: datetime,
    key: UUID,
    seen: str,
    of: Issued | None = None,
) -> Document:
    if seen and seen != draft.fingerprint:
        raise RefusedError("Something has changed since you looked: read it again, then issue it.")
    if draft.reasons:
        raise RefusedError(*draft.reasons)
    number = next_number(letter, timezone.localdate(at).year)
    record = replace(draft.record, number=number)
    row = _row(record, account, books.job, at=at, key=key, of=of)
    row.full_clean()
    row.save()
    act = Act.CREDIT if of else Act.INVOICE
    _enter(account, books.ledger, Entry(act, record.totals.payable, of.row.number if of else number), record.currency)
    enqueue(MAKE_PAPER, row.pk)
    return row


def _row(record: DocumentRecord, account: Account, job: Job, *, at: datetime, key: UUID, of: Issued | None) -> Document:
    series, _, sequence = record.number.rpartition("-")
    return Document(
        job=job,
        kind=record.kind,
        basis=record.basis,
        series=series,
        sequence=int(sequence),
        number=record.number,
        credits=of.row if of else None,
        step=account.steps + 1,
        customer_name=job.customer.name,
        currency=record.currency,
        net=record.totals.net,
        tax=record.totals.tax,
        total=record.totals.total,
        payable=record.totals.payable,
        issued_on=record.date,
        due_on=record.due_on,
        issued_at=at,
        issued_by=record.by,
        key=key,
        content=write_document(record),
    )


def _book(account: Account, ledger: Ledger, row: Payment, entry: Entry) -> Payment:
    row.currency, row.step = ledger.currency, account.steps + 1
    if not row.currency:
        raise RefusedError("Nothing has been invoiced on this job yet: issue the deposit invoice first.")
    if not row.amount.is_finite() or rounded(row.amount, row.currency) != row.amount:
        raise RefusedError(f"{row.amount} is finer than {row.currency} can be paid.")
    if row.moved_on > timezone.localdate(row.booked_at):
        raise RefusedError(f"{row.moved_on:%d %b %Y} is yet to come: book money on the day it moves.")
    # First the account: it says in words what the columns' limits would only number.
    changed = _after(ledger, entry)
    row.full_clean()
    row.save()
    _keep(account, ledger, changed, row.currency)
    return row


def _enter(account: Account, ledger: Ledger, entry: Entry, currency: str) -> None:
    _keep(account, ledger, _after(ledger, entry), currency)


def _after(ledger: Ledger, entry: Entry) -> accounts.Account:
    after = accounts.replay(ledger.entries)
    try:
        after.enter(entry)
    except PlanError as error:
        raise RefusedError(f"{str(error)[:1].upper()}{str(error)[1:]}.") from error
    return after


def _keep(account: Account, ledger: Ledger, after: accounts.Account, currency: str) -> None:
    """Brings account and balances to where the entries lead."""
    before = ledger.account.open
    keys = dict(Document.objects.filter(job=account.job_id).values_list("number", "pk"))
    for number, still_open in after.open.items():
        if number not in before:
            Balance.objects.create(document_id=keys[number], open=still_open)
        elif still_open != before[number]:
            Balance.objects.filter(document=keys[number]).update(open=still_open)
    account.steps += 1
    account.held, account.currency = after.held, currency
    account.save()
