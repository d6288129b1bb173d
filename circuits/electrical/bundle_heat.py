"""How hot a bundle gets under its real loads: not all of its wires are loaded, and not all of them for long.

The bundle is one round body in still air, in its covering. Heat made in it has to come out from the part where the
loaded wires lie, taken to be its middle, through wires and the air between them (``bundle_w_per_m_k`` of ``heat.csv``).
Two wires have no middle: both lie at the surface.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from circuits.electrical.ampacity import COPPER_VOLUMETRIC_HEAT, CRANKING_S
from circuits.electrical.conductors import COPPER_PER_K, copper_area_mm2
from circuits.electrical.heating import HeatPath, insulation_k_m_per_w, wrapped
from circuits.electrical.roots import root
from circuits.electrical.surface import constant
from circuits.harness.diameter import bundle_diameter_mm
from circuits.plan import Covering
from circuits.sized import Conductor

INTERMITTENT_S = 600.0
"""An intermittent load is on for no longer than this [s]: the circuit sheet's own word."""

WARM_RISE_K = 50.0
"""Rise at which the time that a bundle takes to warm up is found [K]; it changes little with it."""

HOTTEST_C = 600.0
"""Where no balance is found below this, the bundle is given this temperature [°C]."""


@dataclass(frozen=True, slots=True)
class Lying:
    """A wire in a bundle with its load.

    Parameters
    ----------
    size : Conductor
    current_a : float
    for_s : float
        How long it is on; infinite where continuous [s].
    """

    size: Conductor
    current_a: float
    for_s: float = math.inf

    @property
    def heat20_w_per_m(self) -> float:
        """Heat it makes with its copper at 20 °C [W/m]."""
        return self.current_a**2 * self.size.r20_ohm_per_m


def for_s(*, continuous: bool, cranking: bool) -> float:
    """How long a load is on [s].

    Parameters
    ----------
    continuous, cranking : bool

    Examples
    --------
    >>> for_s(continuous=False, cranking=False), for_s(continuous=False, cranking=True)
    (600.0, 30.0)
    """
    if cranking:
        return CRANKING_S
    return math.inf if continuous else INTERMITTENT_S


def middle_k_m_per_w(wires: Sequence[Lying], diameter_mm: float) -> float:
    """Thermal resistance from the middle of a bundle to its surface [K·m/W].

    ``(1 + 2·ln(D/Dc)) / (4·π·k)``: a core with heat made evenly in it, then a ring without. The core takes the share of
    the bundle that its loaded wires take, ``(sum q)² / sum(q²/a)`` over the sum of ``a``, which is exact for
    wires alike, some loaded alike and some not at all.

    Parameters
    ----------
    wires : sequence of Lying
    diameter_mm : float
        Of the bundle.

    Examples
    --------
    >>> from circuits.electrical.conductors import conductor
    >>> full, idle = Lying(conductor("14 AWG"), 10.0), Lying(conductor("14 AWG"), 0.0)
    >>> round(middle_k_m_per_w([full] * 8, 11.0), 2), round(middle_k_m_per_w([full] * 2 + [idle] * 6, 11.0), 2)
    (0.61, 1.46)
    """
    heats = [wire.heat20_w_per_m for wire in wires]
    most = max(heats, default=0.0)
    if len(wires) <= _SIDE_BY_SIDE or most <= 0 or diameter_mm <= 0:
        return 0.0
    heats = [heat / most for heat in heats]
    areas = [wire.size.outer_mm**2 for wire in wires]
    loaded = sum(heats) ** 2 / sum(heat * heat / area for heat, area in zip(heats, areas, strict=True))
    ring = math.log(max(1.0, sum(areas) / loaded))
    return (1 + ring) / (4 * math.pi * constant("bundle_w_per_m_k"))


_SIDE_BY_SIDE = 2


@dataclass(frozen=True, slots=True)
class BundleHeat:
    """A bundle under its loads.

    Parameters
    ----------
    middle_c : float
        Temperature in its middle [°C].
    copper_c : tuple of float
        Of each wire, in the order given, were it in the middle [°C].
    """

    middle_c: float
    copper_c: tuple[float, ...]


def bundle_heat(
    wires: Iterable[Lying], ambient_c: float, covering: Covering = Covering.NONE, pressure_share: float = 1.0
) -> BundleHeat:
    """Temperatures in a bundle after its longest loads.

    Parameters
    ----------
    wires : iterable of Lying
        All that lie in it, loaded or not.
    ambient_c : float
    covering : Covering
    pressure_share : float
        Air pressure as a share of that at sea level.

    Notes
    -----
    A load that is not on for ever counts with the share of its heat that the bundle has warmed up to by then,
    ``1 - exp(-t/τ)``, ``τ`` being the copper's heat over the loss per degree.

    Examples
    --------
    >>> from circuits.electrical.conductors import conductor
    >>> found = bundle_heat([Lying(conductor("14 AWG"), 15.0)] * 12, 40.0)
    >>> round(found.middle_c), round(found.copper_c[0])
    (114, 115)
    """
    lying = tuple(wires)
    diameter_mm = bundle_diameter_mm([wire.size.outer_mm for wire in lying])
    if not lying:
        return BundleHeat(ambient_c, ())
    out = wrapped(middle_k_m_per_w(lying, diameter_mm), diameter_mm / 1e3, covering)
    return _balanced(lying, out, ambient_c, pressure_share)


def _balanced(lying: tuple[Lying, ...], out: HeatPath, ambient_c: float, pressure_share: float) -> BundleHeat:
    lost = out.given_off_w_per_m(ambient_c + WARM_RISE_K, ambient_c, pressure_share) / WARM_RISE_K
    held = sum(copper_area_mm2(wire.size) for wire in lying) * 1e3 * COPPER_VOLUMETRIC_HEAT
    heats20 = [wire.heat20_w_per_m * -math.expm1(-wire.for_s * lost / held) for wire in lying]
    inner = [insulation_k_m_per_w(wire.size) for wire in lying]
    # Copper is warmer than the middle by its own insulation, and so makes more heat: 1/(1 - q20·r·α) as much.
    driven = [1 - heat * own * COPPER_PER_K for heat, own in zip(heats20, inner, strict=True)]
    if min(driven) <= 0:
        return BundleHeat(HOTTEST_C, (HOTTEST_C,) * len(lying))
    heats20 = [heat / share for heat, share in zip(heats20, driven, strict=True)]
    made20 = sum(heats20)

    def surplus_w_per_m(middle_c: float) -> float:
        made = made20 * (1 + COPPER_PER_K * (middle_c - 20.0))
        return made - out.given_off_w_per_m(middle_c, ambient_c, pressure_share)

    middle_c = ambient_c
    if made20 > 0:
        too_much = surplus_w_per_m(HOTTEST_C) > 0
        middle_c = HOTTEST_C if too_much else root(surplus_w_per_m, ambient_c, HOTTEST_C)
    warmer = 1 + COPPER_PER_K * (middle_c - 20.0)
    copper = (middle_c + heat * warmer * own for heat, own in zip(heats20, inner, strict=True))
    return BundleHeat(middle_c, tuple(copper))


def equal_loads_a(
    wires: Sequence[Conductor],
    loaded: float,
    copper_c: float,
    ambient_c: float,
    covering: Covering = Covering.NONE,
    pressure_share: float = 1.0,
) -> float:
    """Current in each loaded wire of a bundle of equal wires that holds their copper at a temperature [A].

    Parameters
    ----------
    wires : sequence of Conductor
        All alike.
    loaded : float
        How many carry the current; a fraction is an average.
    copper_c, ambient_c : float
    covering : Covering
    pressure_share : float
        Air pressure as a share of that at sea level.

    Examples
    --------
    AC 43.13-1B gives 0.43 for 12 wires, all loaded.

    >>> from circuits.electrical.conductors import conductor
    >>> size = conductor("14 AWG")
    >>> all_loaded, alone = (equal_loads_a([size] * count, count, 105.0, 30.0) for count in (12, 1))
    >>> round(all_loaded / alone, 2)
    0.43
    """
    size, count = wires[0], len(wires)
    if copper_c <= ambient_c:
        return 0.0
    diameter_mm = bundle_diameter_mm([wire.outer_mm for wire in wires])
    middle = 0.0
    if count > _SIDE_BY_SIDE:
        middle = (1 + math.log(count / loaded)) / (4 * math.pi * constant("bundle_w_per_m_k"))
    out = wrapped(middle + insulation_k_m_per_w(size) / loaded, diameter_mm / 1e3, covering)
    off = out.given_off_w_per_m(copper_c, ambient_c, pressure_share)
    return math.sqrt(off / loaded / (size.r20_ohm_per_m * (1 + COPPER_PER_K * (copper_c - 20.0))))
