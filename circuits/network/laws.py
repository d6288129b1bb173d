"""Laws of the elements that are not plain resistances, and the figures of the table beside this code.

Both laws rise strictly with voltage, so a network of them has one solution and no more.
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

EXPONENT_CAP = 80.0
"""Junction law goes on as a straight line beyond this exponent, so that no number overflows."""


@cache
def _figures() -> dict[str, float]:
    with (Path(__file__).parent / "laws.csv").open(encoding="utf-8", newline="") as file:
        return {row["name"]: float(row["value"]) for row in csv.DictReader(file)}


def figure(name: str) -> float:
    """A figure of ``laws.csv``, where its unit and source stand.

    Raises
    ------
    KeyError
        If the table has none of that name.

    Examples
    --------
    >>> figure("lamp_current_exponent")
    0.55
    """
    return _figures()[name]


LEAK_S = figure("diode_leak_s")
THERMAL_V = figure("thermal_volt")
_P = (1.0 - figure("lamp_current_exponent")) / 2.0
KNEE = figure("lamp_hot_over_cold") ** (-1.0 / _P)
"""Square of the share of rated voltage at which a filament leaves its cold resistance."""


def lamp_current_a(volt_v: Floats, rated_v: Floats, rated_w: Floats) -> Floats:
    """Current of filament lamps [A]: ``I0·x·((1 + k)/(x² + k))^p`` with ``x = V/V0``, ``I0 = W/V0``.

    At the rated voltage it is the rated current, and near it grows with the power ``1 - 2p`` of the voltage. Near zero
    it is that of the cold resistance; ``k`` joins the two without a kink.

    Parameters
    ----------
    volt_v : array of float
        Either way round [V].
    rated_v, rated_w : array of float
        Above 0 [V], [W].

    Examples
    --------
    >>> one = np.array([1.0])
    >>> round(float(lamp_current_a(12.0 * one, 12.0 * one, 60.0 * one)[0]), 6)
    5.0
    >>> round(float(lamp_current_a(6.0 * one, 12.0 * one, 60.0 * one)[0]), 3)
    3.415
    """
    share = volt_v / rated_v
    current_a: Floats = (rated_w / rated_v) * share * ((1.0 + KNEE) / (share * share + KNEE)) ** _P
    return current_a


def lamp_slope_s(volt_v: Floats, rated_v: Floats, rated_w: Floats) -> Floats:
    """Derivative of ``lamp_current_a`` [S]; always above 0.

    Parameters
    ----------
    volt_v, rated_v, rated_w : array of float
        As for the current.
    """
    square = (volt_v / rated_v) ** 2
    chord = rated_w / rated_v**2 * ((1.0 + KNEE) / (square + KNEE)) ** _P
    slope_s: Floats = chord * (1.0 - 2.0 * _P * square / (square + KNEE))
    return slope_s


def diode_current_a(volt_v: Floats, saturation_a: Floats, slope_v: Floats) -> Floats:
    """Current of junctions by Shockley's law with a leak beside them [A]: ``Is·(exp(V/nVt) - 1) + leak·V``.

    Parameters
    ----------
    volt_v : array of float
        From anode to cathode [V].
    saturation_a : array of float
        ``Is`` [A].
    slope_v : array of float
        ``nVt``, times the junctions in series [V].

    Examples
    --------
    >>> one = np.array([1.0])
    >>> round(float(diode_current_a(0.6 * one, 1e-9 * one, 0.0362 * one)[0]), 4)
    0.0158
    """
    exponent = volt_v / slope_v
    capped = np.minimum(exponent, EXPONENT_CAP)
    grown = np.exp(capped)
    current_a: Floats = saturation_a * (grown * (1.0 + exponent - capped) - 1.0) + LEAK_S * volt_v
    return current_a


def diode_slope_s(volt_v: Floats, saturation_a: Floats, slope_v: Floats) -> Floats:
    """Derivative of ``diode_current_a`` [S]; always above 0.

    Parameters
    ----------
    volt_v, saturation_a, slope_v : array of float
        As for the current.
    """
    return saturation_a * np.exp(np.minimum(volt_v / slope_v, EXPONENT_CAP)) / slope_v + LEAK_S
