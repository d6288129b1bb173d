"""Reads the tables that lie beside this code. Each is read once and holds its sources in its own columns."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path


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
