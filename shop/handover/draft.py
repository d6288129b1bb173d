"""What would be handed over now: the sheet's content as it stands, and every reason against a release."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from django.utils import timezone

from circuits.cautions import cautions
from circuits.sized import SizedPlan
from estimating.quotes.letterheads import shop_letterhead
from estimating.quotes.models import QuoteRevision
from estimating.quotes.paper_words import InWords
from estimating.quotes.record import plan_data
from estimating.quotes.store import worked_up
from shop.handover.chart import circuits_done, fuse_panels
from shop.handover.content import Chart, HandoverContent
from shop.handover.record import HandoverRecord
from shop.handover.rules import WorkState, reasons_not_to_release
from shop.handover.work import accepted_revision, work_state
from shop.jobs.models import Job


@dataclass(frozen=True)
class Draft:
    """The next handover as it would be; ``number`` is its revision."""

    number: int
    record: HandoverRecord
    state: WorkState

    @property
    def reasons(self) -> tuple[str, ...]:
        """Why it cannot be released; empty where it can."""
        return reasons_not_to_release(self.state)


def draft_of(job: Job, *, at: datetime, job_url: str) -> Draft:
    """The next handover of a job, in a fixed number of queries.

    Parameters
    ----------
    job : Job
        With customer, vehicle and plan.
    at : datetime
    job_url : str
        Full address of the job's page, for the printed code.
    """
    last = job.handovers.values_list("number", flat=True).order_by("-number").first()
    number = (last or 0) + 1
    worked = worked_up(job.plan_id)
    sized, locale = worked.workup.sized, worked.rules.terms.locale
    state = work_state(job)
    content = HandoverContent(
        chart=_chart(job, sized, locale, f"{number} draft", at, job_url),
        title=job.title,
        basis=_basis(accepted_revision(job), locale),
        plan_version=job.plan.version,
        circuits=circuits_done(sized),
        proof=state.proof,
        overrides=state.overrides,
        faults=state.faults,
        technicians=tuple(dict.fromkeys(line.by for line in state.proof if line.by)),
    )
    return Draft(number, HandoverRecord(content, plan_data(sized.wiring.plan)), state)


def as_released(draft: Draft, *, by: str, at: datetime) -> HandoverRecord:
    """The record of a draft once it is released."""
    content = draft.record.content
    chart = replace(content.chart, revision=str(draft.number), made_at=at)
    return replace(draft.record, content=replace(content, chart=chart, released_by=by, is_draft=False))


def _chart(job: Job, sized: SizedPlan, locale: str, revision: str, at: datetime, job_url: str) -> Chart:
    vehicle = job.vehicle
    return Chart(
        shop=shop_letterhead(),
        locale=locale,
        job=job.number,
        revision=revision,
        vehicle=" ".join(filter(None, [str(vehicle.year or ""), vehicle.description])),
        plate=vehicle.plate,
        chassis_number=vehicle.chassis_number,
        customer=job.customer.name,
        system_v=sized.wiring.plan.vehicle.system_v,
        made_at=at,
        job_url=job_url,
        panels=fuse_panels(sized),
        cautions=cautions(),
    )


def _basis(revision: QuoteRevision | None, locale: str) -> str:
    if revision is None or revision.accepted_at is None:
        return ""
    said = InWords("EUR", locale)
    day = said.day(timezone.localdate(revision.accepted_at))
    return f"Quote {revision.quote.number} revision {revision.number}, by {revision.accepted_name} on {day}"
