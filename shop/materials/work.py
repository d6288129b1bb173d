"""The jobs ahead, as buying wants to know them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from estimating.purchasing.demand import DemandLine, JobAhead
from estimating.purchasing.kits import Kit, kits_of
from estimating.purchasing.week_store import demand_of
from estimating.stock.kinds import natural
from shop.jobs.models import Job, Stage

LIKELY = (Stage.SURVEY, Stage.QUOTED)
"""A customer who has not accepted yet may still do so."""

BACK_DAYS = 30
"""Jobs that should have started so long ago still get their material."""


def jobs_ahead(*, today: date, horizon_days: int, with_likely: bool = False) -> tuple[JobAhead, ...]:
    """Jobs that start within the horizon and are not handed over, soonest first. One query.

    Parameters
    ----------
    today : date
    horizon_days : int
    with_likely : bool
        Also those whose customer has not accepted yet.
    """
    stages = [Stage.BOOKED, *(LIKELY if with_likely else ())]
    days = (today - timedelta(days=BACK_DAYS), today + timedelta(days=horizon_days))
    rows = Job.objects.filter(stage__in=stages, starts_on__range=days, handovers=None).select_related("vehicle")
    return tuple(ahead(row) for row in rows.order_by("starts_on", "pk"))


def ahead(job: Job) -> JobAhead:
    """One job, as buying wants to know it. It must have a start."""
    assert job.starts_on is not None
    title = f"{job.title}, {job.vehicle.description}"
    return JobAhead(job.number, title, job.plan_id, job.starts_on, job.stage != Stage.BOOKED)


def undated_jobs() -> tuple[Job, ...]:
    """Accepted jobs that nobody has given a start. One query."""
    return tuple(Job.objects.filter(stage=Stage.BOOKED, starts_on=None).order_by("pk")[:50])


@dataclass(frozen=True, slots=True)
class JobNeeds:
    """A job ahead, what its plan still asks for, and its kit."""

    job: JobAhead
    job_id: int
    kit: Kit

    @property
    def comes_late(self) -> bool:
        """Whether something comes on the day of the start or later."""
        return self.kit.comes_on is not None and self.kit.comes_on >= self.job.starts_on


@dataclass(frozen=True, slots=True)
class NeedLine:
    """One kind of material that the jobs ahead still need by one day, how far it is provided for, what is behind it.

    Parameters
    ----------
    kind : str
    needed_by : date
    says : str
        How much, for people.
    in_stock, on_order, still_to_plan : str
        Reserved from stock, reserved from orders under way, and the rest; empty for nothing.
    behind : tuple of DemandLine
    """

    kind: str
    needed_by: date
    says: str
    in_stock: str
    on_order: str
    still_to_plan: str
    behind: tuple[DemandLine, ...]


def job_needs(jobs: tuple[JobAhead, ...], demand: tuple[DemandLine, ...]) -> tuple[JobNeeds, ...]:
    """The jobs with their kits. Two queries and those of the kits."""
    keys = dict(Job.objects.filter(number__in=[job.ref for job in jobs]).values_list("number", "pk"))
    kits = kits_of(demand, [job.ref for job in jobs])
    return tuple(JobNeeds(job, keys[job.ref], kits[job.ref]) for job in jobs)


def need_lines(demand: tuple[DemandLine, ...], kits: Iterable[Kit] = ()) -> tuple[NeedLine, ...]:
    """The demand by day and kind; each line names the jobs and circuits behind it, and what ``kits`` reserve of it.

    Examples
    --------
    >>> from estimating.buying.kinds import Kind
    >>> kind, day = Kind("relay"), date(2026, 3, 2)
    >>> lines = need_lines(tuple(DemandLine(job, kind, "", 2, ("horn",), day) for job in ("J-1", "J-2")))
    >>> [(line.kind, line.says, line.still_to_plan, [each.job for each in line.behind]) for line in lines]
    [('relay', '4 pc', '4 pc', ['J-1', 'J-2'])]
    """
    here, coming = reserved(kits, is_here=True), reserved(kits, is_here=False)
    together: dict[tuple[date, str], list[DemandLine]] = {}
    for line in demand:
        together.setdefault((line.needed_by, line.kind.key), []).append(line)
    return tuple(_need_line(*key, together[key], here, coming) for key in sorted(together, key=_day_then_kind))


def _day_then_kind(key: tuple[date, str]) -> tuple[date, object]:
    return key[0], natural(key[1])


Reserved = dict[tuple[str, str, str], int]
"""Pieces or millimetres by job, kind and cut."""


def reserved(kits: Iterable[Kit], *, is_here: bool) -> Reserved:
    """What is reserved for jobs and not given out: from stock, or from orders under way."""
    found: Reserved = {}
    for kit in kits:
        for line in kit.lines:
            if line.given and not line.is_given_out and line.is_here is is_here:
                key = (kit.job, line.wanted, line.cut)
                found[key] = found.get(key, 0) + line.amount
    return found


def _need_line(day: date, kind: str, lines: list[DemandLine], here: Reserved, coming: Reserved) -> NeedLine:
    total = in_stock = on_order = 0
    for line in lines:
        key = (line.job, line.kind.key, line.cut)
        from_stock = min(line.amount, here.get(key, 0))
        total += line.amount
        in_stock += from_stock
        on_order += min(line.amount - from_stock, coming.get(key, 0))
    says = lines[0].of
    rest = total - in_stock - on_order
    return NeedLine(
        kind=kind,
        needed_by=day,
        says=says(total),
        in_stock=says(in_stock) if in_stock else "",
        on_order=says(on_order) if on_order else "",
        still_to_plan=says(rest) if rest else "",
        behind=tuple(lines),
    )


def kit_of(job: Job) -> Kit:
    """The kit of one job, held against its plan as it is today. A job without a start needs nothing yet."""
    demand = demand_of([ahead(job)]) if job.starts_on else ()
    return kits_of(demand, [job.number])[job.number]
