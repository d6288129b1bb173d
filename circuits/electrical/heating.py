"""Heat balance of one wire: what it carries until its copper reaches the insulation class, alone or in a covering.

Heat made, ``I²·R`` at the temperature of the copper, passes the insulation, then the covering if there is
one, and leaves by convection and radiation (``surface``). The air stands still, the wire lies level and
is long: heat that flows along it into terminals is left out, which errs high at a hot terminal only.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache, lru_cache

from circuits.electrical.conductors import COPPER_PER_K, conductor
from circuits.electrical.roots import root
from circuits.electrical.surface import KELVIN, STEFAN_BOLTZMANN, air_w_per_m_k, constant, given_off_w_per_m
from circuits.electrical.tables import read_rows
from circuits.plan import Covering
from circuits.sized import Conductor

HEAT_SOURCE = (
    "heat balance of one wire in still air: I²R at temperature, insulation, natural convection (Churchill and Chu 1975)"
    " and radiation; bundle by 33 CFR 183.425 note 2"
)
"""Said wherever the model and not a table sets the figure."""

GAP_MEAN_C = 80.0
"""Temperature at which the air under a covering is taken [°C]: it changes little with it."""


@dataclass(frozen=True, slots=True)
class HeatPath:
    """The way of the heat out of a round body.

    Parameters
    ----------
    inner_k_m_per_w : float
        Thermal resistance from the copper to the outermost surface [K·m/W].
    diameter_m : float
        Of the outermost surface.
    """

    inner_k_m_per_w: float
    diameter_m: float

    def given_off_w_per_m(self, core_c: float, ambient_c: float, pressure_share: float = 1.0) -> float:
        """Heat given off with the copper at a temperature [W/m].

        Parameters
        ----------
        core_c, ambient_c : float
        pressure_share : float
            Air pressure as a share of that at sea level.

        Examples
        --------
        >>> round(HeatPath(0.5, 0.0035).given_off_w_per_m(95.0, 30.0), 2)
        12.39
        """
        if core_c <= ambient_c:
            return 0.0

        def surplus(surface_c: float) -> float:
            off = given_off_w_per_m(self.diameter_m, surface_c, ambient_c, pressure_share)
            return core_c - surface_c - off * self.inner_k_m_per_w

        surface_c = root(surplus, ambient_c, core_c)
        return given_off_w_per_m(self.diameter_m, surface_c, ambient_c, pressure_share)


def insulation_k_m_per_w(size: Conductor) -> float:
    """Thermal resistance of a wire's insulation [K·m/W].

    Parameters
    ----------
    size : Conductor

    Examples
    --------
    >>> round(insulation_k_m_per_w(conductor("14 AWG")), 2)
    0.5
    """
    return math.log(size.outer_mm / bare_mm(size)) / (2 * math.pi * constant("insulation_w_per_m_k"))


def bare_mm(size: Conductor) -> float:
    """Diameter over the strands [mm]: nominal area at the usual fill, at most nine tenths of the outer diameter.

    Parameters
    ----------
    size : Conductor

    Examples
    --------
    >>> round(bare_mm(conductor("14 AWG")), 2)
    1.88
    """
    return min(math.sqrt(4 * size.area_mm2 / math.pi / constant("strand_fill")), 0.9 * size.outer_mm)


def wrapped(inner_k_m_per_w: float, diameter_m: float, covering: Covering) -> HeatPath:
    """The way out of a round body with a covering around it.

    Parameters
    ----------
    inner_k_m_per_w : float
        From the copper to the body's surface [K·m/W].
    diameter_m : float
        Of the body.
    covering : Covering
        Its gap of air conducts and radiates; its wall conducts like insulation.

    Examples
    --------
    >>> bare, loom = (wrapped(0.5, 0.0035, one) for one in (Covering.NONE, Covering.SPLIT_LOOM))
    >>> round(bare.inner_k_m_per_w, 2), round(loom.inner_k_m_per_w, 2), round(loom.diameter_m, 4)
    (0.5, 2.69, 0.0067)
    """
    gap_m, wall_m = _layers(covering)
    resistance, inside_m = inner_k_m_per_w, diameter_m + 2 * gap_m
    if gap_m > 0:
        conducted = 2 * math.pi * air_w_per_m_k(GAP_MEAN_C) / math.log(inside_m / diameter_m)
        facing = 1 / (2 / constant("emissivity") - 1)
        radiated = math.pi * diameter_m * facing * 4 * STEFAN_BOLTZMANN * (GAP_MEAN_C + KELVIN) ** 3
        resistance += 1 / (conducted + radiated)
    outside_m = inside_m + 2 * wall_m
    if wall_m > 0:
        resistance += math.log(outside_m / inside_m) / (2 * math.pi * constant("insulation_w_per_m_k"))
    return HeatPath(resistance, outside_m)


@cache
def _layers(covering: Covering) -> tuple[float, float]:
    """Gap and wall of a covering [m]."""
    row = next(row for row in read_rows("wrappings") if row["covering"] == covering)
    return float(row["gap_mm"]) / 1e3, float(row["wall_mm"]) / 1e3


@cache
def wire_path(label: str, covering: Covering = Covering.NONE) -> HeatPath:
    """The way of the heat out of one wire of ``conductors.csv``, in a covering or bare.

    Parameters
    ----------
    label : str
    covering : Covering

    Raises
    ------
    TableError
        If no table holds the size.
    """
    size = conductor(label)
    return wrapped(insulation_k_m_per_w(size), size.outer_mm / 1e3, covering)


def ohm_per_m(size: Conductor, copper_c: float) -> float:
    """Resistance of a metre at a temperature of the copper [ohm/m].

    Parameters
    ----------
    size : Conductor
    copper_c : float

    Examples
    --------
    >>> round(ohm_per_m(conductor("14 AWG"), 105.0) * 1000, 2)
    12.26
    """
    return size.r20_ohm_per_m * (1 + COPPER_PER_K * (copper_c - 20.0))


@lru_cache(maxsize=16384)
def heat_ampacity_a(label: str, copper_c: float, ambient_c: float, covering: Covering = Covering.NONE) -> float:
    """Current that holds one wire's copper at a temperature, in still air [A]; 0 where the ambient is as hot.

    Parameters
    ----------
    label : str
        A size of ``conductors.csv``.
    copper_c : float
        Usually the insulation class [°C].
    ambient_c : float
    covering : Covering

    Raises
    ------
    TableError
        If no table holds the size.

    Examples
    --------
    33 CFR 183.425 Table 5 gives 35 A for 14 AWG at 105 °C and 30 °C ambient.

    >>> round(heat_ampacity_a("14 AWG", 105, 30.0), 1), round(heat_ampacity_a("14 AWG", 105, 85.0), 1)
    (34.7, 17.7)
    >>> round(heat_ampacity_a("14 AWG", 105, 30.0, Covering.SPLIT_LOOM), 1)
    32.3
    """
    if ambient_c >= copper_c:
        return 0.0
    off = wire_path(label, covering).given_off_w_per_m(copper_c, ambient_c)
    return math.sqrt(off / ohm_per_m(conductor(label), copper_c))


def copper_temperature_c(
    label: str, current_a: float, ambient_c: float, covering: Covering = Covering.NONE, hottest_c: float = 400.0
) -> float:
    """Temperature of one wire's copper after a long time under a current [°C].

    Parameters
    ----------
    label : str
    current_a : float
    ambient_c : float
    covering : Covering
    hottest_c : float
        Returned where the balance lies higher still [°C].

    Raises
    ------
    TableError
        If no table holds the size.

    Examples
    --------
    >>> round(copper_temperature_c("14 AWG", 34.7, 30.0)), copper_temperature_c("14 AWG", 0.0, 30.0)
    (105, 30.0)
    """
    if current_a <= 0:
        return ambient_c
    size, path = conductor(label), wire_path(label, covering)

    def surplus_w_per_m(copper_c: float) -> float:
        return current_a**2 * ohm_per_m(size, copper_c) - path.given_off_w_per_m(copper_c, ambient_c)

    return hottest_c if surplus_w_per_m(hottest_c) > 0 else root(surplus_w_per_m, ambient_c, hottest_c)
