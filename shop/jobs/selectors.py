"""Reads that cross apps: what the page of a job shows."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date

from django.db.models import Count

from circuits.plan import Disposition
from estimating.quotes.models import QuoteRevision, State
from estimating.quotes.store import work_up_plan
from estimating.workup import WorkUp
from shop.jobs.models import Customer, CustomerQuerySet, Job
from shop.jobs.next_step import NextStep, next_step


@dataclass(frozen=True, slots=True)
class JobSummary:
    """Figures of a job and what comes next."""

    work_up: WorkUp
    dispositions: tuple[tuple[str, int], ...]
    findings: tuple[tuple[str, int], ...]
    revisions: tuple[QuoteRevision, ...]
    next_step: NextStep


def job_summary(job: Job, today: date) -> JobSummary:
    """What the job's page shows, in a fixed number of queries.

    Parameters
    ----------
    job : Job
    today : date

    Returns
    -------
    JobSummary
    """
    work_up = work_up_plan(job.plan_id)
    revisions = tuple(QuoteRevision.objects.without_content().filter(quote=job.quote_id).order_by("-number"))
    sent = next((revision for revision in revisions if revision.state == State.SENT), None)
    circuits = Counter(str(sized.circuit.disposition) for sized in work_up.sized.circuits)
    findings = Counter(str(finding.severity) for finding in work_up.sized.findings)
    return JobSummary(
        work_up=work_up,
        dispositions=tuple((str(kind), circuits[kind]) for kind in Disposition if circuits[kind]),
        findings=tuple((kind, findings[kind]) for kind in ("error", "warning", "note") if findings[kind]),
        revisions=revisions,
        next_step=next_step(job.stage, work_up.sized, sent.valid_until if sent else None, job.starts_on, today),
    )


def customers_with_counts() -> CustomerQuerySet:
    """Customers, each with ``jobs_count``."""
    return Customer.objects.annotate(jobs_count=Count("jobs"))
