"""Everything issued and paid on one job, read in two queries, and what follows from it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from estimating.pricing import account as accounts
from estimating.pricing.account import Act, Entry
from estimating.pricing.claims import LESS, Remaining
from estimating.pricing.invoice import ZERO, InvoiceLine
from estimating.pricing.money import rounded
from shop.billing.document_record import DocumentRecord, read_document
from shop.billing.models import Basis, Direction, Document, Kind, Payment

_INVOICE_WORDS = {Kind.DEPOSIT: "deposit invoice", Kind.PROGRESS: "progress invoice", Kind.FINAL: "final invoice"}


@dataclass(frozen=True, slots=True)
class Issued:
    """A document as a row and as what it froze."""

    row: Document
    record: DocumentRecord

    @property
    def is_credit(self) -> bool:
        """True for a credit note."""
        return self.row.kind == Kind.CREDIT

    @property
    def payable(self) -> Decimal:
        """What it claims or gives back."""
        return self.record.totals.payable

    @property
    def is_on_account(self) -> bool:
        """True where it claims a sum on account, not work: a later invoice for the work credits it."""
        return self.row.kind == Kind.DEPOSIT or (self.row.kind == Kind.PROGRESS and self.row.basis == Basis.AGREED)


@dataclass(frozen=True)
class Ledger:
    """Documents and payments of a job, in the order in which they happened."""

    documents: tuple[Issued, ...]
    payments: tuple[Payment, ...]

    @property
    def currency(self) -> str:
        """Currency of the account; empty before the first entry."""
        row = next((issued.row for issued in self.documents), None) or next(iter(self.payments), None)
        return row.currency if row else ""

    @cached_property
    def invoices(self) -> tuple[Issued, ...]:
        """All but credit notes."""
        return tuple(issued for issued in self.documents if not issued.is_credit)

    @cached_property
    def entries(self) -> tuple[Entry, ...]:
        """The account's entries by their step."""
        numbers = {issued.row.pk: issued.row.number for issued in self.documents}
        steps: dict[int, Entry] = {}
        for issued in self.documents:
            act = Act.CREDIT if issued.is_credit else Act.INVOICE
            steps[issued.row.step] = Entry(act, issued.payable, issued.record.credits or issued.row.number)
        for payment in self.payments:
            act = Act.PAYMENT if payment.direction == Direction.RECEIVED else Act.REFUND
            amount = rounded(payment.amount, payment.currency)
            steps[payment.step] = Entry(act, amount, numbers.get(payment.invoice_id or 0, ""))
        return tuple(steps[step] for step in sorted(steps))

    @cached_property
    def account(self) -> accounts.Account:
        """Where the account stands. Only to be read: ``accounts.replay(ledger.entries)`` gives one to enter into."""
        return accounts.replay(self.entries)

    def remaining(self, invoice: Issued) -> Remaining:
        """What of an invoice has not been credited."""
        taxable = {group.tax_percent: group.taxable for group in invoice.record.totals.taxes}
        payable = invoice.payable
        for note in self.documents:
            if note.is_credit and note.row.credits_id == invoice.row.pk:
                payable -= note.payable
                for group in note.record.totals.taxes:
                    taxable[group.tax_percent] = taxable.get(group.tax_percent, ZERO) - group.taxable
        words = f"{_INVOICE_WORDS[Kind(invoice.row.kind)]} {invoice.row.number}"
        return Remaining(invoice.row.number, words, tuple(taxable.items()), payable)

    @cached_property
    def standing(self) -> tuple[tuple[Issued, Remaining], ...]:
        """Invoices of which something has not been credited."""
        pairs = ((invoice, self.remaining(invoice)) for invoice in self.invoices)
        return tuple((invoice, left) for invoice, left in pairs if not left.is_nothing)

    @property
    def claimed(self) -> Decimal:
        """All that has been invoiced, less what was credited, with tax."""
        return sum((left.payable for _, left in self.standing), ZERO)

    @property
    def paid(self) -> Decimal:
        """All that was received, less what was paid back."""
        signed = (p.amount if p.direction == Direction.RECEIVED else -p.amount for p in self.payments)
        return sum(signed, ZERO)

    def taken_off_by(self, number: str) -> str:
        """Number of the standing invoice that credits the one of ``number`` on itself; empty where none does."""
        for invoice, _ in self.standing:
            if any(line.origin == LESS + number for line in invoice.record.lines):
                return invoice.row.number
        return ""

    def worked_lines(self) -> tuple[InvoiceLine, ...]:
        """Lines of hours and parts on invoices that stand."""
        return tuple(
            line for invoice, _ in self.standing if invoice.row.basis == Basis.WORKED for line in invoice.record.lines
        )


def ledger_of(job_id: int) -> Ledger:
    """The ledger of a job. Two queries."""
    rows = Document.objects.filter(job=job_id).order_by("step")
    payments = Payment.objects.filter(job=job_id).order_by("step")
    return Ledger(tuple(Issued(row, read_document(row.content)) for row in rows), tuple(payments))
