"""What stands at the vehicle, gathered from the apps that know: quote, changes, checks, faults. The one door there."""

from __future__ import annotations

from estimating.quotes.models import QuoteRevision
from estimating.quotes.states import State
from shop.handover.rules import WorkState
from shop.jobs.models import Job


def work_state(job: Job) -> WorkState:
    """The state of a job's work, in a fixed number of queries."""
    accepted = accepted_revision(job)
    return WorkState(accepted_revision=accepted.number if accepted else None)


def accepted_revision(job: Job) -> QuoteRevision | None:
    """The revision that the customer accepted, if any. One query."""
    revisions = QuoteRevision.objects.without_content().select_related("quote")
    return revisions.filter(quote=job.quote_id, state=State.ACCEPTED).first()
