"""Who and what the tests of money are about: an invented customer, an invented estate car, an accepted quote."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from uuid import UUID, uuid4

from circuits.plan import Circuit
from circuits.planning.models import PlanRow
from circuits.planning.services import FromSheet, new_plan
from circuits.planning.store import replace_plan
from estimating.pricing.quote import LineClass
from estimating.quotes.services import accept_revision, send_revision
from shop.billing.models import Document, Means, Payment
from shop.billing.orders import Order, TypedLine, What
from shop.billing.services import book_payment, book_refund, issue_credit, issue_invoice
from shop.jobs.models import Customer, Job, Vehicle
from shop.jobs.services import Opening, open_job
from tests.estimating.quotes import cast

NOON = cast.NOON
TODAY = date(2026, 3, 2)
D = Decimal


def new_job(name: str = "Ada Fernwhistle") -> Job:
    """A job with a plan of three circuits and a draft quote."""
    customer = Customer.objects.create(name=name, address="14 Nowhere Lane\nSampleton")
    vehicle = Vehicle.objects.create(customer=customer, description="Heron estate, invented", year=1971, plate="HE 71")
    plan = new_plan(title="Rewire", source=FromSheet(cast.PLAN), by="Otto")
    opening = Opening(title="Rewire")
    return open_job(customer=customer, vehicle=vehicle, plan=plan, opening=opening, by="Otto", at=NOON)


def booked_job(name: str = "Ada Fernwhistle") -> Job:
    """A job whose quote was accepted."""
    job = new_job(name)
    revision = send_revision(quote=job.quote, by="Otto", at=NOON)
    accept_revision(revision=revision, name="A. Fernwhistle", at=NOON, by="Otto")
    return Job.objects.select_related("customer", "vehicle", "plan", "quote").get(pk=job.pk)


def plan_becomes(job: Job, *circuits: Circuit) -> None:
    """Today's plan of the job holds just these circuits."""
    row = PlanRow.objects.get(pk=job.plan_id)
    plan = replace(cast.PLAN, circuits=circuits)
    replace_plan(plan_id=job.plan_id, plan=plan, expected_version=row.version, by="Otto")


def typed(price: str, quantity: str = "1", line_class: LineClass = LineClass.PARTS) -> TypedLine:
    """A line typed by hand."""
    return TypedLine("Relay, spare", line_class, D(quantity), "piece", D(price))


def issue(
    job: Job, what: What = What.WORK, *lines: TypedLine, amount: Decimal | None = None, key: UUID | None = None
) -> Document:
    """An invoice; of one typed line where nothing else is said."""
    if not what.is_agreed and not lines:
        lines = (typed("100.00"),)
    order = Order(what, amount, lines)
    return issue_invoice(job=job, order=order, by="Otto", at=NOON, key=key or uuid4())


def pay(job: Job, amount: str | Decimal, invoice: Document | None = None, at: datetime = NOON) -> Payment:
    """Money received."""
    return book_payment(
        job=job, invoice=invoice, amount=D(amount), means=Means.BANK, moved_on=TODAY, by="Otto", at=at, key=uuid4()
    )


def give_back(job: Job, amount: str | Decimal) -> Payment:
    """Money paid back."""
    return book_refund(job=job, amount=D(amount), means=Means.BANK, moved_on=TODAY, by="Otto", at=NOON, key=uuid4())


def credit(invoice: Document, nets: dict[Decimal, Decimal], reason: str = "Not fitted") -> Document:
    """A credit note."""
    return issue_credit(invoice=invoice, nets=nets, reason=reason, by="Otto", at=NOON, key=uuid4())


LATER = datetime(2026, 4, 20, 9, tzinfo=UTC)
