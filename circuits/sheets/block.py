"""A block of cells pasted out of a spreadsheet program: tab-parted text to cells by column name."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from circuits.errors import CellFault
from circuits.sheets.cells import CellError, hint
from circuits.sheets.columns import COLUMNS, shown
from circuits.sheets.limits import MAX_FILE_BYTES, MAX_OTHER_ROWS
from circuits.sheets.neutral import unguarded
from circuits.sheets.tables import MAX_ROWS

_LEAST_HEADERS = 2
"""A first row of so many column names and nothing else is a header; one name alone may be a value."""


@dataclass(frozen=True, slots=True)
class Block:
    """What was pasted.

    Parameters
    ----------
    rows : tuple of mapping of str to str
        Texts by column name, one mapping a row; a blank cell is an empty text.
    faults : tuple of CellFault
        Cells that cannot be read; rows count from 1 at the top of the block, its header included.
    """

    rows: tuple[Mapping[str, str], ...]
    faults: tuple[CellFault, ...]


def parse_block(text: str, columns_order: Sequence[str], sheet: str = "circuits") -> Block:
    r"""Cells of a pasted block.

    Parameters
    ----------
    text : str
        Rows parted by line ends, cells by tabs; a cell with line ends in it stands in quotes.
    columns_order : sequence of str
        Columns from the one pasted into to the right. A header row in the block goes before it.
    sheet : str
        ``circuits``, ``runs``, ``cavities`` and so on; any but ``vehicle``.

    Returns
    -------
    Block
        Only cells that were pasted are looked at: required ones may be missing.

    Examples
    --------
    >>> parse_block("tail\trear\nhorn\tfront", ["circuit", "section"]).rows
    ({'circuit': 'tail', 'section': 'rear'}, {'circuit': 'horn', 'section': 'front'})
    >>> print(parse_block("load_a\tkind\n5 ft\tlamp", ["circuit"]).faults[0])
    circuits, row 2, load_a: found '5 ft', expected a current such as 5 or 380 mA
    """
    faults: list[CellFault] = []
    if len(text) > MAX_FILE_BYTES:
        return Block((), (CellFault(sheet, 0, "", f"{len(text)} characters", f"at most {MAX_FILE_BYTES}"),))
    grid = _grid(text)
    first = 1
    if grid and (header := _header(sheet, grid[0])):
        columns_order, grid, first = header, grid[1:], 2
    most = MAX_ROWS.get(sheet, MAX_OTHER_ROWS)
    if len(grid) > most:
        faults.append(CellFault(sheet, most + first, "", f"{len(grid)} rows", f"at most {most} rows"))
    rows = tuple(
        _row(sheet, number, cells, columns_order, faults) for number, cells in enumerate(grid[:most], start=first)
    )
    return Block(rows, tuple(faults))


def _grid(text: str) -> list[list[str]]:
    """Cells of the text. Quotes that do not pair are taken as they stand: not every program quotes alike."""
    csv.field_size_limit(MAX_FILE_BYTES)
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter="\t", strict=True))
    except csv.Error:
        rows = [line.split("\t") for line in text.replace("\r\n", "\n").replace("\r", "\n").split("\n")]
    while rows and not any(rows[-1]):
        rows.pop()  # the line end that spreadsheet programs put after the last row
    return [[unguarded(cell) for cell in row] for row in rows]


def _header(sheet: str, cells: Sequence[str]) -> list[str]:
    """Column names of a header row, empty if it is none. An unknown name among known ones is kept, to be named."""
    names = [cell.casefold() for cell in cells]
    known = [name for name in names if name in COLUMNS[sheet]]
    is_header = len(known) >= _LEAST_HEADERS and 2 * len(known) > len([name for name in names if name])
    return names if is_header else []


def _row(
    sheet: str, number: int, cells: Sequence[str], columns: Sequence[str], faults: list[CellFault]
) -> Mapping[str, str]:
    row: dict[str, str] = {}
    for position, text in enumerate(cells):
        name = columns[position] if position < len(columns) else ""
        column = COLUMNS[sheet].get(name)
        if column is None:
            if text:
                expected = (
                    f"a known column{hint(name, tuple(COLUMNS[sheet]))}" if name else "nothing: no column is left"
                )
                faults.append(CellFault(sheet, number, shown(name), shown(text), expected))
            continue
        row[name] = text
        if not column.is_blank(text):
            try:
                column.parse(text)
            except CellError as error:
                faults.append(column.fault(sheet, number, text, error))
    return row
