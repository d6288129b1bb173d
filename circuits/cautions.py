"""The cautions of the trade: on every page, paper and output that gives an electrical figure."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path


@cache
def cautions() -> tuple[str, ...]:
    """The cautions, one sentence or two each, in the order in which they are said.

    Examples
    --------
    >>> cautions()[1]
    'A fuse protects its wire. Never fit a larger one than the fuse chart shows.'
    """
    with Path(__file__).with_name("cautions.csv").open(newline="", encoding="utf-8") as table:
        return tuple(row["text"] for row in csv.DictReader(table))
