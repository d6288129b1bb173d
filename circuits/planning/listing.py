"""The three lists of a plan (circuits, runs, zones), told apart by data so that one editor serves all."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from circuits.plan import Circuit, Run, Zone
from circuits.planning import values
from circuits.planning.faces import FACES
from circuits.planning.models import CircuitRow, RunRow, ZoneRow
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
    subject_of : callable
        Name of a row for people.
    unique : bool
        True where no two rows may have one name.
    """

    name: str
    one: str
    make: Callable[..., Any]
    model: Any
    value_of: Callable[[Any], Any]
    fields_of: Callable[[Any], dict[str, Any]]
    subject_of: Callable[[Any], str]
    unique: bool = True

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


def _zone_fields(zone: Any) -> dict[str, Any]:
    return {"name": zone.name, "ambient_c": zone.ambient_c}


CIRCUITS = Listing(
    name="circuits",
    one="circuit",
    make=Circuit,
    model=CircuitRow,
    value_of=values.circuit_of,
    fields_of=values.circuit_fields,
    subject_of=lambda row: str(row.name),
)
RUNS = Listing(
    name="runs",
    one="run",
    make=Run,
    model=RunRow,
    value_of=values.run_of,
    fields_of=values.run_fields,
    subject_of=lambda row: f"{row.start} to {row.end}",
    unique=False,
)
ZONES = Listing(
    name="zones",
    one="zone",
    make=Zone,
    model=ZoneRow,
    value_of=values.zone_of,
    fields_of=_zone_fields,
    subject_of=lambda row: str(row.name),
)

LISTINGS = {listing.name: listing for listing in (CIRCUITS, RUNS, ZONES)}
