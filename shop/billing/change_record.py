"""What a change freezes: one JSON text with all that was offered and what it is the difference of.

Later releases add keys; they never rename one or give it another meaning.
"""

from __future__ import annotations

import datetime
import hashlib
import json
from dataclasses import dataclass, replace
from typing import Any

from estimating.pricing.change import PricedChange
from estimating.pricing.quote import PartPrice, Terms
from estimating.quotes.changes import Changes
from estimating.quotes.frozen import from_data, to_data
from estimating.quotes.paper_content import Letterhead

FORMAT = 1


@dataclass(frozen=True, slots=True)
class ChangeHeading:
    """What stands above the figures.

    ``since`` says in words what the change is measured against.
    """

    number: int
    job_number: str
    quote_number: str
    revision: int
    date: datetime.date
    by: str
    addressee: str
    vehicle: str
    since: str
    note: str = ""


@dataclass(frozen=True)
class ChangeRecord:
    """A change as frozen. ``plan`` is the circuit sheet that the customer agrees to, the basis of the next change."""

    heading: ChangeHeading
    letterhead: Letterhead
    terms: Terms
    priced: PricedChange
    circuits: Changes
    part_prices: tuple[PartPrice, ...]
    plan: dict[str, Any]


def write_change(record: ChangeRecord) -> str:
    """The JSON text of a change; ``read_change`` gives an equal record back."""
    data = {"format": FORMAT} | to_data(record)
    return json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def read_change(text: str) -> ChangeRecord:
    """The change of a JSON text.

    Raises
    ------
    estimating.quotes.frozen.RecordError
        Where the text is not one that ``write_change`` wrote.
    """
    data = json.loads(text)
    data.pop("format", None)
    return from_data(ChangeRecord, data)


def fingerprint(record: ChangeRecord) -> str:
    """Short name of all that the customer would read, but for the day, the sender and the note."""
    bare = replace(record.heading, date=datetime.date.min, by="", note="")
    return hashlib.sha256(write_change(replace(record, heading=bare)).encode()).hexdigest()[:16]
