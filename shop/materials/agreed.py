"""What customers have agreed to, as the work that is bought for, and what has been drawn beyond it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from estimating.purchasing.agreed import agreed_works
from estimating.purchasing.demand import Drawn, JobAhead, drawn_since, lines_of
from estimating.quotes.kept import Kept
from estimating.quotes.models import QuoteRevision, State
from estimating.quotes.store import work_up_plan, work_up_plans
from estimating.workup import WorkUp, work_up
from shop.billing.agreement import agreed_rules, agreement_of, plan_of
from shop.billing.models import Change, ChangeState
from shop.jobs.models import Job

_WORKS: Kept[tuple[int, int], WorkUp] = Kept(room=64)
"""By accepted revision and last accepted change: neither is ever altered."""


def works_agreed(numbers: Sequence[str]) -> dict[str, WorkUp]:
    """The agreed work of jobs by their number: accepted revision and accepted changes, by the rules of that revision.

    Three queries, and more only for agreements that this process has not worked up before.
    """
    jobs = {job.quote_id: job for job in Job.objects.filter(number__in=numbers)}
    revisions = QuoteRevision.objects.filter(quote__in=jobs, state=State.ACCEPTED).values_list("quote", "pk")
    accepted = Change.objects.filter(job__in=[job.pk for job in jobs.values()], state=ChangeState.ACCEPTED)
    changes = dict(accepted.order_by("number").values_list("job", "pk"))
    found = {}
    for quote, revision in revisions:
        job = jobs[quote]
        work = _WORKS.get((revision, changes.get(job.pk, 0)))
        if work is None:
            work = _worked_up(job)
        if work is not None:
            found[job.number] = work
    return found


def _worked_up(job: Job) -> WorkUp | None:
    agreement = agreement_of(job)
    if agreement is None:  # a new revision was sent meanwhile
        return None
    work = work_up(plan_of(agreement.plan), agreed_rules(agreement))
    _WORKS.put(agreement.key, work)
    return work


def work_of(job: Job) -> WorkUp:
    """The work that a job's kit and cut list are for: as agreed, else as drawn today."""
    return agreed_works([job.number]).get(job.number) or work_up_plan(job.plan_id)


@dataclass(frozen=True, slots=True)
class NotAgreed:
    """A job whose plan has moved on from what its customer agreed to."""

    job: str
    job_id: int
    circuits: tuple[str, ...]
    drawn: tuple[Drawn, ...]


def not_agreed(jobs: Sequence[JobAhead]) -> tuple[NotAgreed, ...]:
    """Jobs whose plan asks for other material than was agreed; nothing of the difference is bought."""
    agreed = agreed_works([job.ref for job in jobs])
    if not agreed:
        return ()
    works = work_up_plans(job.plan_id for job in jobs if job.ref in agreed)
    keys = dict(Job.objects.filter(number__in=list(agreed)).values_list("number", "pk"))
    found = []
    for job in jobs:
        if job.ref not in agreed or job.plan_id not in works:
            continue
        before = lines_of(job.ref, agreed[job.ref], job.starts_on)
        after = lines_of(job.ref, works[job.plan_id], job.starts_on)
        if drawn := drawn_since(before, after):
            circuits = tuple(sorted({name for each in drawn for name in each.circuits}))
            found.append(NotAgreed(job.ref, keys[job.ref], circuits, drawn))
    return tuple(found)
