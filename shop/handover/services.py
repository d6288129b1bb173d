"""What can happen to a handover. Each is one transaction."""

from __future__ import annotations

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from circuits.outbox.queue import enqueue
from circuits.planning.store import locked_plan
from estimating.quotes.papers_once import made_once
from shop.handover.card import card_pdf
from shop.handover.draft import as_released, draft_of
from shop.handover.models import Handover, HandoverPaper, PaperKind
from shop.handover.papers import handover_pdf
from shop.handover.record import HandoverRecord, read_record, write_record
from shop.handover.rules import RefusedError
from shop.jobs.models import Job, Stage
from shop.people.models import User

MAKE_PAPERS = "handover.make_papers"
MAY_RELEASE = "handover.release"


@transaction.atomic
def release_job(*, job_id: int, by: User, at: datetime, job_url: str, expected: int | None = None) -> Handover:
    """Release a vehicle: freezes what is handed over as the next revision.

    Parameters
    ----------
    job_id : int
    by : User
        Owner or office, by name.
    at : datetime
        Now.
    job_url : str
        Full address of the job's page, for the printed code.
    expected : int or None
        Number the releaser believes this handover to have; another one means that somebody was quicker.

    Raises
    ------
    Job.DoesNotExist
    PermissionDenied
        For a person who may not release.
    RefusedError
        With every reason: no quote accepted, changes not accepted, checks missing or failed, dangerous faults.
    """
    if not by.has_perm(MAY_RELEASE):
        raise PermissionDenied("A vehicle is released by the owner or the office.")
    # Held until the end: of two who release at once, the second sees the first; and nobody edits what is being frozen.
    locked_plan(Job.objects.select_for_update().get(pk=job_id).plan_id)
    job = Job.objects.with_parties().select_related("plan").get(pk=job_id)
    draft = draft_of(job, at=at, job_url=job_url)
    if expected is not None and expected != draft.number:
        raise RefusedError(f"Revision {draft.number - 1} has been released meanwhile: read it first.")
    if draft.reasons:
        raise RefusedError(*draft.reasons)
    name = f"{by}, {by.get_role_display().lower()}"
    handover = Handover(
        job=job,
        number=draft.number,
        content=write_record(as_released(draft, by=name, at=at)),
        released_at=at,
        released_by=by,
        released_name=name,
    )
    handover.full_clean()
    handover.save()
    job.stage = Stage.RELEASED
    job.save(update_fields=["stage"])
    enqueue(MAKE_PAPERS, handover.pk)
    return handover


def paper_of(handover: Handover, kind: PaperKind, *, at: datetime) -> HandoverPaper:
    """A paper of a handover; made from what it froze where there is none yet."""
    return made_once(
        HandoverPaper, lambda: pdf_of(read_record(handover.content), kind), at=at, handover=handover, kind=kind
    )


def pdf_of(record: HandoverRecord, kind: PaperKind) -> bytes:
    """The PDF of a record."""
    return handover_pdf(record.content) if kind is PaperKind.SHEET else card_pdf(record.content.chart)
