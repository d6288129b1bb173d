"""Papers of documents and changes: made once, from what was frozen."""

from __future__ import annotations

from datetime import datetime

from estimating.quotes.papers_once import made_once
from shop.billing.change_papers import change_pdf
from shop.billing.change_record import read_change
from shop.billing.document_record import read_document
from shop.billing.models import Change, ChangePaper, Document, DocumentPaper
from shop.billing.papers import document_pdf


def paper_of_document(document_id: int, *, at: datetime) -> DocumentPaper:
    """The paper of an invoice or credit note.

    Raises
    ------
    Document.DoesNotExist
    """

    def make() -> bytes:
        return document_pdf(read_document(Document.objects.get(pk=document_id).content))

    return made_once(DocumentPaper, make, at=at, document_id=document_id)


def paper_of_change(change_id: int, *, at: datetime) -> ChangePaper:
    """The paper of a change.

    Raises
    ------
    Change.DoesNotExist
    """

    def make() -> bytes:
        return change_pdf(read_change(Change.objects.get(pk=change_id).content))

    return made_once(ChangePaper, make, at=at, change_id=change_id)
