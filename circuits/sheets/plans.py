"""Rows of named cells to a plan, every fault at once; and a plan back to rows."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from circuits.errors import CellFault, PlanError, UnreadableError
from circuits.fittings import Cavity, Connector, Mounting, PanelPosition
from circuits.plan import BUSES, Circuit, Plan, Run, Vehicle, Zone
from circuits.sheets.cells import CellError, hint
from circuits.sheets.columns import COLUMNS, OPTIONAL_SHEETS, VEHICLE_KEYS, Column, shown
from circuits.sheets.tables import Row

KEYS: Mapping[str, tuple[str, ...]] = {
    "zones": ("zone",),
    "circuits": ("circuit",),
    "connectors": ("connector",),
    "cavities": ("connector", "cavity"),
    "mountings": ("part",),
    "positions": ("panel", "position"),
}
"""Columns that together name a row of a sheet once only."""

Tables = Mapping[str, Sequence[Row]]
"""Rows by sheet; a sheet that is absent has no entry."""


def build_plan(tables: Tables, faults: Sequence[CellFault] = ()) -> Plan:
    """Plan of the rows.

    Parameters
    ----------
    tables : mapping of str to sequence of Row
    faults : sequence of CellFault
        Found before; reported together with those found here.

    Raises
    ------
    UnreadableError
        With every fault, in the order of sheets and rows.

    Examples
    --------
    >>> build_plan({"zones": [Row(2, {"zone": "cabin", "ambient_c": "40"})]}).zones
    (Zone(name='cabin', ambient_c=40.0),)
    """
    found = list(faults)
    vehicle = _vehicle(tables.get("vehicle", ()), found)
    zones = _values("zones", tables, Zone, found)
    runs = _values("runs", tables, Run, found)
    circuits = _values("circuits", tables, Circuit, found)
    connectors = _values("connectors", tables, Connector, found)
    cavities = _values("cavities", tables, Cavity, found)
    mountings = _values("mountings", tables, Mounting, found)
    positions = _values("positions", tables, PanelPosition, found)
    if found or vehicle is None:
        order = {sheet: position for position, sheet in enumerate(COLUMNS)}
        raise UnreadableError(sorted(found, key=lambda fault: (order.get(fault.sheet, -1), fault.row)))
    return Plan(
        vehicle,
        tuple(zones),
        tuple(runs),
        tuple(_with_bus_names(circuits)),
        tuple(connectors),
        tuple(cavities),
        tuple(mountings),
        tuple(positions),
    )


def read_row(sheet: str, row: Row, faults: list[CellFault]) -> dict[str, Any] | None:
    """Fields of the plan value that a row describes; None where a cell cannot be read.

    Faults are added to ``faults``.
    """
    fields: dict[str, Any] = {}
    before = len(faults)
    for column in COLUMNS[sheet].values():
        if column.name in row.spoiled:
            continue
        _read_into(fields, column, sheet, row.number, row.cells.get(column.name, ""), faults)
    if sheet == "circuits" and not row.spoiled & {"load_a", "load_w"}:
        faults.extend(_load_faults(row))
    return fields if len(faults) == before and not row.spoiled else None


def _read_into(
    fields: dict[str, Any], column: Column, sheet: str, number: int, text: str, faults: list[CellFault]
) -> None:
    try:
        fields[column.field] = column.read(text)
    except CellError as error:
        faults.append(column.fault(sheet, number, text, error))


def _load_faults(row: Row) -> list[CellFault]:
    amperes, watts = (row.cells.get(name, "").strip() for name in ("load_a", "load_w"))
    if amperes and watts:
        found = f"{shown(amperes)} and {shown(watts)}"
        return [CellFault("circuits", row.number, "load_a", found, "load_a or load_w, not both")]
    if not amperes and not watts:
        return [CellFault("circuits", row.number, "load_a", "", "load_a or load_w, one of the two")]
    return []


def _values(sheet: str, tables: Tables, make: Callable[..., Any], faults: list[CellFault]) -> list[Any]:
    values: list[Any] = []
    first_row: dict[tuple[str, ...], int] = {}
    keys = KEYS.get(sheet, ())
    for row in tables.get(sheet, ()):
        fields = read_row(sheet, row, faults)
        names = tuple(row.cells.get(key, "") for key in keys)
        if names and all(names) and names in first_row:
            within = f" for {keys[0]} {shown(names[0])}" if len(keys) > 1 else ""
            expected = f"a name not used before{within}; row {first_row[names]} has it"
            faults.append(CellFault(sheet, row.number, keys[-1], shown(names[-1]), expected))
        first_row.setdefault(names, row.number)
        if fields is None:
            continue
        try:
            values.append(make(**fields))
        except PlanError as error:
            faults.append(CellFault(sheet, row.number, "", "this row", str(error)))
    return values


def _vehicle(rows: Sequence[Row], faults: list[CellFault]) -> Vehicle | None:
    fields: dict[str, Any] = {}
    first_row: dict[str, int] = {}
    known = COLUMNS["vehicle"]
    for row in rows:
        key, value = row.cells.get("key", "").strip().casefold(), row.cells.get("value", "")
        if key not in known:
            expected = f"one of {', '.join(known)}{hint(key, tuple(known))}"
            faults.append(CellFault("vehicle", row.number, "key", shown(row.cells.get("key", "")), expected))
        elif key in first_row:
            expected = f"each key once; row {first_row[key]} has it"
            faults.append(CellFault("vehicle", row.number, "key", key, expected))
        else:
            first_row[key] = row.number
            _read_into(fields, known[key], "vehicle", row.number, value, faults)
    try:
        return Vehicle(**fields)
    except PlanError as error:
        faults.append(CellFault("vehicle", 0, "", "this sheet", str(error)))
        return None


def _with_bus_names(circuits: Sequence[Circuit]) -> list[Circuit]:
    """Feeds that name a bus in other letters (``Battery``) brought to its name, unless a circuit is called so."""
    names = {circuit.name for circuit in circuits}
    return [
        replace(circuit, feed=circuit.feed.strip().casefold())
        if circuit.feed not in names and circuit.feed.strip().casefold() in BUSES
        else circuit
        for circuit in circuits
    ]


def plan_rows(plan: Plan, *, with_empty: bool = False) -> dict[str, list[list[str]]]:
    """Texts of a plan by sheet, without header; they read back to the same plan.

    Optional sheets without rows are left out unless asked for, so that a plan without fittings is written as ever.

    Examples
    --------
    >>> plan_rows(Plan(Vehicle(), (Zone("cabin", 40.0),), (), ()))["zones"]
    [['cabin', '40']]
    """
    optional = {sheet: [_texts(sheet, value) for value in getattr(plan, sheet)] for sheet in OPTIONAL_SHEETS}
    return {
        "vehicle": [[key.name, key.write(getattr(plan.vehicle, key.field))] for key in VEHICLE_KEYS],
        "zones": [_texts("zones", zone) for zone in plan.zones],
        "runs": [_texts("runs", run) for run in plan.runs],
        "circuits": [_texts("circuits", circuit) for circuit in plan.circuits],
        **{sheet: rows for sheet, rows in optional.items() if rows or with_empty},
    }


def _texts(sheet: str, value: object) -> list[str]:
    return [column.write(getattr(value, column.field)) for column in COLUMNS[sheet].values()]
