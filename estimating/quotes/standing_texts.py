"""Texts that stand on every quote: the cautions of the trade, and the exclusions a shop starts from."""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files


@cache
def _texts(use: str) -> tuple[str, ...]:
    table = files("estimating.quotes").joinpath("standing_texts.csv").read_text("utf-8")
    return tuple(row["text"] for row in csv.DictReader(table.splitlines()) if row["use"] == use)


def standing_cautions() -> tuple[str, ...]:
    """Cautions that are printed whatever the shop adds to them.

    Examples
    --------
    >>> any("battery" in text for text in standing_cautions())
    True
    """
    return _texts("caution")


def first_exclusions() -> tuple[str, ...]:
    """Exclusions offered until the shop writes its own.

    Examples
    --------
    >>> len(first_exclusions())
    3
    """
    return _texts("exclusion")
