"""The limits that readings are judged against: packaged rows with their source, and the shop's own in their place."""

from __future__ import annotations

import csv
import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from circuits.errors import LoomwrightError
from circuits.units import significant

OWN_SOURCE = "the shop's own"


class LimitError(LoomwrightError, ValueError):
    """Limits between which nothing can lie."""


@dataclass(frozen=True, slots=True)
class Limit:
    """Between what a reading must lie; None = that side is free. ``unit`` is ``ohm``, ``A``, ``V``; empty = a share."""

    name: str
    low: float | None
    high: float | None
    unit: str
    words: str
    source: str

    def __post_init__(self) -> None:
        for side in (self.low, self.high):
            if side is not None and not (math.isfinite(side) and side >= 0):
                raise LimitError(f"{self.words}: a limit must be 0 or more, got {side}")
        if self.low is None and self.high is None:
            raise LimitError(f"{self.words}: give at least one limit")
        if self.low is not None and self.high is not None and self.low > self.high:
            raise LimitError(
                f"{self.words}: the least, {significant(self.low)}, is above the most, {significant(self.high)}"
            )

    def with_sides(self, low: float | None, high: float | None) -> Limit:
        """This limit with the shop's own figures; unchanged where they are the packaged ones.

        Raises
        ------
        LimitError
        """
        if (low, high) == (self.low, self.high):
            return self
        return replace(self, low=low, high=high, source=OWN_SOURCE)


@cache
def packaged_limits() -> tuple[Limit, ...]:
    """The packaged limits.

    Examples
    --------
    >>> limit = packaged_limits()[0]
    >>> limit.name, limit.high, limit.unit
    ('ground_point', 0.1, 'ohm')
    """
    with Path(__file__).with_name("limits.csv").open(encoding="utf-8", newline="") as file:
        return tuple(
            Limit(row["name"], _side(row["low"]), _side(row["high"]), row["unit"], row["words"], row["source"])
            for row in csv.DictReader(file)
        )


def _side(text: str) -> float | None:
    return float(text) if text else None


@dataclass(frozen=True, slots=True)
class Limits:
    """All limits, by name."""

    rows: tuple[Limit, ...]

    def __getitem__(self, name: str) -> Limit:
        return next(row for row in self.rows if row.name == name)

    @classmethod
    def of(cls, own: Iterable[tuple[str, float | None, float | None]] = ()) -> Limits:
        """The packaged limits with the shop's own in their place; names no longer known are passed over.

        Examples
        --------
        >>> Limits.of([("key_off", None, 0.035)])["key_off"].source
        "the shop's own"
        """
        sides = {name: (low, high) for name, low, high in own}
        return cls(tuple(row.with_sides(*sides[row.name]) if row.name in sides else row for row in packaged_limits()))
