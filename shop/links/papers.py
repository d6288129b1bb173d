"""Papers that a customer may fetch by a link: those of the link's own job that have been sent or handed over."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from functools import partial

from estimating.quotes.issue import paper_of as quote_paper_of
from estimating.quotes.models import QuoteRevision
from estimating.quotes.states import State
from shop.handover.models import Handover, PaperKind
from shop.handover.services import paper_of as handover_paper_of
from shop.jobs.models import Job


@dataclass(frozen=True)
class CustomerPaper:
    """One paper.

    Parameters
    ----------
    key : str
        Its name in the address.
    title : str
        As the customer reads it, and as the file is called.
    fetch : callable
        Gives the PDF.
    """

    key: str
    title: str
    fetch: Callable[[], bytes]


def papers_of(job: Job, *, at: datetime) -> tuple[CustomerPaper, ...]:
    """The papers of a job that its customer may fetch, in a fixed number of queries."""
    return (*_quote_papers(job, at), *_handover_papers(job, at))


def standing_revision(job: Job) -> QuoteRevision | None:
    """The revision that the customer reads: the accepted one, else the last one sent. One query."""
    sent = list(QuoteRevision.objects.filter(quote=job.quote_id).exclude(state=State.DRAFT).order_by("-number")[:1])
    return sent[0] if sent else None


def _quote_papers(job: Job, at: datetime) -> list[CustomerPaper]:
    found = QuoteRevision.objects.filter(quote=job.quote_id).exclude(state=State.DRAFT).order_by("-number")
    row = found.values_list("pk", "number").first()
    if row is None:
        return []
    revision_id, number = row
    title = f"Quote {job.quote.number} revision {number}"
    return [CustomerPaper(f"quote-{number}", title, partial(_quote_pdf, revision_id, at))]


def _handover_papers(job: Job, at: datetime) -> list[CustomerPaper]:
    last = Handover.objects.filter(job=job).order_by("-number").first()
    if last is None:
        return []
    return [
        CustomerPaper(f"handover-{kind.value}", kind.label, partial(_handover_pdf, last, kind, at))
        for kind in PaperKind
    ]


def _quote_pdf(revision_id: int, at: datetime) -> bytes:
    return bytes(quote_paper_of(revision_id, at=at).pdf)


def _handover_pdf(handover: Handover, kind: PaperKind, at: datetime) -> bytes:
    return bytes(handover_paper_of(handover, kind, at=at).pdf)
