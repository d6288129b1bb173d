"""What a meter should show: a value, and between what the reading of a sound vehicle lies."""

from __future__ import annotations

import math
from dataclasses import dataclass

from circuits.network.laws import figure


@dataclass(frozen=True, slots=True)
class Expected:
    """A reading to be expected.

    Parameters
    ----------
    value : float or None
        In ohm, ampere or volt; infinite for an open line; None where the plan cannot tell.
    low, high : float or None
        Between which a sound vehicle reads; None where the value is.
    basis : str
        How it comes about, or why it cannot be told.
    """

    value: float | None
    low: float | None
    high: float | None
    basis: str

    def allows(self, reading: float) -> bool:
        """True where a reading lies within the tolerance, or nothing is expected.

        Examples
        --------
        >>> Expected(2.0, 1.5, 2.5, "cold filament").allows(3.0)
        False
        """
        return self.low is None or self.high is None or self.low <= reading <= self.high


def unknown(why: str) -> Expected:
    """Nothing can be expected, and why."""
    return Expected(None, None, None, why)


def in_ohm(value: float, least: float, most: float, basis: str) -> Expected:
    """Expected ohms between the least and the most that the parts allow, widened by the meter.

    Parameters
    ----------
    value, least, most : float
        Infinite for an open line [ohm].
    basis : str

    Examples
    --------
    >>> in_ohm(2.0, 1.5, 3.0, "cold filament")
    Expected(value=2.0, low=1.185, high=3.33, basis='cold filament')
    """
    opens = figure("meter_open_ohm")
    value, least, most = (math.inf if one >= opens else one for one in (value, least, most))
    share, floor = figure("meter_ohm_share"), figure("meter_ohm_floor")
    low = opens / 100 if math.isinf(least) else max(0.0, least * (1 - share) - floor)
    return Expected(value, low, most * (1 + share) + floor, basis)


def in_ampere(value: float, spread_a: float, basis: str) -> Expected:
    """Expected amperes, by what the loads may be off and by the meter.

    Parameters
    ----------
    value, spread_a : float
        [A].
    basis : str

    Examples
    --------
    >>> in_ampere(10.0, 1.0, "lamps")
    Expected(value=10.0, low=8.75, high=11.25, basis='lamps')
    """
    off_a = spread_a + abs(value) * figure("meter_amp_share") + figure("meter_amp_floor")
    return Expected(value, max(0.0, value - off_a), value + off_a, basis)


def in_volt(value: float, drop_v: float, basis: str) -> Expected:
    """Expected volts, by the drop on the way there and by the meter.

    Parameters
    ----------
    value : float
        [V].
    drop_v : float
        What of it hangs on joints, wires and loads [V].
    basis : str

    Examples
    --------
    >>> in_volt(10.0, 0.2, "at the battery")
    Expected(value=10.0, low=9.86, high=10.14, basis='at the battery')
    """
    meter_v = abs(value) * figure("meter_volt_share") + figure("meter_volt_floor")
    off_v = round(abs(drop_v) * figure("drop_spread") + meter_v, 9)
    return Expected(value, value - off_v, value + off_v, basis)
