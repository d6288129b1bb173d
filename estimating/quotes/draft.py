"""The quote as it would be sent now: what it says, why it cannot go yet, and what changed since the last one sent."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from functools import cached_property

from django.utils import timezone

from estimating.pricing.price_book_csv import example_price_book
from estimating.pricing.quote import LabourBasis
from estimating.quotes.letterheads import shop_letterhead
from estimating.quotes.models import QuoteRevision, QuoteRow
from estimating.quotes.record import Heading, Record, fingerprint, make_record, read_record
from estimating.quotes.rules import last_valid_day, reasons_not_to_send
from estimating.quotes.states import State
from estimating.quotes.store import worked_up
from estimating.workup import WorkUp


@dataclass(frozen=True)
class Draft:
    """Today's offer. ``reasons`` say why it cannot be sent, if so; ``usual_basis`` is what the terms say."""

    revision: QuoteRevision
    record: Record
    workup: WorkUp
    usual_basis: LabourBasis
    uses_example_prices: bool
    reasons: tuple[str, ...]

    @cached_property
    def fingerprint(self) -> str:
        """Names what is offered, so that a sender can say what was looked at."""
        return fingerprint(self.record)


def draft_of(quote: QuoteRow, revision: QuoteRevision, *, by: str, at: datetime) -> Draft:
    """The offer that ``revision``, a draft, would freeze if it were sent by ``by`` at ``at``.

    A fixed number of queries whatever the size of the plan.
    """
    basis = LabourBasis(revision.labour_basis) if revision.labour_basis else None
    worked = worked_up(quote.plan_id, basis)
    workup, terms = worked.workup, worked.rules.terms
    today = timezone.localdate(at)
    heading = Heading(
        number=quote.number,
        revision=revision.number,
        date=today,
        valid_until=last_valid_day(today, terms.validity_days),
        by=by,
        addressee=quote.addressee,
        vehicle=quote.vehicle,
        note=revision.note,
    )
    previous = last_sent(quote)
    record = make_record(heading, shop_letterhead(), worked.rules, workup)
    reasons = reasons_not_to_send(
        addressee=quote.addressee,
        circuits=len(workup.sized.circuits),
        findings=workup.sized.findings,
        unpriced=workup.quote.unpriced,
        accepted_number=previous.number if previous and previous.state == State.ACCEPTED else None,
    )
    record = record.since(read_record(previous.content) if previous else None)
    return Draft(
        revision=revision,
        record=record,
        workup=workup,
        usual_basis=worked.usual_basis,
        uses_example_prices=worked.rules.book is example_price_book(),
        reasons=reasons,
    )


def last_sent(quote: QuoteRow) -> QuoteRevision | None:
    """The latest revision that went to the customer, whatever became of it."""
    return quote.revisions.exclude(state=State.DRAFT).order_by("-number").first()
