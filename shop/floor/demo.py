"""Two invented jobs in mid-work: a van being wired, a two-seater being proved. Hours, readings, faults as they come.

Everything here is invented, the figures too: hours lie around the estimate, readings around what the plan expects.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from django.utils import timezone

from circuits.plan import Plan
from circuits.planning.services import FromSheet, new_plan
from circuits.sheets.starters import load_starter
from estimating.quotes.services import accept_revision, send_revision
from shop.faults.models import Weight
from shop.faults.services import Symptom, Tried, add_test, close, raise_fault
from shop.floor.models import Hold, Package, Tap, Tick
from shop.floor.queued import new_key
from shop.floor.services import assign, count_ticks, hold, press, settle_hours
from shop.jobs.models import Customer, Job, Vehicle
from shop.jobs.services import Opening, open_job
from shop.people.models import User
from shop.proof.demo import prove_the_demo

DAY = ((8, 12), (13, 17))
"""Hours of a working day of the demo."""

PACES = (0.9, 1.15, 1.05, 1.3, 0.85, 1.1)
"""Hours booked for each hour estimated, package after package."""


@dataclass
class Clock:
    """Working time, as it is used up."""

    at: datetime

    def spend(self, minutes: float) -> Iterator[tuple[datetime, datetime]]:
        """Stretches of working time that make up so many minutes."""
        left = timedelta(minutes=minutes)
        while left > timedelta(0):
            end = self._end_of_stretch()
            stop = min(end, self.at + left)
            yield self.at, stop
            left -= stop - self.at
            self.at = stop

    def _end_of_stretch(self) -> datetime:
        while True:
            local = timezone.localtime(self.at)
            for begins, ends in DAY:
                start, end = (local.replace(hour=h, minute=0, second=0, microsecond=0) for h in (begins, ends))
                if local < end and local.weekday() < 5:
                    self.at = max(self.at, start)
                    return end
            self.at = (local + timedelta(days=1)).replace(hour=0, minute=0, second=0, microsecond=0)


def demo_work(*, at: datetime, by: str, tessa: User, wilma: User) -> None:
    """Open the two jobs and do what has been done on them until ``at``."""
    _van(at, by, tessa, wilma)
    _two_seater(at, by, tessa, wilma)


def _open(customer: Customer, vehicle: Vehicle, plan: Plan, opening: Opening, at: datetime, by: str) -> Job:
    """A job whose quote was accepted two days after it was opened."""
    row = new_plan(title=opening.title, source=FromSheet(plan), by=by)
    job = open_job(customer=customer, vehicle=vehicle, plan=row, opening=opening, by=by, at=at)
    revision = send_revision(quote=job.quote, by=by, at=at + timedelta(days=1))
    accept_revision(revision=revision, name=customer.name, at=at + timedelta(days=2), by=by)
    return Job.objects.with_parties().select_related("plan").get(pk=job.pk)


def _work(packages: Iterable[Package], person: User, clock: Clock, until: datetime) -> None:
    """Book hours on the packages one after the other, and tick what is finished."""
    taps: list[Tap] = []
    ticks: list[Tick] = []
    for number, package in enumerate(packages):
        stretches = list(clock.spend(max(10.0, package.estimate_min * PACES[number % len(PACES)])))
        for start, stop in stretches:
            if start < until:
                taps.append(_tap(Tap.Act.START, person, start, package))
                taps.append(_tap(Tap.Act.STOP, person, min(stop, until)))
        if stretches[0][0] < until:
            is_done = clock.at <= until
            names = package.to_tick if is_done else package.to_tick[: len(package.to_tick) // 2]
            ticks += [Tick(package=package, circuit=name, at=min(clock.at, until), by=person) for name in names]
    Tap.objects.bulk_create(taps)
    Tick.objects.bulk_create(ticks)
    settle_hours(person, since=until)
    for package in {tick.package for tick in ticks}:
        count_ticks(package)


def _tap(act: Tap.Act, person: User, at: datetime, package: Package | None = None) -> Tap:
    return Tap(act=act, person=person, at=at, key=new_key(), came_at=at, package=package)


def _packages(job: Job, *stages: str) -> list[Package]:
    return list(job.packages.filter(stage__in=stages).order_by("position"))


def _van(at: datetime, by: str, tessa: User, wilma: User) -> None:
    """Stripped out, panel in, half pulled; waiting for parts at the rear; Tessa is at it now."""
    plan = load_starter("small_van")
    job = _open(
        Customer(name="Dovecote Bakery", address="1 Oven Row\nSampleton", phone="01 555 0161"),
        Vehicle(description="Hollowell delivery van", year=1979, plate="HW 790", chassis_number="HWDV7900871"),
        replace(plan, vehicle=replace(plan.vehicle, description="Hollowell delivery van")),
        Opening(
            title="New main loom and panel",
            what_happened="Rodents in the load space lining. Rear lamps dead by turns, front loom green inside.",
            starts_on=(at - timedelta(days=7)).date(),
        ),
        at - timedelta(days=24),
        by,
    )
    clock = Clock(at - timedelta(days=7))
    _work(_packages(job, "strip out", "panel", "pull"), tessa, clock, at - timedelta(hours=1))
    ahead = _packages(job, "pull", "terminate")
    if open_ones := [package for package in ahead if not package.is_done]:
        since = at - timedelta(minutes=50)
        press(act=Tap.Act.START, person=tessa, at=since, key=new_key(), came_at=since, package=open_ones[0])
        assign(package=open_ones[0], person=tessa)
    for package in ahead:
        if package.stage == "terminate":
            assign(package=package, person=wilma if package.section == "front" else tessa)
        if str(package) == "terminate: rear":
            words = "sealed bodies for the tail lamps, due Thursday"
            hold(package=package, cause=Hold.Cause.PARTS, words=words, by=tessa, at=at - timedelta(days=1))
    symptom = Symptom(
        does="old ground strap at the rear is rusted through", weight=Weight.STOPS, switches="battery off",
        should="reads under 0.1 ohm to battery negative", circuits=("tail lamp left", "tail lamp right", "brake lamps"),
    )  # fmt: skip
    raise_fault(job=job, symptom=symptom, by=tessa, at=at - timedelta(days=2), key=new_key())


def _two_seater(at: datetime, by: str, tessa: User, wilma: User) -> None:
    """Wired; before-power checks passed, battery on; circuits are being switched on one at a time."""
    plan = load_starter("open_two_seater")
    job = _open(
        Customer(name="Perpetua Quillon", address="Slipway Cottage\nFar Sampleton", phone="01 555 0188"),
        Vehicle(description="Merle roadster", year=1965, plate="ML 65", chassis_number="MLR650219"),
        replace(plan, vehicle=replace(plan.vehicle, description="Merle roadster")),
        Opening(
            title="Rewire with relays and cooling fan",
            what_happened="Glass fuses, cloth loom, headlamps through the column switch. Owner adds a cooling fan.",
            starts_on=(at - timedelta(days=14)).date(),
        ),
        at - timedelta(days=38),
        by,
    )
    until = at - timedelta(hours=20)
    stages = ("strip out", "panel", "pull", "terminate", "prove")
    packages = [package for package in _packages(job, *stages) if str(package) != "prove: whole vehicle"]
    _work(packages, wilma, Clock(at - timedelta(days=14)), until)
    prove_the_demo(job=job, tessa=tessa, wilma=wilma, at=at - timedelta(hours=6))
    _faults_of_the_two_seater(job, tessa, at)


def _faults_of_the_two_seater(job: Job, tessa: User, at: datetime) -> None:
    glow = Symptom(
        does="tail lamps glow with the indicators", weight=Weight.DANGER, switches="lights off, indicator left",
        should="stay dark", circuits=("tail lamp left", "indicators left"), suspects="shared ground at the boot",
    )  # fmt: skip
    fault = raise_fault(job=job, symptom=glow, by=tessa, at=at - timedelta(hours=3), key=new_key())
    tried = Tried("lamp body to battery negative, indicator on", "2.1 V", 2.1, "V", minutes=15)
    add_test(fault=fault, tried=tried, by=tessa, at=at - timedelta(hours=2), key=new_key())
    quiet = Symptom("horn is faint", Weight.COMFORT, "horn pressed", "sounds at full strength", ("horn",))
    horn = raise_fault(job=job, symptom=quiet, by=tessa, at=at - timedelta(hours=5), key=new_key())
    passed = Tried("horn pressed for 5 s, at its terminals", "12.1 V", 12.1, "V", passed=True, minutes=20)
    add_test(fault=horn, tried=passed, by=tessa, at=at - timedelta(hours=4), key=new_key())
    cause, remedy = "paint under the ground ring", "scraped, new ring, sealed"
    close(fault=horn, cause=cause, remedy=remedy, by=tessa, at=at - timedelta(hours=4), cause_kind="bad_ground")
