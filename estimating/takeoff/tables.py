"""Reads the tables that lie beside the cores as CSV, each once."""

from __future__ import annotations

import csv
import math
from bisect import bisect_left
from functools import cache
from importlib.resources import files

from circuits.errors import TableError

Row = dict[str, str]


@cache
def rows_of(package: str, name: str) -> tuple[Row, ...]:
    """Rows of the CSV table ``name`` in ``package``, as text by column name.

    Parameters
    ----------
    package : str
        Dotted name of the package the table lies in.
    name : str
        File name.

    Returns
    -------
    tuple of dict

    Raises
    ------
    TableError
        Where a row has more or fewer cells than the header.

    Examples
    --------
    >>> rows_of("estimating.takeoff", "wire_ranges.csv")[0]["label"]
    '22-16 AWG (0.35-1.5 mm²)'
    """
    text = (files(package) / name).read_text(encoding="utf-8")
    rows = tuple(csv.DictReader(text.splitlines(), strict=True))
    for number, row in enumerate(rows, start=2):
        if None in row or None in row.values():
            raise TableError(f"{name}, row {number}: as many cells as the header has are expected")
    return rows


class Ladder:
    """A table of rising upper limits: the row for a value is the first whose limit is not below it.

    A blank limit means "anything above"; only the last row may have one. Floats that differ from a
    limit by rounding alone count as equal to it.
    """

    def __init__(self, rows: tuple[Row, ...], limit: str, what: str) -> None:
        self._what = what
        self._rows = rows
        self._limits = [float(row[limit]) if row[limit] else math.inf for row in rows]
        if not rows or self._limits != sorted(set(self._limits)):
            raise TableError(f"{what}: limits must rise from row to row")

    def row(self, value: float) -> Row:
        """The row for ``value``; TableError if it lies above the last limit.

        Examples
        --------
        >>> sizes = Ladder(({"up_to": "3", "name": "small"}, {"up_to": "6", "name": "large"}), "up_to", "clips")
        >>> sizes.row(3.0)["name"], sizes.row(3.1)["name"]
        ('small', 'large')
        """
        index = bisect_left(self._limits, value * (1 - 1e-9))
        if index == len(self._rows):
            raise TableError(f"{self._what}: nothing for {value:g}, the largest is {self._limits[-1]:g}")
        return self._rows[index]


@cache
def ladder(package: str, name: str, limit: str) -> Ladder:
    """The ladder in a CSV table.

    Examples
    --------
    >>> ladder("estimating.takeoff", "wire_ranges.csv", "max_area_mm2").row(2.08)["label"]
    '16-14 AWG (1.5-2.5 mm²)'
    """
    return Ladder(rows_of(package, name), limit, name)
