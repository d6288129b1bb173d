"""The cast of the floor tests: a shop, an invented estate car, its job with work laid out."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from circuits.plan import Circuit, Covering, Disposition, Kind, Plan, Run, Vehicle
from circuits.planning.store import create_plan
from estimating.quotes.services import accept_revision, send_revision
from shop.floor.models import Package, Tap
from shop.floor.queued import new_key
from shop.floor.services import press
from shop.jobs.models import Customer, Job
from shop.jobs.models import Vehicle as VehicleRow
from shop.jobs.services import Opening, open_job
from shop.people.models import Role, User

NINE = datetime(2031, 5, 5, 9, tzinfo=UTC)
"""A Monday."""

RUNS = (
    Run("panel", "dash", 0.9, "cabin", Covering.TAPE),
    Run("panel", "bulkhead", 0.8, "cabin", Covering.SPLIT_LOOM, opening_mm=60.0),
    Run("bulkhead", "left headlamp", 1.6, "engine bay", Covering.SPLIT_LOOM),
    Run("bulkhead", "battery", 1.1, "engine bay", Covering.SPLIT_LOOM),
    Run("panel", "tail", 3.1, "cabin", Covering.TAPE),
)
BEAM = Circuit(
    "low beam", "front", "lighting", "panel", "low beam", ("left headlamp",), Kind.LAMP, load_w=55.0, safety=True,
    switch_at="dash", switch="headlamp:low",
)  # fmt: skip
HORN = Circuit(
    "horn", "front", "battery", "panel", "horn", ("left headlamp",), Kind.COIL, load_a=5.0, switch_at="dash",
    switch="horn:on",
)  # fmt: skip
TAIL = Circuit("tail lamp", "rear", "lighting", "panel", "tail lamp", ("tail",), Kind.LAMP, load_w=5.0, safety=True)
CLOCK = Circuit("clock", "cabin", "battery", "panel", "clock", ("dash",), Kind.ELECTRONICS, load_a=0.02)
GONE = Circuit(
    "fog lamp", "front", "ignition", "panel", "fog lamp", ("left headlamp",), Kind.LAMP, load_w=35.0,
    disposition=Disposition.REMOVE,
)  # fmt: skip
PLAN = Plan(Vehicle(description="Heron estate, invented", battery_ah=60.0), (), RUNS, (BEAM, HORN, TAIL, CLOCK, GONE))


def hour(hours: float) -> datetime:
    """So many hours after nine."""
    return NINE + timedelta(hours=hours)


def open_a_job(title: str = "Rewire", plan: Plan = PLAN) -> Job:
    """A job whose quote is with nobody yet."""
    customer = Customer.objects.create(name="Ada Fernwhistle")
    vehicle = VehicleRow.objects.create(customer=customer, description="Heron estate", plate="HE 1970")
    row = create_plan(title=title, plan=plan, by="Otto")
    return open_job(customer=customer, vehicle=vehicle, plan=row, opening=Opening(title=title), by="Otto", at=NINE)


def booked_job(title: str = "Rewire", plan: Plan = PLAN) -> Job:
    """A job whose quote was accepted: its work is laid out."""
    job = open_a_job(title, plan)
    revision = send_revision(quote=job.quote, by="Otto", at=NINE)
    accept_revision(revision=revision, name="Ada Fernwhistle", at=NINE)
    job.refresh_from_db()
    return job


def member(name: str, role: str = Role.TECHNICIAN) -> User:
    """A member of staff."""
    return User.objects.create_user(name, role=role, first_name=name.capitalize())


def package(job: Job, stage: str, section: str) -> Package:
    """A package of the job."""
    return Package.objects.get(job=job, stage=stage, section=section)


def tap(person: User, act: str, at: datetime, of: Package | None = None, circuit: str = "", key: str = "") -> Tap:
    """A press that arrives at once."""
    return press(act=Tap.Act(act), person=person, at=at, key=key or new_key(), came_at=at, package=of, circuit=circuit)


def sent(**values: Any) -> dict[str, Any]:
    """What a form sends, with a key of its own."""
    return {"key": new_key(), **values}
