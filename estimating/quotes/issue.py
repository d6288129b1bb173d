"""Papers of revisions: made once for a sent one, afresh each time for a draft."""

from __future__ import annotations

from datetime import datetime

from estimating.quotes.models import QuotePaper, QuoteRevision
from estimating.quotes.paper_facts import paper_content
from estimating.quotes.papers import quote_pdf
from estimating.quotes.papers_once import made_once
from estimating.quotes.record import Record, read_record
from estimating.quotes.rules import RefusedError
from estimating.quotes.states import State


def paper_of(revision_id: int, *, at: datetime) -> QuotePaper:
    """The paper of a sent revision; made from what it froze where there is none yet.

    Raises
    ------
    QuoteRevision.DoesNotExist
    RefusedError
        For a draft.
    """

    def make() -> bytes:
        revision = QuoteRevision.objects.get(pk=revision_id)
        if revision.state == State.DRAFT:
            raise RefusedError("It has not been sent: a draft has no paper of its own.")
        return draft_pdf(read_record(revision.content), is_draft=False)

    return made_once(QuotePaper, make, at=at, revision_id=revision_id)


def draft_pdf(record: Record, *, is_draft: bool = True) -> bytes:
    """The PDF of a record, marked as a draft unless it has been sent."""
    return quote_pdf(paper_content(record, is_draft=is_draft))
