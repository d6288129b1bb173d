"""The demo: a shop, customers and vehicles that do not exist, with jobs at different points of their life.

Everything here is invented. Nothing resembles a real business, person or maker's vehicle.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from django.db import transaction

from circuits.plan import Circuit, Disposition, FuseFamily, Kind, Plan
from circuits.planning.services import FromSheet, new_plan
from circuits.planning.store import replace_plan
from circuits.sheets.starters import load_starter
from estimating.quotes.services import accept_revision, send_revision
from estimating.quotes.settings_services import start_price_book
from shop.billing.demo import demo_money
from shop.floor.demo import demo_work
from shop.handover.demo import demo_handover
from shop.jobs.models import Customer, Job, Vehicle
from shop.jobs.services import Opening, open_job
from shop.materials.demo import settle_begun_jobs, stock_the_demo
from shop.materials.work import jobs_ahead
from shop.people.models import Role, ShopRow, User

PASSWORD = "spare-fuse-box"  # noqa: S105  of the demo's invented staff, printed by the command that makes them

DEMO_DAYS = 21
"""The demo's suppliers sell what jobs within so many days need."""


@dataclass(frozen=True, slots=True)
class LogIn:
    """A member of the demo's staff."""

    username: str
    first_name: str
    last_name: str
    role: Role


LOG_INS = (
    LogIn("owner", "Wilma", "Lumen", Role.OWNER),
    LogIn("office", "Otto", "Ledger", Role.OFFICE),
    LogIn("bench", "Tessa", "Crimp", Role.TECHNICIAN),
)


@transaction.atomic
def open_demo_shop(*, at: datetime) -> bool:
    """Fill an empty database with the demo shop.

    Parameters
    ----------
    at : datetime
        Now: the jobs' dates lie around it.

    Returns
    -------
    bool
        False where a shop was there already; then nothing was changed.
    """
    if ShopRow.objects.exists() or User.objects.exists():
        return False
    _staff()
    start_price_book()
    _mid_quote(at)
    _booked(at)
    _survey(at)
    people = {user.username: user for user in User.objects.all()}
    demo_work(at=at, by=_by(), tessa=people["bench"], wilma=people["owner"])
    demo_handover(at=at, by=_by(), tessa=people["bench"], wilma=people["owner"])
    settle_begun_jobs(by=_by(), at=at)
    stock_the_demo(jobs_ahead(today=at.date(), horizon_days=DEMO_DAYS, with_likely=True), by=_by(), at=at)
    return True


def _staff() -> None:
    ShopRow.objects.create(
        pk=1,
        name="Sparrowgate Auto Electrics",
        address="3 Invented Yard\nSampleton",
        phone="01 555 0100",
        email="bench@sparrowgate.example",
        tax_number="XX 000 0000 00",
    )
    for log_in in LOG_INS:
        User.objects.create_user(
            log_in.username,
            password=PASSWORD,
            first_name=log_in.first_name,
            last_name=log_in.last_name,
            role=log_in.role,
        )


def _job(customer: Customer, vehicle: Vehicle, plan: Plan, opening: Opening, at: datetime) -> Job:
    row = new_plan(title=opening.title, source=FromSheet(plan), by=_by())
    return open_job(customer=customer, vehicle=vehicle, plan=row, opening=opening, by=_by(), at=at)


def _by() -> str:
    return f"{LOG_INS[1].first_name} {LOG_INS[1].last_name}"


def _mid_quote(at: datetime) -> None:
    """A 42-circuit car: revision 1 is with the customer, who has since asked for two loads more."""
    whole = load_starter("closed_car")
    whole = replace(whole, vehicle=replace(whole.vehicle, description="Quillfeather 1500 saloon"))
    added = whole.circuits[-2:]
    opening = Opening(
        title="Full rewire after a loom fire",
        what_happened=(
            "A chafed lead behind the dash shorted and took the main loom with it from the bulkhead to the boot. "
            "Engine bay loom sound but brittle. Owner wants blade fuses and relays for the headlamps."
        ),
        starts_on=(at + timedelta(days=17)).date(),
    )
    job = _job(
        Customer(
            name="Ada Fernwhistle",
            address="14 Nowhere Lane\nSampleton",
            phone="01 555 0147",
            email="ada@fernwhistle.example",
        ),
        Vehicle(description="Quillfeather 1500 saloon", year=1968, plate="QF 1968", chassis_number="QF15S0042"),
        replace(whole, circuits=whole.circuits[:-2]),
        opening,
        at - timedelta(days=6),
    )
    send_revision(quote=job.quote, by=_by(), at=at - timedelta(days=4))
    job.plan.refresh_from_db()
    wanted = tuple(replace(circuit, disposition=Disposition.NEW) for circuit in added)
    plan = replace(whole, circuits=whole.circuits[:-2] + wanted)
    replace_plan(plan_id=job.plan_id, plan=plan, expected_version=job.plan.version, by=_by())


def _booked(at: datetime) -> None:
    """A pickup whose quote was accepted."""
    plan = load_starter("pickup")
    job = _job(
        Customer(name="Marrow Bridge Nursery", address="Glasshouse 2\nMarrow Bridge", phone="01 555 0172"),
        Vehicle(description="Bramblewick half-ton pickup", year=1974, plate="BW 74 HT", chassis_number="BWHT7400113"),
        replace(plan, vehicle=replace(plan.vehicle, description="Bramblewick half-ton pickup")),
        Opening(
            title="Rewire and trailer socket",
            what_happened="Years of add-ons twisted together under the bed. Tail lamps answer to the indicators.",
            starts_on=(at + timedelta(days=5)).date(),
        ),
        at - timedelta(days=12),
    )
    revision = send_revision(quote=job.quote, by=_by(), at=at - timedelta(days=11))
    accept_revision(revision=revision, name="Hal Marrow", at=at - timedelta(days=8), by=_by())
    demo_money(job=Job.objects.with_parties().get(pk=job.pk), by=_by(), at=at)


def _survey(at: datetime) -> None:
    """An open two-seater still being surveyed: its plan has things that make no sense yet."""
    plan = load_starter("open_two_seater")
    first = plan.circuits[0]
    too_large = replace(plan.circuits[3], fuse_a=40.0, fuse_family=FuseFamily.BLADE, size="18 AWG")
    astray = Circuit(
        name="clock",
        section="Behind the dash",
        feed="battery",
        fed_at=first.fed_at,
        load="clock",
        load_at=("dash clokc",),
        kind=Kind.ELECTRONICS,
        load_a=0.05,
        notes="Survey slip left in on purpose: the place is misspelt.",
    )
    circuits = (*plan.circuits[:3], too_large, *plan.circuits[4:], astray)
    _job(
        Customer(name="Ignatius Ó Lanntair", address="The Boathouse\nFar Sampleton", phone="01 555 0119"),
        Vehicle(description="Tansy two-seater", year=1962, plate="TY 620"),
        replace(plan, vehicle=replace(plan.vehicle, description="Tansy two-seater"), circuits=circuits),
        Opening(
            title="New loom for a body-off restoration",
            what_happened="Loom lost with the old body. Owner adds electronic ignition and a cooling fan.",
        ),
        at - timedelta(days=1),
    )
