"""The invoice or credit note as it would be issued now, and why it cannot be."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from decimal import Decimal
from functools import cached_property

from django.utils import timezone

from circuits.errors import PlanError
from estimating.pricing.claims import Claim, Remaining, credit, rest, share, whole
from estimating.pricing.invoice import ZERO, InvoiceLine, invoiced, nets_by_rate, totals_of
from estimating.pricing.money import decimals_of, rounded
from estimating.pricing.quote import Terms
from estimating.quotes.letterheads import shop_letterhead
from estimating.quotes.paper_words import InWords
from estimating.quotes.store import shop_rules
from shop.billing.agreement import Agreement, agreement_of
from shop.billing.document_record import DocumentRecord, fingerprint
from shop.billing.ledger import Issued, Ledger, ledger_of
from shop.billing.models import Basis, Kind
from shop.billing.orders import Order, What
from shop.billing.worked import work_lines
from shop.jobs.models import Job

_KINDS = {
    What.DEPOSIT: Kind.DEPOSIT,
    What.PART: Kind.PROGRESS,
    What.REST: Kind.FINAL,
    What.WORK: Kind.PROGRESS,
    What.WORK_REST: Kind.FINAL,
}


@dataclass(frozen=True)
class Draft:
    """A document that is not issued yet. ``reasons`` say why it cannot be, if so."""

    record: DocumentRecord
    reasons: tuple[str, ...]

    @cached_property
    def fingerprint(self) -> str:
        """Names what is claimed, so that whoever issues it can say what was looked at."""
        return fingerprint(self.record)


@dataclass(frozen=True)
class Books:
    """What an invoice is drafted from: the agreement, the ledger, and the terms that hold for the job."""

    job: Job
    agreement: Agreement | None
    ledger: Ledger
    terms: Terms

    @property
    def currency(self) -> str:
        """Currency of the job's invoices."""
        return self.terms.currency

    @property
    def agreed_left(self) -> Decimal:
        """What of the agreed price has not been invoiced."""
        return (self.agreement.total if self.agreement else ZERO) - self.ledger.claimed

    @property
    def deposit(self) -> Decimal:
        """Deposit as agreed, less deposits invoiced."""
        if self.agreement is None:
            return ZERO
        claimed = (left.payable for one, left in self.ledger.standing if one.row.kind == Kind.DEPOSIT)
        return max(self.agreement.record.priced.deposit - sum(claimed, ZERO), ZERO)


def books_of(job: Job) -> Books:
    """The books of a job in a fixed number of queries."""
    agreement = agreement_of(job)
    terms = agreement.record.terms if agreement else shop_rules().terms
    return Books(job, agreement, ledger_of(job.pk), terms)


def draft_invoice(books: Books, order: Order, *, by: str, today: date) -> Draft:
    """The invoice that ``order`` asks for, as it would be issued on ``today``."""
    reasons = list(_reasons(books, order))
    try:
        claim = _claim(books, order) if not reasons else whole((), books.currency)
    except PlanError as error:
        reasons.append(f"{error}.")
        claim = whole((), books.currency)
    if not reasons and not claim.lines:
        reasons.append("Nothing is left to be invoiced.")
    prepaid = min(books.ledger.account.held, max(claim.totals.payable, ZERO))
    record = _record(books, order, claim, prepaid, by, today)
    return Draft(record, tuple(reasons))


def _reasons(books: Books, order: Order) -> list[str]:
    reasons = []
    if order.what.is_agreed and books.agreement is None:
        reasons.append(
            "No quote has been accepted: there is no agreed price. Invoice hours and parts, or send a quote."
        )
    if order.what.is_agreed and order.lines:
        reasons.append("Work beyond the agreed price needs a change that the customer accepts: leave the lines empty.")
    if books.ledger.currency not in ("", books.currency):
        reasons.append(f"This job is invoiced in {books.ledger.currency}, not in {books.currency}.")
    if books.agreement is not None and order.what in (What.DEPOSIT, What.PART):
        reasons += _reasons_of_amount(books, order)
    return reasons


def _reasons_of_amount(books: Books, order: Order) -> list[str]:
    amount = _amount(books, order)
    if amount <= 0:
        if order.what is What.DEPOSIT and order.amount is None:
            return ["No deposit is left to be invoiced: none was agreed, or it has been invoiced."]
        return ["Give an amount above 0."]
    if amount > books.agreed_left:
        return [f"{amount} is more than what is left of the agreed price: {books.agreed_left} {books.currency}."]
    if rounded(amount, books.currency) != amount:
        return [f"{amount} is finer than {books.currency} can be paid."]
    return []


def _amount(books: Books, order: Order) -> Decimal:
    if order.amount is not None:
        return order.amount
    return min(books.deposit, books.agreed_left) if order.what is What.DEPOSIT else ZERO


def _claim(books: Books, order: Order) -> Claim:
    currency, ledger = books.currency, books.ledger
    if order.what.is_agreed:
        assert books.agreement is not None
        agreed = _agreed_lines(books.agreement)
        total = books.agreement.total
        if order.what is not What.REST:
            return share(agreed, total, _amount(books, order), _share_words(books.agreement, order), currency)
        earlier = [left for _, left in ledger.standing]
        if total == ledger.claimed and not _differs(agreed, earlier, currency):
            return whole((), currency)
        return rest(agreed, total, earlier, currency)
    lines = work_lines(books.job, books.agreement, ledger, books.terms, order)
    if order.what is What.WORK:
        return whole(lines, currency)
    on_account = [
        left for one, left in ledger.standing if one.is_on_account and not ledger.taken_off_by(one.row.number)
    ]
    return rest(lines, totals_of(lines, currency).total, on_account, currency)


def _agreed_lines(agreement: Agreement) -> tuple[InvoiceLine, ...]:
    """The agreed lines; those of a change say so."""
    lines = [invoiced(line) for line in agreement.record.priced.lines]
    for row, record in agreement.changes:
        lines += [invoiced(replace(line, text=f"{row}: {line.text}")) for line in record.priced.lines]
    return tuple(lines)


def _differs(agreed: tuple[InvoiceLine, ...], earlier: Sequence[Remaining], currency: str) -> bool:
    """True where the nets of some tax rate are not those invoiced, by more than the odd cent of each share."""
    left = nets_by_rate(agreed)
    for before in earlier:
        for rate, net in before.taxable:
            left[rate] = left.get(rate, ZERO) - net
    odd = Decimal(1).scaleb(-decimals_of(currency)) * len(earlier)
    return any(abs(net) > odd for net in left.values())


def _share_words(agreement: Agreement, order: Order) -> str:
    what = "Deposit" if order.what is What.DEPOSIT else "Part of the agreed price"
    return f"{what}, {agreement.words}"


def _record(books: Books, order: Order, claim: Claim, prepaid: Decimal, by: str, today: date) -> DocumentRecord:
    agreement = books.agreement
    totals = totals_of(claim.lines, books.currency, prepaid=prepaid, rounding=claim.totals.rounding)
    return DocumentRecord(
        kind=_KINDS[order.what],
        basis=Basis.AGREED if order.what.is_agreed else Basis.WORKED,
        number="",
        date=today,
        due_on=today + timedelta(days=order.days),
        by=by,
        letterhead=shop_letterhead(),
        addressee=books.job.customer.addressee,
        vehicle=str(books.job.vehicle),
        job_number=books.job.number,
        currency=books.currency,
        locale=books.terms.locale,
        lines=claim.lines,
        totals=totals,
        agreed=_agreed(agreement, books.terms.locale) if agreement else (),
        note=order.note.strip(),
    )


def _agreed(agreement: Agreement, locale: str) -> tuple[str, ...]:
    said, revision = InWords(agreement.currency, locale), agreement.revision

    def accepted(what: str, name: str, at: datetime | None) -> str:
        return f"{what}, accepted by {name}" + (f" on {said.day(timezone.localdate(at))}." if at else ".")

    quote = f"Quote {agreement.record.heading.number}, revision {revision.number}"
    return (
        accepted(quote, revision.accepted_name, revision.accepted_at),
        *(accepted(str(row), row.answered_name, row.answered_at) for row, _ in agreement.changes),
    )


def draft_credit(
    books: Books, invoice: Issued, nets: Mapping[Decimal, Decimal], reason: str, *, by: str, today: date
) -> Draft:
    """The credit note on ``invoice`` that gives back ``nets`` by tax rate."""
    currency = invoice.row.currency
    reasons = []
    if not reason.strip():
        reasons.append("Say why it is credited: the note prints it.")
    if by_other := books.ledger.taken_off_by(invoice.row.number):
        reasons.append(f"It is credited on invoice {by_other} already: credit that one.")
    claim = whole((), currency)
    try:
        claim = credit(books.ledger.remaining(invoice), nets, reason.strip(), currency)
    except PlanError as error:
        reasons.append(f"{str(error)[:1].upper()}{str(error)[1:]}.")
    record = replace(
        invoice.record,
        kind=Kind.CREDIT,
        number="",
        date=today,
        due_on=today,
        by=by,
        letterhead=shop_letterhead(),
        lines=claim.lines,
        totals=totals_of(claim.lines, currency, rounding=claim.totals.rounding),
        note=reason.strip(),
        credits=invoice.row.number,
    )
    return Draft(record, tuple(reasons))
