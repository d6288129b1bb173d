"""Rows to plan values and back, field by field; no query is made here."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from circuits.fittings import Cavity, Connector, Half, Holds, Mounting, PanelPosition
from circuits.plan import (
    Circuit,
    Covering,
    Disposition,
    Duty,
    FuseFamily,
    Kind,
    Return,
    Run,
    Vehicle,
    Zone,
)
from circuits.planning.models import (
    CavityRow,
    CircuitRow,
    ConnectorRow,
    MountingRow,
    PlanRow,
    PositionRow,
    RunRow,
    ZoneRow,
)

CIRCUIT_FIELDS = tuple(field.name for field in fields(Circuit))
RUN_FIELDS = tuple(field.name for field in fields(Run))
CONNECTOR_FIELDS = tuple(field.name for field in fields(Connector))
CAVITY_FIELDS = tuple(field.name for field in fields(Cavity))
MOUNTING_FIELDS = tuple(field.name for field in fields(Mounting))
POSITION_FIELDS = tuple(field.name for field in fields(PanelPosition))
VEHICLE_FIELDS = tuple(field.name for field in fields(Vehicle))


def vehicle_of(row: PlanRow) -> Vehicle:
    """The vehicle a plan row describes."""
    return Vehicle(**{name: getattr(row, name) for name in VEHICLE_FIELDS})


def vehicle_fields(vehicle: Vehicle) -> dict[str, Any]:
    """What a plan row stores of a vehicle."""
    return {name: getattr(vehicle, name) for name in VEHICLE_FIELDS}


def zone_of(row: ZoneRow) -> Zone:
    """The zone a row holds."""
    return Zone(row.name, row.ambient_c)


def zone_fields(zone: Zone) -> dict[str, Any]:
    """What a row stores of a zone."""
    return {"name": zone.name, "ambient_c": zone.ambient_c}


def run_of(row: RunRow) -> Run:
    """The run a row holds."""
    return Run(
        start=row.start,
        end=row.end,
        length_m=row.length_m,
        zone=row.zone,
        covering=Covering(row.covering),
        opening_mm=row.opening_mm,
        notes=row.notes,
        moves=row.moves,
    )


def run_fields(run: Run) -> dict[str, Any]:
    """What a row stores of a run."""
    return {name: getattr(run, name) for name in RUN_FIELDS} | {"covering": run.covering.value}


def circuit_of(row: CircuitRow) -> Circuit:
    """The circuit a row holds."""
    return Circuit(
        name=row.name,
        section=row.section,
        feed=row.feed,
        fed_at=row.fed_at,
        load=row.load,
        load_at=tuple(row.load_at),
        kind=Kind(row.kind),
        load_a=row.load_a,
        load_w=row.load_w,
        disposition=Disposition(row.disposition),
        switch_at=row.switch_at,
        switch=row.switch,
        relay_at=row.relay_at,
        duty=Duty(row.duty),
        return_by=Return(row.return_by),
        ground_at=row.ground_at,
        max_drop_percent=row.max_drop_percent,
        safety=row.safety,
        colour=row.colour,
        size=row.size,
        fuse_a=row.fuse_a,
        fuse_family=FuseFamily(row.fuse_family) if row.fuse_family else None,
        notes=row.notes,
        switch_a=row.switch_a,
        relay_a=row.relay_a,
    )


def circuit_fields(circuit: Circuit) -> dict[str, Any]:
    """What a row stores of a circuit; plain enough for JSON, so that the change log can keep it."""
    return {name: getattr(circuit, name) for name in CIRCUIT_FIELDS} | {
        "load_at": list(circuit.load_at),
        "kind": circuit.kind.value,
        "disposition": circuit.disposition.value,
        "duty": circuit.duty.value,
        "return_by": circuit.return_by.value,
        "fuse_family": circuit.fuse_family.value if circuit.fuse_family else "",
    }


def connector_of(row: ConnectorRow) -> Connector:
    """The connector a row holds."""
    return Connector(**{name: getattr(row, name) for name in CONNECTOR_FIELDS} | {"half": Half(row.half)})


def connector_fields(connector: Connector) -> dict[str, Any]:
    """What a row stores of a connector."""
    return {name: getattr(connector, name) for name in CONNECTOR_FIELDS} | {"half": connector.half.value}


def cavity_of(row: CavityRow) -> Cavity:
    """The cavity a row holds."""
    return Cavity(**{name: getattr(row, name) for name in CAVITY_FIELDS} | {"holds": Holds(row.holds)})


def cavity_fields(cavity: Cavity) -> dict[str, Any]:
    """What a row stores of a cavity."""
    return {name: getattr(cavity, name) for name in CAVITY_FIELDS} | {"holds": cavity.holds.value}


def mounting_of(row: MountingRow) -> Mounting:
    """The part to mount that a row holds."""
    return Mounting(**{name: getattr(row, name) for name in MOUNTING_FIELDS} | {"hides": tuple(row.hides)})


def mounting_fields(mounting: Mounting) -> dict[str, Any]:
    """What a row stores of a part to mount."""
    return {name: getattr(mounting, name) for name in MOUNTING_FIELDS} | {"hides": list(mounting.hides)}


def position_of(row: PositionRow) -> PanelPosition:
    """The position of a panel that a row holds."""
    return PanelPosition(**{name: getattr(row, name) for name in POSITION_FIELDS})


def position_fields(position: PanelPosition) -> dict[str, Any]:
    """What a row stores of a position of a panel."""
    return {name: getattr(position, name) for name in POSITION_FIELDS}
