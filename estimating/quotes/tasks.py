"""Work done after a transaction: the papers of sent revisions."""

from __future__ import annotations

from django.utils import timezone

from circuits.outbox.registry import task
from estimating.quotes.issue import paper_of
from estimating.quotes.services import MAKE_PAPER


@task(MAKE_PAPER)
def make_paper(revision_id: int) -> None:
    """Makes the PDF of a sent revision, unless it is made already."""
    paper_of(revision_id, at=timezone.now())
