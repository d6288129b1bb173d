"""What the grid in the browser and the server say to each other: the page's data, edits in, answers out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from circuits.colours import COLOURS
from circuits.errors import CellFault, LoomwrightError, PlanError
from circuits.plan import BUSES, DEFAULT_ZONES_C, Plan
from circuits.planning.edits import AT_END, Conflict, Edit, EditFault, EditFaultsError
from circuits.planning.faces import described, label_of
from circuits.planning.listing import Listing
from circuits.rules import BuildRules
from circuits.sheets.limits import MAX_CIRCUITS
from circuits.sheets.plans import read_row
from circuits.sheets.tables import Row

FIGURES = {
    "circuits": (("Current", 8), ("Wire", 22), ("Fuse", 5), ("Drop", 10)),
    "runs": (("Wires", 6), ("Bundle", 7), ("Covering", 8)),
    "zones": (),
    "connectors": (("Used", 9),),
    "cavities": (("Wire", 20),),
    "mountings": (),
    "positions": (),
}
"""Result columns of each list: label and width [characters]."""


class BadBodyError(LoomwrightError, ValueError):
    """A request body that no grid of ours sends."""


def columns(listing: Listing) -> list[dict[str, object]]:
    """Columns as the browser is told of them."""
    return [described(listing.name, column) for column in listing.columns]


def words(plan: Plan, rules: BuildRules) -> dict[str, list[str]]:
    """Words that columns complete to, beyond those typed in them."""
    return {
        "places": list(plan.places),
        "feeds": list(BUSES),
        "zones": list(dict.fromkeys([*(zone.name for zone in plan.zones), *DEFAULT_ZONES_C])),
        "colours": list(COLOURS),
        "sizes": list(rules.sizing.stocked),
        "buses": list(BUSES),
        "circuits": [circuit.name for circuit in plan.circuits],
        "connectors": [connector.name for connector in plan.connectors],
        "parts": [mounting.part for mounting in plan.mountings],
        "hidden": _hidden(plan),
    }


def _hidden(plan: Plan) -> list[str]:
    """What a part may hide."""
    fitted = (*(one.name for one in plan.connectors), *(one.part for one in plan.mountings))
    return list(dict.fromkeys((*plan.places, *fitted)))


def row_data(listing: Listing, row: Any) -> dict[str, Any]:
    """A stored row as the browser holds it."""
    return {"id": row.pk, "version": row.version, "cells": listing.cells_of(row)}


def read_edits(listing: Listing, body: Any) -> list[Edit]:
    """Edits out of a request body, every fault at once.

    Raises
    ------
    BadBodyError
    EditFaultsError
    """
    rows = body.get("rows") if isinstance(body, dict) else None
    if not isinstance(rows, list) or not rows or len(rows) > MAX_CIRCUITS:
        raise BadBodyError(f"expected 1 to {MAX_CIRCUITS} rows")
    edits: list[Edit] = []
    faults: list[EditFault] = []
    for row in rows:
        try:
            key, row_id, version, after, cells = (row[name] for name in ("key", "id", "version", "after", "cells"))
            version = int(version)
            row_id = None if row_id is None else int(row_id)
            cells = {str(name): str(text) for name, text in cells.items()}
        except (KeyError, TypeError, ValueError, AttributeError, OverflowError) as error:
            raise BadBodyError("expected rows of key, id, version, after, cells") from error
        value = read_cells(listing, str(key), cells, faults)
        edits.append(Edit(str(key), row_id, version, value, _place(after)))
    if faults:
        raise EditFaultsError(faults)
    return edits


def _place(after: Any) -> int | str:
    return after if isinstance(after, (int, str)) and not isinstance(after, bool) else AT_END


def read_cells(listing: Listing, key: str, cells: Mapping[str, str], faults: list[EditFault]) -> Any:
    """Plan value of a row's texts; None where ``faults`` were added."""
    found: list[CellFault] = []
    known = {column.name: column for column in listing.columns}
    tidy = {name: text for name, text in cells.items() if name in known and not known[name].is_blank(text)}
    fields = read_row(listing.name, Row(0, tidy), found)
    faults.extend(EditFault(key, fault.column, fault.value, fault.expected) for fault in found)
    if fields is None or found:
        return None
    try:
        return listing.make(**fields)
    except PlanError as error:
        faults.append(EditFault(key, listing.columns[0].name, "this row", str(error)))
        return None


def faults_data(listing: Listing, faults: Iterable[EditFault]) -> list[dict[str, str]]:
    """Faults as the browser shows them."""
    return [
        {
            "key": fault.key,
            "column": fault.column,
            "message": f"{label_of(listing.name, fault.column)}: {_found(fault.value)}, expected {fault.expected}",
        }
        for fault in faults
    ]


def _found(value: str) -> str:
    return f"found “{value}”" if value else "found nothing"


def conflicts_data(listing: Listing, conflicts: Iterable[Conflict]) -> list[dict[str, Any]]:
    """Conflicts as the browser shows them: their row, who stored it and when."""
    return [
        {
            "key": conflict.key,
            "theirs": conflict.theirs
            and row_data(listing, conflict.theirs)
            | {"by": conflict.theirs.updated_by, "at": conflict.theirs.updated_at.isoformat()},
        }
        for conflict in conflicts
    ]
