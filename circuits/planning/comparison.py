"""Two plans side by side: what a new sheet adds, takes out and alters."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from circuits.plan import Plan
from circuits.planning.faces import label_of
from circuits.planning.listing import LISTINGS
from circuits.sheets.columns import COLUMNS


@dataclass(frozen=True, slots=True)
class FieldChange:
    """One cell that differs."""

    label: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class RowChange:
    """One row that both plans have, with the cells that differ."""

    name: str
    fields: tuple[FieldChange, ...]


@dataclass(frozen=True, slots=True)
class ListComparison:
    """One list of two plans."""

    name: str
    added: tuple[str, ...]
    dropped: tuple[str, ...]
    altered: tuple[RowChange, ...]
    same: int

    @property
    def differs(self) -> bool:
        """True where anything does."""
        return bool(self.added or self.dropped or self.altered)


def compare(old: Plan, new: Plan) -> tuple[ListComparison, ...]:
    """What ``new`` changes, list by list: vehicle, zones, runs, circuits, then fittings. Rows are matched by name.

    Examples
    --------
    >>> from circuits.plan import Vehicle, Zone
    >>> cool, warm = (Plan(Vehicle(), (Zone("cabin", c),), (), ()) for c in (40.0, 50.0))
    >>> compare(cool, warm)[1].altered[0].fields
    (FieldChange(label='Ambient °C', before='40', after='50'),)
    """
    return (
        _compared("vehicle", [old.vehicle], [new.vehicle], lambda vehicle: "vehicle"),
        *(
            _compared(name, getattr(old, name), getattr(new, name), listing.called)
            for name, listing in LISTINGS.items()
        ),
    )


def _compared(sheet: str, old: Sequence[Any], new: Sequence[Any], name_of: Callable[[Any], str]) -> ListComparison:
    before, after = _by_name(old, name_of), _by_name(new, name_of)
    altered = [_row_change(sheet, name, before[name], after[name]) for name in before if name in after]
    return ListComparison(
        name=sheet,
        added=tuple(name for name in after if name not in before),
        dropped=tuple(name for name in before if name not in after),
        altered=tuple(change for change in altered if change.fields),
        same=sum(not change.fields for change in altered),
    )


def _by_name(rows: Sequence[Any], name_of: Callable[[Any], str]) -> dict[str, Any]:
    """Rows by name; two runs between the same places are told apart by a number."""
    named: dict[str, Any] = {}
    for row in rows:
        name, number = name_of(row), 1
        while name in named:
            number += 1
            name = f"{name_of(row)} ({number})"
        named[name] = row
    return named


def _row_change(sheet: str, name: str, old: Any, new: Any) -> RowChange:
    return RowChange(
        name,
        tuple(
            FieldChange(
                label_of(sheet, column.name),
                column.write(getattr(old, column.field)),
                column.write(getattr(new, column.field)),
            )
            for column in COLUMNS[sheet].values()
            if getattr(old, column.field) != getattr(new, column.field)
        ),
    )
