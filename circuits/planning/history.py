"""Who changed what in a plan, read from its log of changes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from circuits.planning.comparison import FieldChange
from circuits.planning.faces import label_of
from circuits.planning.listing import LISTINGS, Listing
from circuits.planning.models import PlanChange, PlanRow

SHOWN = 12


@dataclass(frozen=True, slots=True)
class ChangeLine:
    """One change in words; ``fields`` are those that differ, where a row was changed."""

    at: datetime
    by: str
    what: str
    subject: str
    fields: tuple[FieldChange, ...]


def last_changes(plan: PlanRow, subject: str = "") -> list[ChangeLine]:
    """The last changes of a plan, or of the rows of one name in it; one query."""
    changes = PlanChange.objects.filter(plan=plan)
    if subject:
        changes = changes.filter(subject=subject)
    return [change_line(change) for change in changes[:SHOWN]]


def change_line(change: PlanChange) -> ChangeLine:
    """A change of the log in words; no query."""
    return ChangeLine(change.at, change.by, change.what, change.subject, _fields(change))


def _fields(change: PlanChange) -> tuple[FieldChange, ...]:
    listing = next((one for one in LISTINGS.values() if change.what == f"{one.one} changed"), None)
    if listing is None or change.before is None or change.after is None:
        return ()
    before, after = change.before, change.after
    return tuple(
        FieldChange(_label(listing, field), _text(before.get(field)), _text(value))
        for field, value in after.items()
        if before.get(field) != value
    )


def _label(listing: Listing, field: str) -> str:
    names = {column.field: column.name for column in listing.columns}
    return label_of(listing.name, names.get(field, field))


def _text(value: Any) -> str:
    """A stored JSON value as people write it.

    Examples
    --------
    >>> _text(5.0), _text(["left", "right"]), _text(True), _text(None)
    ('5', 'left; right', 'yes', '')
    """
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return "; ".join(str(part) for part in value)
    if isinstance(value, float):
        return f"{value:g}"
    return "" if value is None else str(value)
