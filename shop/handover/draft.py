"""What would be handed over now: the sheet's content as it stands, and every reason against a release."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime

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
from shop.handover.record import HandoverRecord, read_record
from shop.handover.rules import WorkState, reasons_not_to_release
from shop.handover.work import accepted_revision, work_state
from shop.jobs.models import Job

_NO_DAY = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True)
class Draft:
    """The next handover as it would be; ``number`` is its revision, ``last`` the record of the one before."""

    number: int
    record: HandoverRecord
    state: WorkState
    last: HandoverRecord | None = None

    @property
    def reasons(self) -> tuple[str, ...]:
        """Why it cannot be released; empty where it can."""
        reasons = reasons_not_to_release(self.state)
        if not reasons and self.is_as_released:
            return (f"Nothing has changed since revision {self.number - 1} was released.",)
        return reasons

    @property
    def is_as_released(self) -> bool:
        """True where the papers would say what those of the last release say, but for day and revision."""
        return self.last is not None and _undated(self.last) == _undated(self.record)


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
    last = job.handovers.order_by("-number").first()
    number = last.number + 1 if last else 1
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
    record = HandoverRecord(content, plan_data(sized.wiring.plan))
    return Draft(number, record, state, read_record(last.content) if last else None)


def as_released(draft: Draft, *, by: str, at: datetime) -> HandoverRecord:
    """The record of a draft once it is released."""
    content = draft.record.content
    chart = replace(content.chart, revision=str(draft.number), made_at=at)
    return replace(draft.record, content=replace(content, chart=chart, released_by=by, is_draft=False))


def _undated(record: HandoverRecord) -> HandoverRecord:
    """A record without what every release has of its own."""
    chart = replace(record.content.chart, revision="", made_at=_NO_DAY, job_url="")
    return replace(record, content=replace(record.content, chart=chart, released_by="", is_draft=True))


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
