"""Exclusions that a shop starts from, until it writes its own."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path


@cache
def first_exclusions() -> tuple[str, ...]:
    """What a quote does not include, one sentence each.

    Examples
    --------
    >>> len(first_exclusions())
    3
    """
    with Path(__file__).with_name("exclusions.csv").open(newline="", encoding="utf-8") as table:
        return tuple(row["text"] for row in csv.DictReader(table))
