"""Papers of revisions: made once for a sent one, afresh each time for a draft."""

from __future__ import annotations

from datetime import datetime

from django.db import IntegrityError, transaction

from estimating.quotes.models import QuotePaper, QuoteRevision
from estimating.quotes.paper_facts import paper_content
from estimating.quotes.papers import quote_pdf
from estimating.quotes.record import Record, read_record
from estimating.quotes.rules import RefusedError
from estimating.quotes.states import State


def paper_of(revision_id: int, *, at: datetime) -> QuotePaper:
    """The paper of a sent revision; made from what it froze where there is none yet.

    May be called by several processes at once: one paper stays, and all get that one.

    Raises
    ------
    QuoteRevision.DoesNotExist
    RefusedError
        For a draft.
    """
    made = QuotePaper.objects.filter(revision_id=revision_id).first()
    if made is not None:
        return made
    revision = QuoteRevision.objects.get(pk=revision_id)
    if revision.state == State.DRAFT:
        raise RefusedError("It has not been sent: a draft has no paper of its own.")
    pdf = draft_pdf(read_record(revision.content), is_draft=False)
    try:
        with transaction.atomic():
            return QuotePaper.objects.create(revision=revision, pdf=pdf, made_at=at)
    except IntegrityError:  # somebody else was quicker
        return QuotePaper.objects.get(revision_id=revision_id)


def draft_pdf(record: Record, *, is_draft: bool = True) -> bytes:
    """The PDF of a record, marked as a draft unless it has been sent."""
    return quote_pdf(paper_content(record, is_draft=is_draft))
