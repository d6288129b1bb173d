"""What a revision freezes: one JSON text with all that was promised and all that it was worked out from.

Later releases add keys; they never rename one or give it another meaning: they read the revisions sent today.
"""

from __future__ import annotations

import datetime
import hashlib
import json
from dataclasses import dataclass, fields, replace
from typing import Any

from circuits.plan import Plan
from circuits.sheets import write_json
from estimating.answer import answer
from estimating.labour.hours import Spread
from estimating.pricing.quote import PricedQuote, Terms
from estimating.quotes.changes import Changes, changes
from estimating.quotes.frozen import from_data, to_data
from estimating.quotes.paper_content import Letterhead
from estimating.rules import ShopRules
from estimating.workup import WorkUp

FORMAT = 1

PLAIN_FIELDS = ("answer", "plan", "rules")
"""Fields that are plain JSON values already."""


@dataclass(frozen=True, slots=True)
class Heading:
    """What stands above the figures.

    Parameters
    ----------
    number : str
        Of the quote.
    revision : int
    date, valid_until : datetime.date
        Day it is sent, and last day on which it can be accepted.
    by : str
        Member of staff who sends it.
    addressee, vehicle, note : str
        As printed.
    """

    number: str
    revision: int
    date: datetime.date
    valid_until: datetime.date
    by: str
    addressee: str
    vehicle: str
    note: str = ""


@dataclass(frozen=True)
class Record:
    """A revision as frozen. ``answer`` and ``plan`` are plain JSON values: the answer of the sheet, and the sheet."""

    heading: Heading
    letterhead: Letterhead
    terms: Terms
    priced: PricedQuote
    hours: Spread
    answer: dict[str, Any]
    plan: dict[str, Any]
    rules: dict[str, Any]
    changes: Changes | None = None
    changes_since: int | None = None

    def since(self, previous: Record | None) -> Record:
        """This record with what changed since ``previous``."""
        if previous is None:
            return self
        found = changes(previous.compared, self.compared)
        return replace(self, changes=found, changes_since=previous.heading.revision)

    @property
    def compared(self) -> dict[str, Any]:
        """The part that two revisions are compared by."""
        return {"answer": self.answer, "plan": self.plan}


def make_record(heading: Heading, letterhead: Letterhead, rules: ShopRules, workup: WorkUp) -> Record:
    """The record of a work-up made by ``rules``."""
    return Record(
        heading=heading,
        letterhead=letterhead,
        terms=rules.terms,
        priced=workup.quote,
        hours=workup.hours.total,
        answer=answer(workup),
        plan=plan_data(workup.sized.wiring.plan),
        rules={
            "build": to_data(rules.build),
            "takeoff": to_data(rules.takeoff),
            "minutes": to_data(rules.minutes.rows),
            "condition_cv": rules.condition_cv,
        },
    )


def plan_data(plan: Plan) -> dict[str, Any]:
    """The circuit sheet of a plan as plain JSON values."""
    data: dict[str, Any] = json.loads(write_json(plan))
    return data


def write_record(record: Record) -> str:
    """The JSON text of a record.

    Notes
    -----
    ``read_record`` gives an equal record back.
    """
    values = {field.name: getattr(record, field.name) for field in fields(record)}
    data = {"format": FORMAT} | {
        name: value if name in PLAIN_FIELDS else to_data(value) for name, value in values.items()
    }
    return json.dumps(data, ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def read_record(text: str) -> Record:
    """The record of a JSON text.

    Raises
    ------
    RecordError
        Where the text is not one that ``write_record`` wrote.
    """
    data = json.loads(text)
    data.pop("format", None)
    return from_data(Record, data)


def fingerprint(record: Record) -> str:
    """Short name of all that a customer would read, but for the day: equal names, equal offers."""
    undated = replace(
        record, heading=replace(record.heading, date=datetime.date.min, valid_until=datetime.date.min, by="")
    )
    return hashlib.sha256(write_record(undated).encode()).hexdigest()[:16]
