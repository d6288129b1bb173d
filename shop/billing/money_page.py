"""What the money sheet of a job shows: agreed, changes, invoiced, paid, due, and what to do next."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimating.pricing.invoice import ZERO
from estimating.quotes.paper_words import InWords
from shop.billing.agreement import Difference, difference_of
from shop.billing.drafting import Books, books_of
from shop.billing.ledger import Issued
from shop.billing.models import Change, ChangeState
from shop.billing.orders import What
from shop.jobs.models import Job


@dataclass(frozen=True, slots=True)
class MoneyStep:
    """What stands, what to do, and where: a URL name of this app, with the kind of invoice where it is one."""

    stands: str
    to_do: str
    page: str = ""
    what: str = ""


@dataclass(frozen=True, slots=True)
class DocumentLine:
    """A document on the sheet."""

    issued: Issued
    open: Decimal | None
    overdue_days: int


@dataclass(frozen=True)
class MoneyPage:
    """The sheet in values."""

    books: Books
    said: InWords
    changes: tuple[Change, ...]
    difference: Difference | None
    documents: tuple[DocumentLine, ...]
    step: MoneyStep

    @property
    def job(self) -> Job:
        """Whose money it is."""
        return self.books.job

    @property
    def due(self) -> Decimal:
        """Still to be paid."""
        return self.books.ledger.account.due

    @property
    def held(self) -> Decimal:
        """The customer's money that no invoice asks for."""
        return self.books.ledger.account.held

    @property
    def unaccepted(self) -> tuple[str, ...]:
        """Circuits whose work the customer has not accepted."""
        return self.difference.names if self.difference else ()


def money_page(job: Job, today: date) -> MoneyPage:
    """The sheet of a job: a fixed number of queries."""
    books = books_of(job)
    changes = tuple(Change.objects.without_content().filter(job=job).order_by("-number"))
    found = difference_of(job, books.agreement) if books.agreement else None
    ledger = books.ledger
    documents = tuple(
        DocumentLine(
            issued,
            None if issued.is_credit else ledger.account.open[issued.row.number],
            max((today - issued.row.due_on).days, 0),
        )
        for issued in reversed(ledger.documents)
    )
    currency = ledger.currency or books.currency
    said = InWords(currency, books.terms.locale)
    step = _step(books, changes, found, documents, said)
    return MoneyPage(books, said, changes, found, documents, step)


def _step(
    books: Books,
    changes: tuple[Change, ...],
    found: Difference | None,
    documents: tuple[DocumentLine, ...],
    said: InWords,
) -> MoneyStep:
    """The first thing that money waits for."""
    account = books.ledger.account
    late = [line for line in documents if line.open and line.overdue_days]
    if late:
        owed = said.money(sum((line.open or ZERO for line in late), ZERO))
        return MoneyStep(f"{owed} overdue.", "Ask for it, and book the payment when it comes.", "pay")
    if books.agreement is None:
        if not documents:
            return MoneyStep(
                "No price agreed yet.",
                "Take the acceptance of the quote down, or invoice hours and parts.",
                "new_invoice",
                What.WORK,
            )
    elif found:
        waiting = next((change for change in changes if change.state == ChangeState.SENT), None)
        if waiting:
            return MoneyStep(f"Change {waiting.number} is with the customer.", "Take the answer down.", "sent_change")
        count = len(found.names)
        noun = "circuit differs" if count == 1 else "circuits differ"
        return MoneyStep(f"{count} {noun} from what was accepted.", "Send the change before the work.", "change")
    if books.agreement is not None and not documents and books.deposit > 0:
        return MoneyStep(f"{said.money(books.deposit)} deposit agreed.", "Invoice it.", "new_invoice", What.DEPOSIT)
    if account.due:
        return MoneyStep(f"{said.money(account.due)} to come.", "Book the payment when it comes.", "pay")
    if books.agreement is not None and books.agreed_left > 0:
        return MoneyStep(
            f"{said.money(books.agreed_left)} of the agreed price not invoiced.",
            "Invoice a part, or the rest when the work is done.",
            "new_invoice",
            What.REST,
        )
    if account.held:
        return MoneyStep(f"{said.money(account.held)} held for the customer.", "Pay it back.", "refund")
    return MoneyStep("All is invoiced and paid.", "Nothing to do here.")
