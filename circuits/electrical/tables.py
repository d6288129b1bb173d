"""Reads the tables that lie beside this code. Each is read once and holds its sources in its own columns."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Protocol, TypeVar

from circuits.errors import TableError


@cache
def read_rows(name: str) -> tuple[dict[str, str], ...]:
    """Rows of the table ``name``, in the order of the file.

    Examples
    --------
    >>> read_rows("bundling")[1]["min_wires"], read_rows("bundling")[1]["factor"]
    ('3', '0.70')
    """
    with (Path(__file__).parent / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


class OfAKind(Protocol):
    """A row of a table that is found by its kind."""

    @property
    def kind(self) -> str:
        """Its name in the table."""
        ...


Row = TypeVar("Row", bound=OfAKind)


def of_kind(rows: Sequence[Row], kind: str, what: str) -> Row:
    """The row of that kind.

    Parameters
    ----------
    rows : sequence
    kind : str
    what : str
        What a row is, for the message.

    Raises
    ------
    TableError
        If the table does not hold it; names those that it holds.
    """
    found = next((row for row in rows if row.kind == kind), None)
    if found is None:
        raise TableError(f"no {what} of the kind {kind!r}; there are {', '.join(row.kind for row in rows)}")
    return found
