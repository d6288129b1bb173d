"""The list of invoices and credit notes as declared columns."""

from __future__ import annotations

from decimal import Decimal

from estimating.quotes.paper_words import InWords
from shop.billing.models import Document, Kind
from shop.jobs.sheet_table import Cell, SheetTable
from shop.jobs.tables import day


def amount(value: Decimal | None, currency: str) -> str:
    """An amount as the list says it.

    Examples
    --------
    >>> amount(Decimal("1234.5"), "EUR")
    '1,234.50 EUR'
    """
    return "" if value is None else f"{InWords(currency).amount(value)} {currency}"


def open_of(document: Document) -> Decimal | None:
    """What is still to be paid; None for a credit note."""
    return document.balance.open if document.kind != Kind.CREDIT else None


def claimed(document: Document) -> Decimal:
    """What it claims; negative for a credit note."""
    amount: Decimal = document.payable
    return -amount if document.kind == Kind.CREDIT else amount


class DocumentTable(SheetTable):
    """Every invoice and credit note, newest first."""

    caption = "Invoices"
    number = Cell(lambda row: row.number, opens="billing:find", accessor="pk", verbose_name="Number")
    kind = Cell(lambda row: row.get_kind_display(), orderable=False, verbose_name="Kind")
    customer = Cell(lambda row: row.customer_name, accessor="customer_name", verbose_name="Customer")
    job = Cell(lambda row: row.job.number, orderable=False, verbose_name="Job")
    issued_on = Cell(lambda row: day(row.issued_on), verbose_name="Date")
    due_on = Cell(lambda row: "" if row.kind == Kind.CREDIT else day(row.due_on), verbose_name="Due")
    payable = Cell(lambda row: amount(claimed(row), row.currency), figure=True, verbose_name="With tax")
    open = Cell(
        lambda row: amount(open_of(row), row.currency), figure=True, accessor="balance__open", verbose_name="Open"
    )

    class Meta:
        model = Document
        fields = ("number", "kind", "customer", "job", "issued_on", "due_on", "payable", "open")
        order_by = ("-number",)
        empty_text = "No invoice here yet. Invoices are made on the money sheet of a job."
