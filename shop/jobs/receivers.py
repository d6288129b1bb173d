"""What the job does when its quote moves. Runs inside the transaction that moved it."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.dispatch import receiver

from estimating.quotes.events import quote_accepted, quote_declined, quote_sent
from estimating.quotes.models import QuoteRevision
from shop.jobs.models import Stage
from shop.jobs.services import follow_quote


@receiver(quote_sent)
def when_sent(revision: QuoteRevision, at: datetime, **_: Any) -> None:
    """The quote is with the customer."""
    follow_quote(quote=revision.quote, stage=Stage.QUOTED, at=at)


@receiver(quote_accepted)
def when_accepted(revision: QuoteRevision, at: datetime, **_: Any) -> None:
    """The customer accepted: the job is booked."""
    follow_quote(quote=revision.quote, stage=Stage.BOOKED, at=at)


@receiver(quote_declined)
def when_declined(revision: QuoteRevision, at: datetime, **_: Any) -> None:
    """The customer said no."""
    follow_quote(quote=revision.quote, stage=Stage.TURNED_DOWN, at=at)
