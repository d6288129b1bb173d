"""How the work stands: of one job, and of all jobs in one week. A fixed number of queries, however many packages."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import groupby

from django.db.models import Exists, F, OuterRef, Prefetch, Q
from django.utils import timezone

from circuits.harness.order import WorkStage
from shop.billing.agreement import unaccepted_of
from shop.faults.models import Fault, Weight
from shop.floor.estimate import Forecast, Standing, forecast
from shop.floor.models import Hold, HoursEntry, Package, WorkLayout
from shop.floor.rules import Stand, Waiting, parts_in_words, stand_of, waiting_for
from shop.jobs.models import Job, Stage
from shop.materials.shortage import Shortage, shortages_of
from shop.people.models import User

BLOCKING = (Weight.DANGER, Weight.STOPS)
CLOSES_UP = (WorkStage.COVER, WorkStage.REFIT)
"""Stages that would bury a fault: they wait for it. The stages before are where it is mended."""


@dataclass(frozen=True, slots=True)
class PackageState:
    """One package as it stands."""

    package: Package
    stand: Stand
    waiting: tuple[Waiting, ...]
    booked_min: float
    at_work: tuple[User, ...]

    @property
    def blocked_by(self) -> tuple[str, ...]:
        """What it waits for other than its turn, in words."""
        return tuple(waiting.words for waiting in self.waiting if waiting.cause != "order")

    @property
    def earned_min(self) -> float:
        """Estimated minutes of what is ticked; the rest of a package is earned with its last circuit, or evenly."""
        package = self.package
        return package.estimate_min * min(1.0, package.done / package.of)

    @property
    def standing(self) -> Standing:
        """As the forecast reads it."""
        package = self.package
        return Standing(package.estimate_min, package.variance_min2, self.earned_min, self.booked_min, package.is_done)


@dataclass(frozen=True, slots=True)
class WorkState:
    """The work of a job. ``aside`` are packages the plan no longer has, but hours are booked to.

    ``unaccepted`` names circuits that the plan has changed since the customer accepted.
    """

    job: Job
    layout: WorkLayout | None
    packages: tuple[PackageState, ...]
    aside: tuple[PackageState, ...]
    unaccepted: tuple[str, ...] = ()

    @property
    def forecast(self) -> Forecast:
        """Hours at completion; hours on packages put aside are spent all the same."""
        spent = [Standing(0.0, 0.0, 0.0, state.booked_min, True) for state in self.aside]
        cv = self.layout.condition_cv if self.layout else 0.0
        return forecast([*(state.standing for state in self.packages), *spent], cv)

    @property
    def is_done(self) -> bool:
        """True where every package is done."""
        return bool(self.packages) and all(state.stand is Stand.DONE for state in self.packages)

    @property
    def done(self) -> tuple[PackageState, ...]:
        """Packages with every circuit ticked."""
        return tuple(state for state in self.packages if state.stand is Stand.DONE)

    @property
    def next_up(self) -> tuple[PackageState, ...]:
        """Packages in hand or ready; then, for each thing other than its turn, the first package that waits for it."""
        live = [state for state in self.packages if state.stand in (Stand.IN_HAND, Stand.READY)]
        held, told = [], {"order", *(waiting.cause for state in live for waiting in state.waiting)}
        for state in self.packages:
            causes = {waiting.cause for waiting in state.waiting}
            if state.stand is Stand.WAITS and causes - told:
                held.append(state)
                told |= causes
        return (*live, *held)


@dataclass(frozen=True, slots=True)
class Blocks:
    """What may hold up the packages of one job, beside holds noted by hand."""

    faults: tuple[Fault, ...] = ()
    shortages: tuple[Shortage, ...] = ()
    unaccepted: tuple[str, ...] = ()


def work_state(job: Job, now: datetime) -> WorkState:
    """How the work of one job stands. A fixed number of queries."""
    return next(iter(work_states([job], now)))


def work_states(jobs: Iterable[Job], now: datetime) -> tuple[WorkState, ...]:
    """How the work of several jobs stands. As many queries as for one."""
    rows = tuple(jobs)
    holds = Prefetch("holds", Hold.objects.filter(lifted_at__isnull=True), to_attr="open_holds")
    hours = Prefetch("hours", HoursEntry.objects.filter(is_struck=False).select_related("person"), to_attr="booked")
    packages = Package.objects.filter(job__in=rows).select_related("person").prefetch_related(holds, hours)
    by_job: dict[int, list[Package]] = {}
    for package in packages.order_by("job_id", "position"):
        by_job.setdefault(package.job_id, []).append(package)
    layouts = {layout.job_id: layout for layout in WorkLayout.objects.filter(job__in=rows)}
    blocks = _blocks(rows, layouts)
    return tuple(_state(job, layouts.get(job.pk), by_job.get(job.pk, []), blocks[job.pk], now) for job in rows)


def _blocks(jobs: tuple[Job, ...], layouts: dict[int, WorkLayout]) -> dict[int, Blocks]:
    """What may hold up each job: open faults, parts that are not here, changes that nobody has accepted."""
    faults: dict[int, list[Fault]] = {}
    for fault in Fault.objects.open().filter(job__in=jobs, weight__in=BLOCKING).order_by("number"):
        faults.setdefault(fault.job_id, []).append(fault)
    laid_out = [job for job in jobs if job.pk in layouts and job.stage == Stage.BOOKED]
    short = shortages_of(laid_out)
    unaccepted = unaccepted_of(job for job in laid_out if layouts[job.pk].is_agreed)
    return {
        job.pk: Blocks(tuple(faults.get(job.pk, ())), short.get(job.pk, ()), unaccepted.get(job.pk, ())) for job in jobs
    }


def _state(job: Job, layout: WorkLayout | None, packages: list[Package], blocks: Blocks, now: datetime) -> WorkState:
    is_done = {(package.stage, package.section): package.is_done for package in packages if package.is_current}
    states = [_package_state(job, package, is_done, blocks, now) for package in packages]
    return WorkState(
        job,
        layout,
        tuple(state for state in states if state.package.is_current),
        tuple(state for state in states if not state.package.is_current and state.booked_min > 0),
        blocks.unaccepted,
    )


def _package_state(
    job: Job, package: Package, is_done: dict[tuple[str, str], bool], blocks: Blocks, now: datetime
) -> PackageState:
    waiting = () if package.is_done else _waiting(job, package, is_done, blocks)
    entries: list[HoursEntry] = package.booked  # type: ignore[attr-defined]
    at_work = tuple(entry.person for entry in entries if entry.stopped_at is None)
    stand = stand_of(is_done=package.is_done, is_begun=bool(package.done or entries), waiting=waiting)
    return PackageState(package, stand, waiting, sum(minutes_of(entry, now) for entry in entries), at_work)


def _waiting(job: Job, package: Package, is_done: dict[tuple[str, str], bool], blocks: Blocks) -> tuple[Waiting, ...]:
    noted: list[Hold] = package.open_holds  # type: ignore[attr-defined]
    missing = parts_in_words(
        (short.what, short.comes_on) for short in blocks.shortages if short.stops(package.stage, package.circuits)
    )
    return waiting_for(
        after=[
            (f"{rule['stage']}: {rule['section']}", is_done.get((rule["stage"], rule["section"]), True))
            for rule in package.after
        ],
        holds=[*((hold.cause, str(hold)) for hold in noted), *([(Hold.Cause.PARTS.value, missing)] if missing else [])],
        faults=[
            (f"fault {fault.number}: {fault.does}", fault.circuits or package.circuits)
            for fault in blocks.faults
            if package.stage in CLOSES_UP
        ],
        circuits=package.circuits,
        is_approved=job.stage in (Stage.BOOKED, Stage.RELEASED),
        unaccepted=blocks.unaccepted,
    )


def minutes_of(entry: HoursEntry, now: datetime) -> float:
    """Minutes of an entry; one that runs counts until now."""
    if entry.is_struck:
        return 0.0
    return max(0.0, ((entry.stopped_at or now) - entry.started_at).total_seconds() / 60)


def running_entry(person: User) -> HoursEntry | None:
    """What the person is at; None where nothing runs."""
    return HoursEntry.objects.running().filter(person=person).select_related("package__job__vehicle", "fault").first()


@dataclass(frozen=True, slots=True)
class PersonWeek:
    """Minutes that one person booked on each day of the week."""

    person: User
    days: tuple[float, ...]

    @property
    def total(self) -> float:
        """Minutes of the week."""
        return sum(self.days)


@dataclass(frozen=True, slots=True)
class Week:
    """All jobs in hand or starting, and who worked when."""

    monday: date
    days: tuple[date, ...]
    jobs: tuple[WorkState, ...]
    people: tuple[PersonWeek, ...]


def week(monday: date, now: datetime) -> Week:
    """The week that begins on ``monday``: every job with work that is not done, or with hours in it. A fixed number of
    queries."""
    days = tuple(monday + timedelta(days=day) for day in range(7))
    start = timezone.make_aware(datetime.combine(monday, datetime.min.time()))
    end = timezone.make_aware(datetime.combine(days[-1] + timedelta(days=1), datetime.min.time()))
    entries = tuple(
        HoursEntry.objects.filter(started_at__lt=end, is_struck=False)
        .filter(Q(stopped_at__gt=start) | Q(stopped_at__isnull=True))
        .select_related("person", "package")
        .order_by("person__first_name", "person_id", "started_at")
    )
    worked = {entry.package.job_id for entry in entries}
    jobs = Job.objects.with_parties().filter(
        Q(pk__in=worked)
        | Q(Exists(Package.objects.filter(job=OuterRef("pk"), is_current=True, done__lt=F("of"))))
        | Q(starts_on__gte=monday, starts_on__lte=days[-1])
    )
    states = work_states(jobs.exclude(stage__in=(Stage.RELEASED, Stage.TURNED_DOWN)).order_by("starts_on", "pk"), now)
    people = tuple(
        PersonWeek(person, tuple(_minutes_on(day, rows, now) for day in days)) for person, rows in _by_person(entries)
    )
    shown = tuple(state for state in states if not state.is_done or state.job.pk in worked)
    return Week(monday, days, shown, people)


def _by_person(entries: Iterable[HoursEntry]) -> Iterable[tuple[User, list[HoursEntry]]]:
    for _, group in groupby(entries, key=lambda entry: entry.person_id):
        rows = list(group)
        yield rows[0].person, rows


def _minutes_on(day: date, entries: list[HoursEntry], now: datetime) -> float:
    """Minutes that fall on the day, by the shop's clock."""
    start = timezone.make_aware(datetime.combine(day, datetime.min.time()))
    end = timezone.make_aware(datetime.combine(day + timedelta(days=1), datetime.min.time()))
    return sum(
        max(0.0, (min(entry.stopped_at or now, end) - max(entry.started_at, start)).total_seconds() / 60)
        for entry in entries
    )
