"""Money of the demo's booked job: a deposit, paid in part, and a change that waits for the customer."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from decimal import Decimal
from uuid import UUID

from circuits.plan import Disposition
from circuits.planning.models import PlanRow
from circuits.planning.store import load_plan, replace_plan
from shop.billing.change_services import send_change
from shop.billing.models import Means
from shop.billing.orders import Order, What
from shop.billing.services import book_payment, issue_invoice
from shop.jobs.models import Job


def demo_money(*, job: Job, by: str, at: datetime) -> None:
    """Invoice the deposit, take most of it, and send a change.

    Parameters
    ----------
    job : Job
        Booked.
    by : str
    at : datetime
        Now.
    """
    deposit = issue_invoice(
        job=job,
        order=Order(What.DEPOSIT, note="Thank you for the order. The parts are ordered when the deposit is here."),
        by=by,
        at=at - timedelta(days=8),
        key=UUID(int=job.pk << 8 | 1),
    )
    book_payment(
        job=job,
        invoice=deposit,
        amount=Decimal("2000.00"),
        means=Means.BANK,
        moved_on=(at - timedelta(days=3)).date(),
        by=by,
        at=at,
        key=UUID(int=job.pk << 8 | 2),
        reference=deposit.number,
    )
    plan, row = load_plan(job.plan_id), PlanRow.objects.get(pk=job.plan_id)
    lamp = next(circuit for circuit in plan.circuits if circuit.load_w)
    wanted = replace(lamp, name="bed work lamp", load="work lamp", disposition=Disposition.NEW, safety=False)
    replace_plan(
        plan_id=job.plan_id,
        plan=replace(plan, circuits=(*plan.circuits, wanted)),
        expected_version=row.version,
        by=by,
    )
    send_change(job=job, note="The work lamp over the bed, as asked for on the phone.", by=by, at=at)
