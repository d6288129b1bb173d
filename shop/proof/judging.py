"""How a reading is read and judged. Pure decisions."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from circuits.errors import QuantityError
from circuits.units import (
    format_current,
    format_resistance,
    format_voltage,
    parse_current_a,
    parse_resistance_ohm,
    parse_voltage_v,
)


class Verdict(StrEnum):
    """How a line of the check sheet stands."""

    MISSING = "to do"
    PASSED = "passed"
    FAILED = "failed"
    AGAIN = "read again: its limit has changed"


@dataclass(frozen=True, slots=True)
class _Unit:
    parse: Callable[[str], float]
    show: Callable[[float], str]


_UNITS = {
    "ohm": _Unit(parse_resistance_ohm, format_resistance),
    "A": _Unit(parse_current_a, format_current),
    "V": _Unit(parse_voltage_v, format_voltage),
}
_OPEN = frozenset(("open", "ol", "o.l", "o.l.", "∞", "inf", "infinite"))


def read_value(typed: str, unit: str) -> float:
    """What was typed, in ``unit``: ``ohm``, ``A`` or ``V``. An open line reads as infinite resistance.

    Raises
    ------
    QuantityError
        For text that is no such quantity, or a negative one.

    Examples
    --------
    >>> read_value("380 mA", "A"), read_value("0.4 ohm", "ohm"), read_value("OL", "ohm")
    (0.38, 0.4, inf)
    """
    if unit == "ohm" and typed.strip().casefold() in _OPEN:
        return math.inf
    value = _UNITS[unit].parse(typed)
    if value < 0:
        expected = "0 or more; if the meter shows a minus, swap its leads"
        raise QuantityError(f"found {typed!r}, expected {expected}", expected=expected)
    return value


def is_within(value: float, low: float | None, high: float | None) -> bool:
    """True where the value lies between the limits, both included.

    Examples
    --------
    >>> is_within(0.1, None, 0.1), is_within(0.11, None, 0.1), is_within(float("inf"), 10000, None)
    (True, False, True)
    """
    return (low is None or value >= low) and (high is None or value <= high)


def shown(value: float | None, unit: str) -> str:
    """A value for people.

    Examples
    --------
    >>> shown(0.38, "A"), shown(None, "A"), shown(float("inf"), "ohm")
    ('380 mA', '', 'open')
    """
    if value is None:
        return ""
    return "open" if math.isinf(value) else _UNITS[unit].show(value)


def limits_in_words(low: float | None, high: float | None, unit: str) -> str:
    """The limits for people.

    Examples
    --------
    >>> limits_in_words(None, 0.1, "ohm"), limits_in_words(13.5, 14.8, "V"), limits_in_words(10000, None, "ohm")
    ('at most 100 mΩ', '13.50 V to 14.80 V', 'at least 10 kΩ')
    """
    if not unit or (low is None and high is None):
        return ""
    if low is None:
        return f"at most {shown(high, unit)}"
    if high is None:
        return f"at least {shown(low, unit)}"
    return f"{shown(low, unit)} to {shown(high, unit)}"
