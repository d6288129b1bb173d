"""Vehicle condition: the uncertainty that all work on one vehicle shares, and how easily its zones are reached."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from circuits.errors import PlanError
from estimating.labour.minutes import PACKAGE, Element
from estimating.takeoff.tables import rows_of

DEFAULT_CV = 0.15
"""Coefficient of variation of an ordinary vehicle (common practice, no source)."""

MAX_CV = 1.0


@dataclass(frozen=True, slots=True)
class Condition:
    """A class of vehicle: ``cv`` is the coefficient of variation of the factor on all its hours."""

    name: str
    cv: float
    words: str


@cache
def conditions() -> tuple[Condition, ...]:
    """The classes a shop can pick from.

    Examples
    --------
    >>> [(condition.name, condition.cv) for condition in conditions()]
    [('sound', 0.1), ('ordinary', 0.15), ('poor', 0.25)]
    """
    return tuple(
        Condition(row["condition"], float(row["cv"]), row["words"]) for row in rows_of(PACKAGE, "conditions.csv")
    )


def checked_cv(cv: float) -> float:
    """``cv`` if it is one the closed form may be used with, 0 to ``MAX_CV``; PlanError otherwise.

    Examples
    --------
    >>> checked_cv(0.15)
    0.15
    """
    if not (math.isfinite(cv) and 0 <= cv <= MAX_CV):
        raise PlanError(f"the coefficient of variation of vehicle condition must be 0 to {MAX_CV:g}, got {cv}")
    return cv


def pull_element(zone: str) -> Element:
    """The element that pulling wire through a zone counts as; normal access where the table has no such zone.

    Examples
    --------
    >>> pull_element("engine bay").value, pull_element("glove box").value
    ('pull wire, easy', 'pull wire, normal')
    """
    return _pull_elements().get(zone.casefold().strip(), Element.PULL_NORMAL)


@cache
def _pull_elements() -> dict[str, Element]:
    return {row["zone"]: Element(f"pull wire, {row['access']}") for row in rows_of(PACKAGE, "access.csv")}
