"""Work done after a transaction: the papers of what was issued."""

from __future__ import annotations

from django.utils import timezone

from circuits.outbox.registry import task
from shop.billing.change_services import MAKE_CHANGE_PAPER
from shop.billing.issue import paper_of_change, paper_of_document
from shop.billing.services import MAKE_PAPER


@task(MAKE_PAPER)
def make_paper(document_id: int) -> None:
    """Makes the PDF of an invoice or credit note, unless it is made already."""
    paper_of_document(document_id, at=timezone.now())


@task(MAKE_CHANGE_PAPER)
def make_change_paper(change_id: int) -> None:
    """Makes the PDF of a change, unless it is made already."""
    paper_of_change(change_id, at=timezone.now())
