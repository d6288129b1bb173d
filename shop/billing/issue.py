"""Papers of documents and changes: made once, from what was frozen. Several processes may ask at once: one stays."""

from __future__ import annotations

from datetime import datetime

from django.db import IntegrityError, transaction

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
    made = DocumentPaper.objects.filter(document=document_id).first()
    if made is not None:
        return made
    row = Document.objects.get(pk=document_id)
    paper = DocumentPaper(document=row, pdf=document_pdf(read_document(row.content)), made_at=at)
    try:
        with transaction.atomic():
            paper.save()
    except IntegrityError:  # somebody else was quicker
        return DocumentPaper.objects.get(document=document_id)
    return paper


def paper_of_change(change_id: int, *, at: datetime) -> ChangePaper:
    """The paper of a change.

    Raises
    ------
    Change.DoesNotExist
    """
    made = ChangePaper.objects.filter(change=change_id).first()
    if made is not None:
        return made
    row = Change.objects.get(pk=change_id)
    paper = ChangePaper(change=row, pdf=change_pdf(read_change(row.content)), made_at=at)
    try:
        with transaction.atomic():
            paper.save()
    except IntegrityError:  # somebody else was quicker
        return ChangePaper.objects.get(change=change_id)
    return paper
