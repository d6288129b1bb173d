"""Sizes of wire: nominal area, resistance and outer diameter, AWG and mm².

Resistance errs on the safe side: AWG from the SAE minimum area of automotive wire, mm² from the
greatest resistance of IEC 60228 class 5. ``conductors.csv`` names the source of each row.
"""

from __future__ import annotations

from functools import cache

from circuits.electrical.tables import read_rows
from circuits.errors import TableError
from circuits.rules import Series, SizingRules
from circuits.sized import Conductor

COPPER_OHM_MM2_PER_M = 0.0172414
"""Resistivity of annealed copper at 20 °C (IACS, 1/58) [ohm·mm²/m]."""

COPPER_PER_K = 0.00393
"""Temperature coefficient of copper's resistance, from 20 °C [1/K]."""


@cache
def _table() -> dict[str, Conductor]:
    return {
        row["label"]: Conductor(
            row["label"],
            float(row["area_mm2"]),
            float(row["r20_ohm_per_m"]),
            float(row["outer_mm"]),
            row["source"],
        )
        for row in read_rows("conductors")
    }


SAME_AREA = 0.006
"""Relative difference up to which an area in mm² is that of an AWG size, written with two or three digits."""


def conductor(label: str) -> Conductor:
    """The size with that label. An AWG size may also be named by its area: ``2.08 mm²`` is ``14 AWG``.

    Parameters
    ----------
    label : str
        As ``circuits.wire_sizes.parse_size`` writes it: ``14 AWG``, ``2.5 mm²``.

    Raises
    ------
    TableError
        If no table holds the size.

    Examples
    --------
    >>> conductor("14 AWG").area_mm2, round(conductor("2.5 mm²").r20_ohm_per_m * 1000, 2)
    (2.0809, 7.98)
    >>> conductor("2.08 mm²").label, conductor("33.6 mm²").label
    ('14 AWG', '2 AWG')
    >>> conductor("15 AWG")
    Traceback (most recent call last):
    ...
    circuits.errors.TableError: no wire size '15 AWG'; known: 22 AWG to 4/0 AWG and 0.35 mm² to 120 mm²
    """
    found = _table().get(label) or _of_area(label)
    if found is None:
        raise TableError(f"no wire size {label!r}; known: 22 AWG to 4/0 AWG and 0.35 mm² to 120 mm²")
    return found


@cache
def _of_area(label: str) -> Conductor | None:
    """The AWG size of an area that no metric size has."""
    number, _, unit = label.partition(" ")
    if unit != Series.MM2 or not number.replace(".", "", 1).isdecimal():
        return None
    area_mm2 = float(number)
    near = min(conductors(Series.AWG), key=lambda size: abs(size.area_mm2 - area_mm2))
    return near if abs(near.area_mm2 - area_mm2) <= SAME_AREA * near.area_mm2 else None


@cache
def conductors(series: Series) -> tuple[Conductor, ...]:
    """Every size held of a series, thinnest first.

    Examples
    --------
    >>> [size.label for size in conductors(Series.AWG)][:3]
    ['22 AWG', '20 AWG', '18 AWG']
    """
    return tuple(_table()[row["label"]] for row in read_rows("conductors") if row["series"] == series)


@cache
def stocked_conductors(rules: SizingRules) -> tuple[Conductor, ...]:
    """The sizes a shop stocks, thinnest first.

    A shop may stock both series; they are ordered by the copper that their resistance stands for
    (``copper_area_mm2``), so that the next size never carries less.

    Parameters
    ----------
    rules : SizingRules

    Raises
    ------
    TableError
        If a stocked size is in no table.

    Examples
    --------
    >>> [size.label for size in stocked_conductors(SizingRules(sizes=("1.5 mm²", "18 AWG", "1 mm²")))]
    ['18 AWG', '1 mm²', '1.5 mm²']
    """
    return tuple(sorted((conductor(label) for label in set(rules.stocked)), key=copper_area_mm2))


def copper_area_mm2(size: Conductor) -> float:
    """Area of solid copper with the same resistance [mm²]: below the nominal area, by tolerance and lay.

    Parameters
    ----------
    size : Conductor

    Examples
    --------
    >>> round(copper_area_mm2(conductor("14 AWG")), 3), round(copper_area_mm2(conductor("2.5 mm²")), 3)
    (1.876, 2.161)
    """
    return COPPER_OHM_MM2_PER_M / size.r20_ohm_per_m


def resistance_ohm(size: Conductor, length_m: float, conductor_c: float) -> float:
    """Resistance of a length at a conductor temperature [ohm]: ``R20·l·(1 + 0.00393·(T - 20))``.

    Parameters
    ----------
    size : Conductor
    length_m : float
    conductor_c : float
        Temperature of the copper [°C].

    Examples
    --------
    >>> wire = conductor("14 AWG")
    >>> round(resistance_ohm(wire, 10.0, 20.0), 4), round(resistance_ohm(wire, 10.0, 85.0), 4)
    (0.0919, 0.1154)
    """
    return size.r20_ohm_per_m * length_m * (1 + COPPER_PER_K * (conductor_c - 20.0))
