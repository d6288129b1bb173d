"""Papers that a customer may fetch by a link: those of the link's own job that have been sent or handed over."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from functools import partial

from estimating.quotes.issue import paper_of as quote_paper_of
from estimating.quotes.models import QuoteRevision
from estimating.quotes.states import State
from shop.billing.issue import paper_of_change, paper_of_document
from shop.billing.models import Change, ChangeState, Document, Kind
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
    return (*_quote_papers(job, at), *_change_papers(job, at), *_money_papers(job, at), *_handover_papers(job, at))


def _quote_papers(job: Job, at: datetime) -> list[CustomerPaper]:
    found = QuoteRevision.objects.filter(quote=job.quote_id).exclude(state=State.DRAFT).order_by("-number")
    row = found.values_list("pk", "number").first()
    if row is None:
        return []
    revision_id, number = row
    title = f"Quote {job.quote.number} revision {number}"
    return [CustomerPaper(f"quote-{number}", title, partial(_quote_pdf, revision_id, at))]


def _change_papers(job: Job, at: datetime) -> list[CustomerPaper]:
    standing = (ChangeState.SENT, ChangeState.ACCEPTED)
    rows = Change.objects.filter(job=job, state__in=standing).order_by("number").values_list("pk", "number")
    return [CustomerPaper(f"change-{number}", f"Change {number}", partial(_change_pdf, pk, at)) for pk, number in rows]


def _money_papers(job: Job, at: datetime) -> list[CustomerPaper]:
    rows = Document.objects.filter(job=job).order_by("step").values_list("pk", "kind", "number")
    return [
        CustomerPaper(f"money-{number}", f"{Kind(kind).label} {number}", partial(_money_pdf, pk, at))
        for pk, kind, number in rows
    ]


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


def _change_pdf(change_id: int, at: datetime) -> bytes:
    return bytes(paper_of_change(change_id, at=at).pdf)


def _money_pdf(document_id: int, at: datetime) -> bytes:
    return bytes(paper_of_document(document_id, at=at).pdf)


def _handover_pdf(handover: Handover, kind: PaperKind, at: datetime) -> bytes:
    return bytes(handover_paper_of(handover, kind, at=at).pdf)
