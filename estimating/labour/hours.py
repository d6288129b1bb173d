"""Hours as values: work elements counted, and the distribution they sum to."""

from __future__ import annotations

import math
from dataclasses import dataclass

from circuits.errors import PlanError


@dataclass(frozen=True, slots=True)
class ThreePoint:
    """Minutes for one unit of a work element: optimistic, most likely, pessimistic [min]."""

    optimistic_min: float
    likely_min: float
    pessimistic_min: float

    def __post_init__(self) -> None:
        if not 0 <= self.optimistic_min <= self.likely_min <= self.pessimistic_min < math.inf:
            raise PlanError(
                "three-point minutes must rise from optimistic over likely to pessimistic, got "
                f"{self.optimistic_min}, {self.likely_min}, {self.pessimistic_min}"
            )

    @property
    def mean_min(self) -> float:
        """PERT mean ``(a + 4m + b) / 6`` [min].

        Examples
        --------
        >>> ThreePoint(3, 6, 15).mean_min
        7.0
        """
        return (self.optimistic_min + 4 * self.likely_min + self.pessimistic_min) / 6

    @property
    def sd_min(self) -> float:
        """PERT standard deviation ``(b - a) / 6`` [min]."""
        return (self.pessimistic_min - self.optimistic_min) / 6


@dataclass(frozen=True, slots=True)
class ElementCount:
    """How often one work element occurs in one section.

    ``count`` may be metres for pulled wire. ``circuits`` caused it.
    """

    element: str
    section: str
    count: float
    circuits: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Spread:
    """A distribution of hours by its figures [h]."""

    mean_h: float
    sd_h: float
    p50_h: float
    p80_h: float
    p90_h: float


@dataclass(frozen=True, slots=True)
class ElementHours:
    """One element over the whole vehicle: ``mean_min`` is the mean for all of ``count`` together."""

    element: str
    count: float
    mean_min: float


@dataclass(frozen=True, slots=True)
class Hours:
    """Hours of a rewire: total, by section, and the elements they were counted from."""

    total: Spread
    sections: tuple[tuple[str, Spread], ...]
    elements: tuple[ElementHours, ...]
    counts: tuple[ElementCount, ...]
