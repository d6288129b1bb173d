"""What changed between two quotes, worked out from the records they froze: circuits, hours, money.

Pure: compares two records as stored, each the answer of the circuit sheet and the sheet itself as JSON lists.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from circuits.sheets.columns import OPTIONAL_SHEETS
from circuits.sheets.plans import KEYS

Record = dict[str, Any]

_UNITS = {"a": "A", "w": "W", "percent": "%"}
"""Ends of column names that name a unit."""


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that reads otherwise than before; an empty text means that it was or is not there."""

    name: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class AlteredCircuit:
    """A circuit in both, with what differs."""

    circuit: str
    differences: tuple[Difference, ...]


@dataclass(frozen=True, slots=True)
class MoneyChange:
    """One sum before and after, in the currency of the quote."""

    name: str
    before: Decimal
    after: Decimal

    @property
    def by(self) -> Decimal:
        """How much more it is now; negative where it is less."""
        return self.after - self.before


@dataclass(frozen=True, slots=True)
class HoursChange:
    """One figure of the hours before and after [h]."""

    name: str
    before_h: float
    after_h: float

    @property
    def by_h(self) -> float:
        """How much more it is now [h]."""
        return self.after_h - self.before_h


@dataclass(frozen=True, slots=True)
class Changes:
    """All that differs. Falsy where nothing does."""

    added: tuple[str, ...] = ()
    dropped: tuple[str, ...] = ()
    altered: tuple[AlteredCircuit, ...] = ()
    hours: tuple[HoursChange, ...] = ()
    money: tuple[MoneyChange, ...] = ()
    currency_before: str = ""
    currency: str = ""
    fittings: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        return bool(self.added or self.dropped or self.altered or self.hours or self.money or self.fittings)


def changes(before: Record, after: Record) -> Changes:
    """What changed from one frozen record to a later one.

    Parameters
    ----------
    before, after : dict
        Each with ``answer`` (circuits, hours, quote) and ``plan`` (circuits as the sheet lists them).

    Returns
    -------
    Changes
        Circuits by name: added and dropped, in the order of their record; altered with every differing figure. Hours
        and money only where they differ. Of fittings which were added, dropped or altered, list by list; a record
        without any, as older ones are, has none.

    Examples
    --------
    >>> def record(circuit, p80):
    ...     answer = {"circuits": [], "hours": {"p80": p80}, "quote": {}}
    ...     return {"plan": {"circuits": [{"circuit": circuit}]}, "answer": answer}
    >>> result = changes(record("horn", 9.0), record("fan", 9.5))
    >>> result.added, result.dropped, result.hours[0].by_h
    (('fan',), ('horn',), 0.5)
    """
    old, new = _circuits(before), _circuits(after)
    altered = tuple(
        AlteredCircuit(name, differences)
        for name in new
        if name in old and (differences := _differences(old[name], new[name]))
    )
    return Changes(
        added=tuple(name for name in new if name not in old),
        dropped=tuple(name for name in old if name not in new),
        altered=altered,
        hours=_hours(before["answer"]["hours"], after["answer"]["hours"]),
        money=_money(before["answer"]["quote"], after["answer"]["quote"]),
        currency_before=before["answer"]["quote"].get("currency", ""),
        currency=after["answer"]["quote"].get("currency", ""),
        fittings=_fittings(before["plan"], after["plan"]),
    )


def _circuits(record: Record) -> dict[str, dict[str, str]]:
    """Every circuit by name, as what it says in words: the row of the sheet, then what was worked out for it."""
    worked_out = {row["circuit"]: row for row in record["answer"]["circuits"]}
    found: dict[str, dict[str, str]] = {}
    for row in record["plan"]["circuits"]:
        name = row["circuit"]
        words = {key: _words(value) for key, value in row.items() if key not in ("circuit", "notes")}
        found[name] = words | _worked_out(worked_out.get(name))
    return found


def _fittings(old: Record, new: Record) -> tuple[str, ...]:
    """What differs in the optional lists of two sheets: ``connectors added: C1, C2``."""
    told = []
    for sheet in OPTIONAL_SHEETS:
        before, after = _named(old, sheet), _named(new, sheet)
        for what, names in (
            ("added", [name for name in after if name not in before]),
            ("left out", [name for name in before if name not in after]),
            ("altered", [name for name in after if name in before and after[name] != before[name]]),
        ):
            if names:
                told.append(f"{sheet} {what}: {', '.join(names)}")
    return tuple(told)


def _named(plan: Record, sheet: str) -> dict[str, dict[str, str]]:
    """Rows of an optional list by name, notes left out."""
    return {
        " ".join(str(row[key]) for key in KEYS[sheet]): {
            column: _words(value) for column, value in row.items() if column != "notes"
        }
        for row in plan.get(sheet, ())
    }


def _worked_out(row: Record | None) -> dict[str, str]:
    if row is None:
        return {}
    fuse = row.get("fuse")
    wires = row.get("wires", [])
    return {
        "fuse": f"{fuse['family']} {fuse['rating_a']:g} A" if fuse else "",
        "wire sizes": ", ".join(dict.fromkeys(wire["size"] for wire in wires)),
        "wire length": f"{sum(wire['length_m'] for wire in wires):.1f} m" if wires else "",
    }


def _words(value: Any) -> str:
    """Text of a cell: two ways to write the same number or list read the same."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float | int):
        return f"{value:g}"
    if isinstance(value, list):
        return "; ".join(_words(item) for item in value)
    return str(value)


def _differences(old: dict[str, str], new: dict[str, str]) -> tuple[Difference, ...]:
    return tuple(
        Difference(_label(key), old.get(key, ""), new.get(key, ""))
        for key in dict.fromkeys([*new, *old])
        if old.get(key, "") != new.get(key, "")
    )


def _label(key: str) -> str:
    """A column of the sheet in words, with its unit behind a comma."""
    words, _, unit = key.rpartition("_")
    return f"{words.replace('_', ' ')}, {_UNITS[unit]}" if unit in _UNITS else key.replace("_", " ")


def _hours(old: Record, new: Record) -> tuple[HoursChange, ...]:
    names = {"p50": "P50", "p80": "P80", "p90": "P90"}
    return tuple(
        HoursChange(label, old[key], new[key])
        for key, label in names.items()
        if key in old and key in new and round(old[key], 2) != round(new[key], 2)
    )


def _money(old: Record, new: Record) -> tuple[MoneyChange, ...]:
    before, after = _sums(old), _sums(new)
    nought = Decimal(0)
    return tuple(
        MoneyChange(name, before.get(name, nought), after.get(name, nought))
        for name in dict.fromkeys([*before, *after])
        if before.get(name, nought) != after.get(name, nought)
    )


def _sums(quote: Record) -> dict[str, Decimal]:
    """Net by class of line, then the sums of the quote."""
    sums: dict[str, Decimal] = {}
    for line in quote.get("lines", []):
        name = line["class"]
        sums[name] = sums.get(name, Decimal(0)) + Decimal(line["net"])
    return sums | {name: Decimal(quote[name]) for name in ("net", "tax", "total", "deposit") if name in quote}
