"""One row of a plan's list in a form of its own: stored, or told why not. For phones and browsers without scripts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.http import Http404

from circuits.planning.changes import save_rows
from circuits.planning.edits import Conflict, ConflictError, Edit, EditFaultsError
from circuits.planning.faces import label_of
from circuits.planning.forms import RowForm
from circuits.planning.listing import LISTINGS, Listing
from circuits.planning.models import PlanPart, new_stamp
from circuits.planning.store import LoadedPlan

PAGE_OF = {
    "circuits": "planning:plan",
    "runs": "planning:loom",
    "zones": "planning:loom",
    "mountings": "planning:loom",
    "connectors": "planning:connectors",
    "cavities": "planning:connectors",
    "positions": "planning:panel",
}
"""Page that shows each list."""


@dataclass(frozen=True, slots=True)
class Difference:
    """A field that two people changed: what stands in the form, and what the other stored."""

    column: str
    label: str
    mine: str
    theirs: str


@dataclass(frozen=True, slots=True)
class Dispute:
    """A row changed by somebody else meanwhile; ``theirs`` is None where they took it out."""

    theirs: PlanPart | None
    differences: tuple[Difference, ...]


def listing_or_404(name: str) -> Listing:
    """The list of that name.

    Raises
    ------
    Http404
    """
    if name not in LISTINGS:
        raise Http404(f"no list {name}")
    return LISTINGS[name]


def part_or_404(loaded: LoadedPlan, listing: Listing, row_id: int) -> Any:
    """The row of a list.

    Raises
    ------
    Http404
    """
    for row in loaded.rows_of(listing.name):
        if row.pk == row_id:
            return row
    raise Http404(f"no {listing.one} {row_id} in this plan")


def store_row(form: RowForm, *, plan_id: int, row_id: int | None, by: str) -> Dispute | PlanPart | None:
    """Store what a form holds: the row, or None with faults at the fields, or a dispute with somebody else's edit."""
    if not form.is_valid():
        return None
    edit = Edit(form.cleaned_data["key"] or new_stamp(), row_id, form.cleaned_data["version"], form.value)
    try:
        changed = save_rows(plan_id=plan_id, listing=form.listing, edits=[edit], by=by)
    except EditFaultsError as error:
        form.add_faults(error.faults)
        return None
    except ConflictError as error:
        return _dispute(form, error.conflicts[0])
    row: PlanPart = changed.rows[edit.key]
    return row


def _dispute(form: RowForm, conflict: Conflict) -> Dispute:
    if conflict.theirs is None:
        return Dispute(None, ())
    theirs: PlanPart = conflict.theirs
    listing = form.listing
    mine = form.chosen(form.cleaned_data)
    columns = listing.columns
    pairs = zip(columns, listing.cells_of(theirs), strict=True)
    form.data = {**{name: form.data[name] for name in form.data}, "version": str(theirs.version)}
    return Dispute(
        theirs,
        tuple(
            Difference(column.name, label_of(listing.name, column.name), mine[column.name], text)
            for column, text in pairs
            if column.read(mine[column.name]) != column.read(text)
        ),
    )
