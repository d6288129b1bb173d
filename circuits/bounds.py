"""Bounds that a plan or a rule must keep: one check and one wording for each kind of bound."""

from __future__ import annotations

import math

from circuits.errors import PlanError


def require(condition: bool, message: str) -> None:
    """Refuse a value that makes no sense.

    Raises
    ------
    PlanError
        With ``message``, if the condition does not hold.
    """
    if not condition:
        raise PlanError(message)


def require_positive(value: float | None, what: str) -> None:
    """Refuse what is not a number above 0; None passes, as not known.

    Examples
    --------
    >>> require_positive(None, "opening")
    >>> require_positive(0.0, "opening")
    Traceback (most recent call last):
    circuits.errors.PlanError: opening must be above 0, got 0.0
    """
    require(value is None or (math.isfinite(value) and value > 0), f"{what} must be above 0, got {value}")


def require_not_negative(value: float, what: str) -> None:
    """Refuse what is not a number of 0 or more."""
    require(math.isfinite(value) and value >= 0, f"{what} must be 0 or more, got {value}")


def require_share(value: float, what: str) -> None:
    """Refuse what is not a share above 0 and up to the whole."""
    require(0 < value <= 1, f"{what} must be above 0 and at most 1, got {value}")


def require_within(value: float, lowest: float, highest: float, what: str) -> None:
    """Refuse what does not lie from ``lowest`` to ``highest``, both allowed.

    Examples
    --------
    >>> require_within(300.0, -60, 250, "ambient")
    Traceback (most recent call last):
    circuits.errors.PlanError: ambient must be -60 to 250, got 300.0
    """
    require(lowest <= value <= highest, f"{what} must be {lowest:g} to {highest:g}, got {value}")
