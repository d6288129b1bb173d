"""Where a falling or rising function crosses zero."""

from __future__ import annotations

from collections.abc import Callable

_STEPS = 60
_RELATIVE = 1e-10


def root(function: Callable[[float], float], low: float, high: float) -> float:
    """Zero of a continuous function between two points where its signs differ (Illinois method).

    Parameters
    ----------
    function : callable
    low, high : float
        The end nearer to zero is returned where the signs agree.

    Examples
    --------
    >>> round(root(lambda x: x * x - 2, 0.0, 2.0), 9)
    1.414213562
    """
    at_low, at_high = function(low), function(high)
    if at_low * at_high >= 0:
        return low if abs(at_low) <= abs(at_high) else high
    width = high - low
    for _ in range(_STEPS):
        middle = high - at_high * (high - low) / (at_high - at_low)
        at_middle = function(middle)
        if at_middle == 0 or abs(high - low) < _RELATIVE * width or abs(middle - high) < _RELATIVE * width:
            return middle
        if at_middle * at_high < 0:
            low, at_low = high, at_high
        else:
            at_low /= 2
        high, at_high = middle, at_middle
    return high
