"""The lists of a plan, told apart by data so that one editor serves all: circuits, runs, zones, fittings."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from circuits.fittings import Cavity, Connector, Mounting, PanelPosition
from circuits.plan import Circuit, Run, Zone
from circuits.planning import values
from circuits.planning.faces import FACES
from circuits.planning.models import (
    CavityRow,
    CircuitRow,
    ConnectorRow,
    MountingRow,
    PositionRow,
    RunRow,
    ZoneRow,
)
from circuits.sheets.columns import COLUMNS, Column


@dataclass(frozen=True, slots=True)
class Listing:
    """One list of a plan.

    Parameters
    ----------
    name, one : str
        ``circuits`` and ``circuit``: for addresses and for the change log.
    make : callable
        Plan value of its fields.
    model : type of PlanPart
    value_of : callable
        Row to plan value.
    fields_of : callable
        Plan value to what a row stores, plain enough for JSON.
    key : tuple of str
        Fields that together name a row of the plan once only; empty where rows may be alike.
    """

    name: str
    one: str
    make: Callable[..., Any]
    model: Any
    value_of: Callable[[Any], Any]
    fields_of: Callable[[Any], dict[str, Any]]
    key: tuple[str, ...]

    def key_of(self, value: Any) -> tuple[str, ...]:
        """What names a row, or a plan value, once only."""
        return tuple(getattr(value, field) for field in self.key)

    def called(self, value: Any) -> str:
        """Name of a plan value for people; a run has none but its two places."""
        return " ".join(self.key_of(value)) or str(value.name)

    def subject_of(self, row: Any) -> str:
        """Name of a row for people."""
        return str(row)

    @property
    def columns(self) -> tuple[Column, ...]:
        """Columns of the sheet, in its order."""
        return tuple(COLUMNS[self.name].values())

    def column_of(self, field: str) -> str:
        """Column of the sheet that holds a field."""
        return next(column.name for column in self.columns if column.field == field)

    def texts_of(self, value: Any) -> list[str]:
        """Texts of a plan value in the order of its columns; they read back to the same value."""
        return [column.write(getattr(value, column.field)) for column in self.columns]

    def cells_of(self, row: Any) -> list[str]:
        """Texts of a row."""
        return self.texts_of(self.value_of(row))

    def handed_down(self, rows: Sequence[Any]) -> list[str]:
        """Texts a new row behind these starts with: what the last one hands down."""
        if not rows:
            return ["" for _ in self.columns]
        faces = FACES[self.name]
        texts = zip(self.columns, self.cells_of(rows[-1]), strict=True)
        return [text if column.name in faces and faces[column.name].hands_down else "" for column, text in texts]


CIRCUITS = Listing(
    name="circuits",
    one="circuit",
    make=Circuit,
    model=CircuitRow,
    value_of=values.circuit_of,
    fields_of=values.circuit_fields,
    key=("name",),
)
RUNS = Listing(
    name="runs",
    one="run",
    make=Run,
    model=RunRow,
    value_of=values.run_of,
    fields_of=values.run_fields,
    key=(),
)
ZONES = Listing(
    name="zones",
    one="zone",
    make=Zone,
    model=ZoneRow,
    value_of=values.zone_of,
    fields_of=values.zone_fields,
    key=("name",),
)

CONNECTORS = Listing(
    name="connectors",
    one="connector",
    make=Connector,
    model=ConnectorRow,
    value_of=values.connector_of,
    fields_of=values.connector_fields,
    key=("name",),
)
CAVITIES = Listing(
    name="cavities",
    one="cavity",
    make=Cavity,
    model=CavityRow,
    value_of=values.cavity_of,
    fields_of=values.cavity_fields,
    key=("connector", "label"),
)
MOUNTINGS = Listing(
    name="mountings",
    one="part to mount",
    make=Mounting,
    model=MountingRow,
    value_of=values.mounting_of,
    fields_of=values.mounting_fields,
    key=("part",),
)
POSITIONS = Listing(
    name="positions",
    one="panel position",
    make=PanelPosition,
    model=PositionRow,
    value_of=values.position_of,
    fields_of=values.position_fields,
    key=("panel", "label"),
)

LISTINGS = {listing.name: listing for listing in (ZONES, RUNS, CIRCUITS, CONNECTORS, CAVITIES, MOUNTINGS, POSITIONS)}
"""By name, in the order of the plan's fields."""
