"""An invented job from its first day to the road: worked, proved, put right, paid, released and handed over.

Everything here is invented, the figures too.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from decimal import Decimal
from uuid import uuid4

from django.urls import reverse

from circuits.planning.services import FromSheet, new_plan
from circuits.sheets.starters import load_starter
from estimating.quotes.services import accept_revision, send_revision
from shop.billing.models import Means
from shop.billing.orders import Order, What
from shop.billing.services import book_payment, issue_invoice
from shop.faults.models import Weight
from shop.faults.services import Symptom, Tried, add_test, close, describe, raise_fault
from shop.floor.demo import PACES, Clock
from shop.floor.models import Tap
from shop.floor.queued import new_key
from shop.floor.services import press
from shop.handover.services import release_job
from shop.jobs.models import Customer, Job, Vehicle
from shop.jobs.services import Opening, open_job
from shop.people.models import User
from shop.proof.demo import good_reading
from shop.proof.models import CheckRow
from shop.proof.services import Told, connect_battery, make_sheet, record_reading

ADDRESS = "http://localhost:8000"
METER = "bench multimeter no. 1"


def demo_handover(*, at: datetime, by: str, tessa: User, wilma: User) -> None:
    """Open the job six weeks before ``at`` and see it leave the day before."""
    job = _open(at - timedelta(days=45), by)
    _invoice(job, What.DEPOSIT, at - timedelta(days=41), by)
    _work(job, tessa, at - timedelta(days=27))
    _prove(job, tessa, wilma, at - timedelta(days=4))
    _put_right(job, tessa, at - timedelta(days=3))
    _invoice(job, What.REST, at - timedelta(days=2), by)
    released = at - timedelta(days=1)
    url = ADDRESS + reverse("jobs:job", args=[job.pk])
    release_job(job_id=job.pk, by=wilma, at=released, job_url=url)


def _open(at: datetime, by: str) -> Job:
    plan = load_starter("open_two_seater")
    plan = replace(plan, vehicle=replace(plan.vehicle, description="Thistledown tourer"))
    row = new_plan(title="Whole loom, blade panel", source=FromSheet(plan), by=by)
    customer = Customer.objects.create(
        name="Clementine Rushbourne", address="The Old Sluice\nNether Sampleton", phone="01 555 0126"
    )
    vehicle = Vehicle.objects.create(
        customer=customer,
        description="Thistledown tourer",
        year=1959,
        plate="TD 591",
        chassis_number="TDT5900317",
    )
    opening = Opening(
        title="Whole loom, blade panel",
        what_happened="Bought as a restoration left half done: bare ends behind the dash, no two colours alike.",
        starts_on=(at + timedelta(days=18)).date(),
    )
    job = open_job(customer=customer, vehicle=vehicle, plan=row, opening=opening, by=by, at=at)
    revision = send_revision(quote=job.quote, by=by, at=at + timedelta(days=1))
    accept_revision(revision=revision, name=customer.name, at=at + timedelta(days=3), by=by)
    return Job.objects.with_parties().select_related("plan", "quote").get(pk=job.pk)


def _invoice(job: Job, what: What, at: datetime, by: str) -> None:
    """Issued, and paid by bank transfer a day later at most."""
    invoice = issue_invoice(job=job, order=Order(what), by=by, at=at, key=uuid4())
    book_payment(
        job=job,
        invoice=invoice,
        amount=Decimal(invoice.payable),
        means=Means.BANK,
        moved_on=at.date(),
        by=by,
        at=at + timedelta(hours=20),
        key=uuid4(),
        reference=f"Rushbourne {invoice.number}",
    )


def _work(job: Job, person: User, at: datetime) -> None:
    """Every package worked and ticked."""
    clock = Clock(at)
    for number, package in enumerate(job.packages.order_by("position")):
        minutes = max(10.0, package.estimate_min * PACES[number % len(PACES)])
        for start, stop in clock.spend(minutes):
            for act, when in ((Tap.Act.START, start), (Tap.Act.STOP, stop)):
                of = package if act == Tap.Act.START else None
                press(act=act, person=person, at=when, key=new_key(), came_at=when, package=of)
        for circuit in package.to_tick:
            act = Tap.Act.TICK
            press(
                act=act, person=person, at=clock.at, key=new_key(), came_at=clock.at, package=package, circuit=circuit
            )


def _prove(job: Job, tessa: User, wilma: User, at: datetime) -> None:
    """Every check read and passed, the battery connected in between."""
    make_sheet(job=job, by=wilma, at=at)
    is_on = False
    for number, row in enumerate(CheckRow.objects.filter(job=job, is_current=True).order_by("position")):
        at += timedelta(minutes=2)
        if not row.is_before_battery and not is_on:
            connect_battery(job=job, by=wilma, at=at)
            is_on = True
        told = Told(typed=good_reading(row, number), passed=None if row.unit else True, meter=METER if row.unit else "")
        record_reading(check=row, told=told, by=tessa, at=at, key=new_key())


def _put_right(job: Job, tessa: User, at: datetime) -> None:
    """One fault found and closed, one left open with advice."""
    dim = Symptom(
        "left tail lamp dim with the brake on",
        Weight.STOPS,
        "lights on, brake pressed",
        "both as bright",
        ("brake lamps",),
    )
    fault = raise_fault(job=job, symptom=dim, by=tessa, at=at, key=new_key())
    tried = Tried("lamp body to battery negative, brake on", "0.04 V", 0.04, "V", passed=True, minutes=25)
    add_test(fault=fault, tried=tried, by=tessa, at=at + timedelta(hours=1), key=new_key())
    cause, remedy = "lamp holder riveted onto paint", "ground lead to the boot stud, rivets cleaned"
    close(fault=fault, cause=cause, remedy=remedy, by=tessa, at=at + timedelta(hours=2), cause_kind="bad_ground")
    slow = Symptom("fuel gauge reads a quarter low", Weight.COMFORT, "ignition on", "shows what is in the tank")
    left = raise_fault(job=job, symptom=slow, by=tessa, at=at + timedelta(hours=3), key=new_key())
    advice = "Fill up at a quarter: the sender is worn and no longer made; a rebuilt one can be fitted later."
    describe(fault=left, changes={"advice": advice}, by=tessa, at=at + timedelta(hours=3))
