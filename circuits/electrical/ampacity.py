"""What a wire carries without harm: continuous ampacity, operating temperature, short-time heating.

Ampacity is 33 CFR 183.425 Table 5 (copper, by insulation class, 30 °C ambient). Ambient and bundle
lower it. Sizes between those of the table are interpolated, logarithm against logarithm, in the
copper that their resistance stands for, as the heat is made by resistance; sizes below the table get
the current density of its smallest; sizes above it the ampacity of its largest. All of it errs low.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from functools import cache, lru_cache

from circuits.electrical.conductors import COPPER_OHM_MM2_PER_M, conductor, copper_area_mm2
from circuits.electrical.tables import read_rows
from circuits.errors import TableError
from circuits.rules import INSULATION_CLASSES_C

TABLE_AMBIENT_C = 30.0
"""Ambient of 33 CFR 183.425 Table 5 [°C]."""

AMPACITY_SOURCE = "33 CFR 183.425 Table 5 and note 2; ambient by the square-root rule"

CRANKING_S = 30.0
"""Longest that a starter is cranked without a pause [s] (common practice, no source)."""

COPPER_BETA_C = 234.5
COPPER_VOLUMETRIC_HEAT = 3.45e-3
"""Constants of the adiabatic equation for copper, IEC 60364-5-54 [°C], [J/(K·mm³)]."""


@cache
def _knots(class_c: int) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Logarithms of copper area and ampacity of the table's sizes, thinnest first."""
    if class_c not in INSULATION_CLASSES_C:
        raise TableError(f"no ampacity table for insulation class {class_c} °C; known: {INSULATION_CLASSES_C}")
    rows = read_rows("ampacity")
    areas = tuple(math.log(copper_area_mm2(conductor(row["label"]))) for row in rows)
    return areas, tuple(math.log(float(row[f"class_{class_c}_a"])) for row in rows)


@cache
def table_ampacity_a(label: str, class_c: int) -> float:
    """Ampacity of a size alone at 30 °C [A]: the table's own figure, or interpolated.

    Parameters
    ----------
    label : str
        A size of ``conductors.csv``.
    class_c : int
        Insulation class [°C], one of ``INSULATION_CLASSES_C``.

    Raises
    ------
    TableError
        If the size or the class is in no table.

    Examples
    --------
    >>> table_ampacity_a("14 AWG", 105), round(table_ampacity_a("2.5 mm²", 105), 1)
    (35.0, 37.8)
    """
    area = math.log(copper_area_mm2(conductor(label)))
    areas, amps = _knots(class_c)
    if area <= areas[0]:  # same current density: a thinner wire bears more, so this errs low
        return round(math.exp(amps[0] + area - areas[0]), 9)
    if area >= areas[-1]:
        return round(math.exp(amps[-1]), 9)
    above = bisect_right(areas, area)
    share = (area - areas[above - 1]) / (areas[above] - areas[above - 1])
    return round(math.exp(amps[above - 1] + share * (amps[above] - amps[above - 1])), 9)


def ambient_factor(class_c: float, ambient_c: float, table_ambient_c: float = TABLE_AMBIENT_C) -> float:
    """Share of the table's ampacity that is left at an ambient: ``sqrt((T - Ta) / (T - Ttable))``, never above 1.

    Heat given off grows with the rise above ambient, heat made with the square of the current.
    Published tables of factors are this formula rounded. Below the table's ambient it would allow
    more than the table; that is not taken, as a parked vehicle warms up before its loom cools.

    Parameters
    ----------
    class_c : float
        Insulation class [°C].
    ambient_c : float
    table_ambient_c : float
        Ambient that the table is made for [°C].

    Examples
    --------
    >>> round(ambient_factor(105, 50), 3), ambient_factor(105, 10), ambient_factor(105, 105)
    (0.856, 1.0, 0.0)
    """
    if ambient_c >= class_c:
        return 0.0
    return min(1.0, math.sqrt((class_c - ambient_c) / (class_c - table_ambient_c)))


@cache
def bundle_factor(wires: int) -> float:
    """Share of the ampacity left with so many loaded wires in one bundle.

    33 CFR 183.425 Table 5 note 2 asks it from 50 V up; heat knows no voltage, so it is applied here.

    Examples
    --------
    >>> [bundle_factor(wires) for wires in (1, 2, 3, 6, 7, 24, 25)]
    [1.0, 1.0, 0.7, 0.6, 0.5, 0.5, 0.4]
    """
    return min(
        (float(row["factor"]) for row in read_rows("bundling") if int(row["min_wires"]) <= wires),
        default=1.0,
    )


@lru_cache(maxsize=16384)
def ampacity_a(label: str, class_c: int, ambient_c: float, bundle: int = 1) -> float:
    """Current that a wire carries for ever [A]; 0 where the ambient reaches its insulation class.

    Parameters
    ----------
    label : str
        A size of ``conductors.csv``.
    class_c : int
        Insulation class [°C].
    ambient_c : float
        Hottest place it passes [°C].
    bundle : int
        Loaded wires in the bundle, itself included.

    Raises
    ------
    TableError
        If the size or the class is in no table.

    Examples
    --------
    >>> round(ampacity_a("14 AWG", 105, 85.0), 1), round(ampacity_a("14 AWG", 105, 30.0, 5), 1)
    (18.1, 21.0)
    """
    return table_ampacity_a(label, class_c) * ambient_factor(class_c, ambient_c) * bundle_factor(bundle)


def operating_c(current_a: float, ampacity: float, class_c: float, ambient_c: float) -> float:
    """Temperature of the copper under its current [°C]: ``Ta + (T - Ta)·(I/Iz)²``, at most the class.

    Parameters
    ----------
    current_a : float
    ampacity : float
        At this ambient and bundle [A].
    class_c, ambient_c : float
        Insulation class and ambient [°C]. The ambient where it is the hotter of the two.

    Examples
    --------
    >>> operating_c(10.0, 20.0, 105, 45.0), operating_c(30.0, 20.0, 105, 45.0), operating_c(1.0, 0.0, 105, 120.0)
    (60.0, 105.0, 120.0)
    """
    if ambient_c >= class_c:
        return ambient_c
    if current_a >= ampacity:
        return float(class_c)
    return ambient_c + (class_c - ambient_c) * (current_a / ampacity) ** 2


def adiabatic_k(initial_c: float, final_c: float) -> float:
    """Factor ``k`` of the adiabatic equation for copper [A·s^½/mm²], IEC 60364-5-54 annex A.

    ``k = sqrt(Qc·(β + 20)/ρ20 · ln((β + θf)/(β + θi)))``

    Parameters
    ----------
    initial_c, final_c : float
        Copper before and after [°C].

    Examples
    --------
    >>> round(adiabatic_k(70, 160)), round(adiabatic_k(90, 250))
    (115, 143)
    """
    per_log = COPPER_VOLUMETRIC_HEAT * (COPPER_BETA_C + 20) / (COPPER_OHM_MM2_PER_M * 1e-3)
    return math.sqrt(per_log * math.log((COPPER_BETA_C + final_c) / (COPPER_BETA_C + initial_c)))


@cache
def short_time_c(class_c: int) -> float:
    """Temperature to which a short may heat insulation of a class, for 5 s at most [°C].

    Parameters
    ----------
    class_c : int
        Insulation class [°C].

    Raises
    ------
    TableError
        If no table holds the class.

    Examples
    --------
    >>> short_time_c(105), short_time_c(125)
    (160.0, 250.0)
    """
    for row in read_rows("insulation"):
        if int(row["class_c"]) == class_c:
            return float(row["short_time_c"])
    raise TableError(f"no short-time limit for insulation class {class_c} °C; known: {INSULATION_CLASSES_C}")


@cache
def short_time_k(class_c: int) -> float:
    """Factor ``k`` of an insulation class [A·s^½/mm²], the copper being at its class to begin with.

    Parameters
    ----------
    class_c : int
        Insulation class [°C].

    Raises
    ------
    TableError
        If no table holds the class.

    Examples
    --------
    >>> round(short_time_k(90)), round(short_time_k(105)), round(short_time_k(125))
    (100, 87, 123)
    """
    return adiabatic_k(class_c, short_time_c(class_c))


def short_time_area_mm2(current_a: float, class_c: int, seconds: float = CRANKING_S) -> float:
    """Copper that a short current needs so that its insulation survives [mm²]: ``I·sqrt(t)/k``.

    Parameters
    ----------
    current_a : float
    class_c : int
        Insulation class [°C].
    seconds : float
        How long it lasts [s].

    Examples
    --------
    >>> round(short_time_area_mm2(200.0, 105), 1)
    12.5
    """
    return current_a * math.sqrt(seconds) / short_time_k(class_c)
