"""What the floor does when the customer accepts a quote or a change: the work is laid out, in the same transaction."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.dispatch import receiver

from estimating.quotes.events import quote_accepted
from estimating.quotes.models import QuoteRevision
from shop.billing.events import change_accepted
from shop.billing.models import Change
from shop.floor.layout import lay_out_work
from shop.jobs.models import Job


@receiver(quote_accepted)
def when_accepted(revision: QuoteRevision, at: datetime, **_: Any) -> None:
    """Lay out the work of the job whose quote it is; a quote without a job has no work."""
    job = Job.objects.select_related("plan").filter(quote=revision.quote_id).first()
    if job is not None:
        lay_out_work(job=job, at=at)


@receiver(change_accepted)
def when_change_accepted(change: Change, at: datetime, **_: Any) -> None:
    """Lay the work out anew from what is agreed now; ticks and hours stay."""
    lay_out_work(job=Job.objects.select_related("plan").get(pk=change.job_id), at=at)
