"""Wire sizes in cells that stand for a cross-section: gauges and square millimetres alike."""

from __future__ import annotations

import math

from circuits.electrical.conductors import conductor
from circuits.errors import QuantityError, TableError
from circuits.sheets.cells import CellError
from circuits.units import exact
from circuits.wire_sizes import parse_area_mm2, parse_size

LEAST_MM2, MOST_MM2 = 0.005, 1000.0
"""Conductors that a vehicle can have [mm²]: 40 AWG is 0.005."""


def read_area(text: str) -> float:
    """Cross-section of a wire size [mm²].

    Examples
    --------
    >>> read_area("14 AWG"), read_area("0.35 mm2"), round(read_area("26 awg"), 3)
    (2.0809, 0.35, 0.129)
    """
    area_mm2 = _area_mm2(text)
    if not LEAST_MM2 <= area_mm2 <= MOST_MM2:
        raise CellError(f"a wire size from 40 AWG to {MOST_MM2:g} mm²")
    return area_mm2


def _area_mm2(text: str) -> float:
    try:
        label = parse_size(text)
        return _gauge_mm2(label) if label.endswith("AWG") else parse_area_mm2(label)
    except QuantityError as error:
        expected = error.expected
    try:
        return parse_area_mm2(text)
    except QuantityError:
        raise CellError(expected) from None


def _gauge_mm2(label: str) -> float:
    """Area of a gauge [mm²]: that of the wire table, else of the diameter that ASTM B258 gives the gauge."""
    try:
        return conductor(label).area_mm2
    except TableError:
        gauge = label.removesuffix(" AWG")
        number = 1 - int(gauge[:-2]) if "/" in gauge else int(gauge)
        diameter_mm: float = 0.127 * 92 ** ((36 - number) / 39)
        return round(math.pi / 4 * diameter_mm**2, 6)


def write_area(value: float) -> str:
    """Square millimetres that read back as exactly this area.

    Examples
    --------
    >>> write_area(2.0809)
    '2.0809 mm²'
    """
    return f"{exact(value)} mm²"
