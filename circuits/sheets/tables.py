"""A sheet as a grid of texts, and as rows of named cells: what every file format is reduced to."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from circuits.errors import CellFault
from circuits.sheets.cells import hint
from circuits.sheets.columns import COLUMNS, SHEETS, shown
from circuits.sheets.limits import (
    MAX_CAVITIES,
    MAX_CIRCUITS,
    MAX_COLUMNS,
    MAX_CONNECTORS,
    MAX_OTHER_ROWS,
    MAX_RUNS,
)


class Spoiled(str):
    """Text of a cell that the file's reader has reported itself; a type, so that no text can pass for it."""

    __slots__ = ()


MAX_ROWS: Mapping[str, int] = {
    "circuits": MAX_CIRCUITS,
    "runs": MAX_RUNS,
    "connectors": MAX_CONNECTORS,
    "cavities": MAX_CAVITIES,
    "positions": MAX_CONNECTORS,
}


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its number as a spreadsheet counts, and its cells by column name.

    ``spoiled`` names columns whose cell was already found unreadable, so that it is not called missing too.
    """

    number: int
    cells: Mapping[str, str]
    spoiled: frozenset[str] = frozenset()


def header_names(sheet: str) -> tuple[str, ...]:
    """Column names of a sheet as written; the vehicle sheet lists keys and values."""
    return ("key", "value") if sheet == "vehicle" else tuple(COLUMNS[sheet])


def sheet_name(name: str) -> str | None:
    """The sheet a name stands for, whatever its case; None if it is none of ours.

    Examples
    --------
    >>> sheet_name(" Circuits "), sheet_name("Sheet1")
    ('circuits', None)
    """
    known = name.strip().casefold()
    return known if known in SHEETS else None


def unknown_sheet(name: str) -> CellFault:
    """The fault for a sheet that is none of ours."""
    return CellFault(shown(name), 0, "", shown(name), f"a sheet named {', '.join(SHEETS)}{hint(name, SHEETS)}")


def named_rows(sheet: str, grid: Iterable[Sequence[str]], faults: list[CellFault]) -> list[Row]:
    """Rows of a grid by its header, the first row that is not blank.

    Blank rows are passed over; every fault found is added to ``faults``.

    Examples
    --------
    >>> named_rows("zones", [["zone", "ambient_c"], ["cabin", "40"]], [])
    [Row(number=2, cells={'zone': 'cabin', 'ambient_c': '40'}, spoiled=frozenset())]
    """
    filled = _filled(grid)
    header = next(filled, None)
    if header is None:
        return []
    names = _header(sheet, *header, faults)
    rows: list[Row] = []
    if len(header[1]) > MAX_COLUMNS:
        faults.append(CellFault(sheet, header[0], "", "more columns", f"at most {MAX_COLUMNS} columns"))
    for number, texts in filled:
        if len(rows) == MAX_ROWS.get(sheet, MAX_OTHER_ROWS):
            faults.append(CellFault(sheet, number, "", "more rows", f"at most {len(rows)} rows"))
            break
        rows.append(_row(sheet, number, texts, names, faults))
    return rows


def _filled(grid: Iterable[Sequence[str]]) -> Iterator[tuple[int, Sequence[str]]]:
    for number, texts in enumerate(grid, start=1):
        if any(texts):
            yield number, texts


def _header(sheet: str, number: int, texts: Sequence[str], faults: list[CellFault]) -> list[str]:
    """Column name at each position; empty where there is none to read."""
    known = header_names(sheet)
    names: list[str] = []
    for text in texts[:MAX_COLUMNS]:
        name = text.strip().casefold()
        if not name:
            names.append("")
        elif isinstance(text, Spoiled):
            names.append("?")
        elif name not in known:
            faults.append(CellFault(sheet, number, shown(text), shown(text), f"a known column{hint(name, known)}"))
            names.append("?")
        elif name in names:
            faults.append(CellFault(sheet, number, name, shown(text), "each column once"))
            names.append("?")
        else:
            names.append(name)
    return names


def _row(sheet: str, number: int, texts: Sequence[str], names: Sequence[str], faults: list[CellFault]) -> Row:
    cells: dict[str, str] = {}
    spoiled: set[str] = set()
    for position, text in enumerate(texts):
        name = names[position] if position < len(names) else ""
        if not text or name == "?":
            continue
        if not name:
            faults.append(CellFault(sheet, number, "", shown(text), "nothing here: the column has no header"))
            break
        if isinstance(text, Spoiled):
            spoiled.add(name)
        else:
            cells[name] = text
    return Row(number, cells, frozenset(spoiled))
