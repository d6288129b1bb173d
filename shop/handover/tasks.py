"""Work done after a transaction: the papers of handovers."""

from __future__ import annotations

from django.utils import timezone

from circuits.outbox.registry import task
from shop.handover.models import Handover, PaperKind
from shop.handover.services import MAKE_PAPERS, paper_of


@task(MAKE_PAPERS)
def make_papers(handover_id: int) -> None:
    """Makes sheet and card of a handover, unless they are made already."""
    handover = Handover.objects.get(pk=handover_id)
    for kind in PaperKind:
        paper_of(handover, kind, at=timezone.now())
