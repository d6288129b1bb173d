"""What the page of a customer link shows: the quote and the change as they stand, and the papers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.utils import timezone

from circuits.paper.title_block import TitleBlock
from estimating.quotes.models import QuoteRevision
from estimating.quotes.paper_words import InWords
from estimating.quotes.quote_page import Shown, Standing, shown
from estimating.quotes.record import read_record
from estimating.quotes.rules import has_expired
from estimating.quotes.states import State
from shop.billing.change_papers import circuit_sentences, more_or_less
from shop.billing.change_record import ChangeRecord, read_change
from shop.billing.models import Change, ChangeState
from shop.links.models import CustomerLink
from shop.links.papers import CustomerPaper, papers_of


@dataclass(frozen=True)
class ShownQuote:
    """The revision that the customer reads."""

    revision: QuoteRevision
    standing: Standing
    shown: Shown


@dataclass(frozen=True)
class ShownChange:
    """The change that waits for the customer."""

    row: Change
    record: ChangeRecord
    said: InWords
    sentences: tuple[str, ...]
    more: str


@dataclass(frozen=True)
class CustomerPage:
    """The page in values."""

    sheet: TitleBlock
    quote: ShownQuote | None
    change: ShownChange | None
    papers: tuple[CustomerPaper, ...]

    @property
    def waits_for(self) -> str:
        """What the customer is asked to accept: ``quote``, ``change`` or nothing."""
        if self.change is not None:
            return "change"
        return "quote" if self.quote is not None and self.quote.standing.is_open else ""


def page_of(link: CustomerLink, *, at: datetime) -> CustomerPage:
    """The page at a moment, in a fixed number of queries; ``link.job`` is read with its parties and quote."""
    job = link.job
    quote, change = _quote(job.quote_id, at), _change(job.pk)
    title = "Your change" if change else "Your quote" if quote else "Your job"
    return CustomerPage(TitleBlock(title, str(job.vehicle), job.number), quote, change, papers_of(job, at=at))


def _quote(quote_id: int, at: datetime) -> ShownQuote | None:
    """The last revision sent; that is the accepted one where there is one."""
    revision = QuoteRevision.objects.filter(quote=quote_id).exclude(state=State.DRAFT).order_by("-number").first()
    if revision is None:
        return None
    expired = has_expired(revision.state, revision.valid_until, timezone.localdate(at))
    return ShownQuote(revision, Standing(revision, expired), shown(read_record(revision.content), is_draft=False))


def _change(job_id: int) -> ShownChange | None:
    row = Change.objects.filter(job=job_id, state=ChangeState.SENT).first()
    if row is None:
        return None
    record = read_change(row.content)
    said = InWords(record.priced.currency, record.terms.locale)
    return ShownChange(row, record, said, circuit_sentences(record), more_or_less(record.priced))
