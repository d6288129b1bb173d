"""The work that customers have agreed to: asked here, answered by whichever floor above knows agreements.

What is bought for a job is what was agreed, not what somebody has drawn since; a job that nobody has agreed to is
bought for as it is drawn today.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from estimating.purchasing.demand import JobAhead
from estimating.quotes.store import work_up_plans
from estimating.workup import WorkUp

Agreements = Callable[[Sequence[str]], Mapping[str, WorkUp]]
"""The agreed work of jobs, by their number; those without are left out. A fixed number of queries."""

_known: list[Agreements] = []


def answer_by(agreements: Agreements) -> None:
    """Have agreements told by ``agreements`` from now on; asked for when the site starts."""
    _known[:] = [agreements]


def agreed_works(jobs: Sequence[str]) -> Mapping[str, WorkUp]:
    """The agreed work of jobs by their number; nothing where nobody knows.

    Examples
    --------
    >>> agreed_works([])
    {}
    """
    return _known[0](jobs) if jobs and _known else {}


def works_of(jobs: Iterable[JobAhead]) -> dict[str, WorkUp]:
    """The work that is bought for, by the job's number: as agreed, else as drawn today. Plans gone are left out."""
    jobs = tuple(jobs)
    found = dict(agreed_works([job.ref for job in jobs]))
    rest = [job for job in jobs if job.ref not in found]
    drawn = work_up_plans(job.plan_id for job in rest)
    return found | {job.ref: drawn[job.plan_id] for job in rest if job.plan_id in drawn}
