"""Fusible link wire: a short piece of thinner wire that melts before the wire behind it is harmed."""

from __future__ import annotations

from dataclasses import dataclass

from circuits.electrical.conductors import conductors, copper_area_mm2
from circuits.rules import Series
from circuits.sized import Conductor

SIZES_THINNER = 4
"""AWG numbers by which link wire is thinner than the wire that it protects (common practice, no source)."""

LONGEST_M = 0.23
"""Longest piece of link wire that still melts within it [m]: 9 in (common practice, no source)."""

SOURCE = "link wire four AWG numbers thinner than the wire it protects: common practice, no source"


@dataclass(frozen=True, slots=True)
class LinkWire:
    """Link wire for a wire.

    Parameters
    ----------
    size : str
        Its own size.
    protects : str
        Size of the wire behind it.
    longest_m : float
    source : str
    """

    size: str
    protects: str
    longest_m: float = LONGEST_M
    source: str = SOURCE


def gauge_number(label: str) -> int:
    """Number of an AWG size; 0 for 1/0, -1 for 2/0 and so on.

    Parameters
    ----------
    label : str
        An AWG label.

    Examples
    --------
    >>> gauge_number("14 AWG"), gauge_number("1/0 AWG"), gauge_number("3/0 AWG")
    (14, 0, -2)
    """
    number, _, nought = label.removesuffix(" AWG").partition("/")
    return 1 - int(number) if nought else int(number)


def link_wire_of(protected: Conductor) -> LinkWire | None:
    """Link wire that protects a wire; None where it would be thinner than any that is sold.

    A metric wire is taken for the thickest AWG size that has no more copper.

    Parameters
    ----------
    protected : Conductor

    Examples
    --------
    >>> from circuits.electrical.conductors import conductor
    >>> link_wire_of(conductor("10 AWG")).size, link_wire_of(conductor("10 mm²")).size
    ('14 AWG', '12 AWG')
    """
    copper_mm2 = copper_area_mm2(protected) * (1 + 1e-9)
    within = [size for size in conductors(Series.AWG) if copper_area_mm2(size) <= copper_mm2]
    if not within:
        return None
    number = gauge_number(within[-1].label) + SIZES_THINNER
    size = next((size for size in conductors(Series.AWG) if gauge_number(size.label) == number), None)
    return LinkWire(size.label, protected.label) if size else None
