"""The cast of the handover tests: a booked job whose checks have passed."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from circuits.cautions import cautions
from circuits.electrical.sizing import size_plan
from circuits.planning.services import FromSheet, new_plan
from circuits.sheets.starters import load_starter
from estimating.quotes.paper_content import Letterhead
from estimating.quotes.services import accept_revision, send_revision
from shop.handover.chart import circuits_done, fuse_panels
from shop.handover.content import Chart, HandoverContent
from shop.jobs.models import Customer, Job, Vehicle
from shop.jobs.services import Opening, open_job
from shop.people.models import Role, ShopRow, User
from shop.proof.models import CheckRow
from shop.proof.services import Told, connect_battery, make_sheet, record_reading
from tests.estimating.quotes import cast

AT = datetime(2031, 5, 2, 9, tzinfo=UTC)
URL = "https://shop.example/jobs/1/"


@pytest.fixture
def office(db):
    return User.objects.create_user("otto", first_name="Otto", last_name="Ledger", role=Role.OFFICE)


@pytest.fixture
def owner(db):
    return User.objects.create_user("wilma", first_name="Wilma", last_name="Lumen", role=Role.OWNER)


@pytest.fixture
def technician(db):
    return User.objects.create_user("tessa", first_name="Tessa", last_name="Crimp", role=Role.TECHNICIAN)


def booked_job():
    """A job whose quote the customer has accepted."""
    ShopRow.objects.get_or_create(pk=1, defaults={"name": "Sparrowgate Auto Electrics", "address": "3 Invented Yard"})
    customer = Customer.objects.create(name="Ada Fernwhistle", phone="01 555 0147")
    vehicle = Vehicle.objects.create(
        customer=customer, description="Tansy two-seater", year=1962, plate="TY 620", chassis_number="TY62S0042"
    )
    plan = new_plan(title="rewire", source=FromSheet(cast.PLAN), by="Otto")
    job = open_job(customer=customer, vehicle=vehicle, plan=plan, opening=Opening("Full rewire"), by="Otto", at=AT)
    revision = send_revision(quote=job.quote, by="Otto", at=AT)
    accept_revision(revision=revision, name="Ada Fernwhistle", at=AT)
    return Job.objects.select_related("plan", "quote", "customer", "vehicle").get(pk=job.pk)


def good_reading(check):
    """A reading between the check's limits."""
    if not check.unit:
        return Told(passed=True)
    low, high = check.low, check.high
    value = (low + high) / 2 if low is not None and high is not None else low * 1.1 if low is not None else high / 2
    return Told(typed=f"{value:.6f} {check.unit}", meter="Meter 2")


def bad_reading(check):
    """A reading outside the check's limits."""
    if not check.unit:
        return Told(passed=False)
    value = check.high * 2 if check.high is not None else check.low / 2
    return Told(typed=f"{value:.6f} {check.unit}")


def prove(job, by, at=AT, leave=()):
    """Make the check sheet and pass every check but those left out, by key."""
    make_sheet(job=job, by=by, at=at)
    for check in CheckRow.objects.filter(job=job, is_current=True).order_by("position"):
        if check.key in leave:
            continue
        if not check.is_before_battery and not job.battery_acts.exists():
            connect_battery(job=job, by=by, at=at)
        record_reading(check=check, told=good_reading(check), by=by, at=at, key=f"g{check.pk}")
        at += timedelta(seconds=1)


@pytest.fixture
def job(db):
    return booked_job()


@pytest.fixture
def proved(job, technician):
    prove(job, technician)
    return job


def content_of(starter="closed_car", **other):
    """What a handover of a starter plan says."""
    sized = size_plan(load_starter(starter))
    chart = Chart(
        shop=Letterhead("Sparrowgate Auto Electrics", "3 Invented Yard\nSampleton", "01 555 0100"),
        locale="en",
        job="J-2031-001",
        revision="1",
        vehicle="1968 Quillfeather 1500 saloon",
        plate="QF 1968",
        chassis_number="QF15S0042",
        customer="Ada Fernwhistle",
        system_v=12.0,
        made_at=AT,
        job_url=URL,
        panels=fuse_panels(sized),
        cautions=cautions(),
    )
    values: dict[str, Any] = {
        "chart": chart,
        "title": "Full rewire after a loom fire",
        "basis": "Quote Q-2031-001 revision 2, by Ada Fernwhistle on 2 May 2031",
        "plan_version": 12,
        "circuits": circuits_done(sized),
        "proof": (),
        "overrides": (),
        "faults": (),
        "technicians": ("Tessa Crimp",),
        "released_by": "Wilma Lumen, owner",
        "is_draft": False,
    }
    return HandoverContent(**(values | other))
