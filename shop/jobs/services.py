"""What can happen to a job. Each is one transaction."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from circuits.planning.models import PlanRow
from estimating.quotes.models import QuoteRow
from estimating.quotes.numbering import next_number
from estimating.quotes.services import create_quote
from shop.jobs.models import Customer, Job, Stage, Vehicle


@dataclass(frozen=True, slots=True)
class Opening:
    """What a new job is opened with."""

    title: str
    what_happened: str = ""
    starts_on: date | None = None


@transaction.atomic
def open_job(*, customer: Customer, vehicle: Vehicle, plan: PlanRow, opening: Opening, by: str, at: datetime) -> Job:
    """Open a job with its plan and an empty quote.

    Parameters
    ----------
    customer : Customer
        Stored before, or stored here with the job.
    vehicle : Vehicle
        Likewise; a new one becomes the customer's.
    plan : PlanRow
    opening : Opening
    by : str
        Name of the member of staff.
    at : datetime
        Now; its year goes into the number.

    Returns
    -------
    Job
    """
    if customer._state.adding:
        customer.full_clean()
        customer.save()
    if vehicle._state.adding:
        vehicle.customer = customer
        vehicle.full_clean()
        vehicle.save()
    quote = create_quote(plan=plan, addressee=customer.addressee, vehicle=str(vehicle), by=by, at=at)
    job = Job(
        number=next_number("J", at.year),
        customer=customer,
        vehicle=vehicle,
        plan=plan,
        quote=quote,
        title=opening.title,
        what_happened=opening.what_happened,
        starts_on=opening.starts_on,
        created_at=at,
        created_by=by,
    )
    job.full_clean()
    job.save()
    return job


def follow_quote(*, quote: QuoteRow, stage: Stage, at: datetime) -> None:
    """Move the job of ``quote`` to ``stage``; a booked or released job is never moved back by a later quote.

    Called in the transaction in which the quote changed, so that the two never disagree.
    """
    job = Job.objects.select_for_update().filter(quote=quote).first()
    if job is None or job.stage == Stage.RELEASED or (job.stage == Stage.BOOKED and stage != Stage.BOOKED):
        return
    job.stage = stage
    if stage == Stage.BOOKED and job.booked_at is None:
        job.booked_at = at
    job.save(update_fields=["stage", "booked_at"])
