"""What an invoice or credit note freezes: one JSON text with all that its paper says.

Later releases add keys; they never rename one or give it another meaning.
"""

from __future__ import annotations

import datetime
import hashlib
import json
from dataclasses import dataclass, replace

from estimating.pricing.invoice import InvoiceLine, Totals
from estimating.quotes.frozen import from_data, to_data
from estimating.quotes.paper_content import Letterhead

FORMAT = 1


@dataclass(frozen=True)
class DocumentRecord:
    """An invoice or credit note as frozen.

    Parameters
    ----------
    kind, basis : str
        ``Kind`` and ``Basis`` values.
    number : str
        Empty until issued.
    date, due_on : datetime.date
    by : str
        Member of staff who issues it.
    letterhead : Letterhead
    addressee, vehicle, job_number : str
        As printed.
    currency, locale : str
    lines : tuple of InvoiceLine
    totals : Totals
    agreed : tuple of str
        What it rests on, one sentence each.
    note : str
        A few words to the customer.
    credits : str
        Number of the invoice that a credit note is about.
    """

    kind: str
    basis: str
    number: str
    date: datetime.date
    due_on: datetime.date
    by: str
    letterhead: Letterhead
    addressee: str
    vehicle: str
    job_number: str
    currency: str
    locale: str
    lines: tuple[InvoiceLine, ...]
    totals: Totals
    agreed: tuple[str, ...] = ()
    note: str = ""
    credits: str = ""


def write_document(record: DocumentRecord) -> str:
    """The JSON text of a record; ``read_document`` gives an equal record back."""
    data = {"format": FORMAT} | to_data(record)
    return json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def read_document(text: str) -> DocumentRecord:
    """The record of a JSON text.

    Raises
    ------
    estimating.quotes.frozen.RecordError
        Where the text is not one that ``write_document`` wrote.
    """
    data = json.loads(text)
    data.pop("format", None)
    return from_data(DocumentRecord, data)


def fingerprint(record: DocumentRecord) -> str:
    """Short name of what the record claims: whoever issues it says by this what was looked at."""
    bare = replace(record, number="", by="", letterhead=Letterhead())
    return hashlib.sha256(write_document(bare).encode()).hexdigest()[:16]
