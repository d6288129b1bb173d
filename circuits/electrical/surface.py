"""Heat that the surface of a horizontal round body gives off to still air: natural convection and radiation.

Convection is the correlation of Churchill and Chu (1975) for a horizontal cylinder, at its lower edge
(``correlation_share`` of ``heat.csv``). Air is taken dry, at sea level unless said otherwise.
"""

from __future__ import annotations

import math
from functools import cache

from circuits.electrical.tables import read_rows

STEFAN_BOLTZMANN = 5.670374e-8
"""Stefan-Boltzmann constant (CODATA) [W/(m²·K⁴)]."""

GRAVITY = 9.80665
"""Standard gravity [m/s²]."""

KELVIN = 273.15
"""0 °C [K]."""

PRANDTL = 0.708
"""Prandtl number of air, 0 to 200 °C (handbook tables, from memory; 0.70 to 0.715)."""

_AIR_W_PER_M_K, _AIR_CONDUCTION_POWER = 0.02414, 0.85
_AIR_M2_PER_S, _AIR_VISCOSITY_POWER = 1.328e-5, 1.76
"""Power laws from 0 °C: conductivity and kinematic viscosity of air; within 2 % to 250 °C (handbooks, from memory)."""

_LAMINAR, _RAYLEIGH_PART = 0.60, 0.387
_PRANDTL_PART = (1 + (0.559 / PRANDTL) ** (9 / 16)) ** (8 / 27)
"""Constants of Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975), 1049 (from memory)."""


@cache
def constant(name: str) -> float:
    """A constant of ``heat.csv``, in the unit of its row.

    Examples
    --------
    >>> constant("emissivity")
    0.8
    """
    return next(float(row["value"]) for row in read_rows("heat") if row["constant"] == name)


def air_w_per_m_k(air_c: float) -> float:
    """Thermal conductivity of air [W/(m·K)].

    Parameters
    ----------
    air_c : float
        -50 to 250 [°C].

    Examples
    --------
    >>> round(air_w_per_m_k(27.0), 4)
    0.0261
    """
    return _AIR_W_PER_M_K * math.pow((air_c + KELVIN) / KELVIN, _AIR_CONDUCTION_POWER)


def nusselt(diameter_m: float, surface_c: float, ambient_c: float, pressure_share: float = 1.0) -> float:
    """Nusselt number of a horizontal cylinder in still air, by Churchill and Chu.

    Parameters
    ----------
    diameter_m : float
    surface_c, ambient_c : float
        The surface is the warmer one [°C].
    pressure_share : float
        Air pressure as a share of that at sea level.

    Notes
    -----
    Valid for Rayleigh numbers from 1e-5 to 1e12: every wire and bundle.

    Examples
    --------
    >>> round(nusselt(0.003, 90.0, 30.0), 2), round(nusselt(0.020, 90.0, 30.0), 2)
    (1.65, 5.63)
    """
    film_k = (surface_c + ambient_c) / 2 + KELVIN
    viscosity = _AIR_M2_PER_S * (film_k / KELVIN) ** _AIR_VISCOSITY_POWER / pressure_share
    rayleigh = GRAVITY * (surface_c - ambient_c) / film_k * diameter_m**3 / viscosity**2 * PRANDTL
    whole: float = (_LAMINAR + _RAYLEIGH_PART * rayleigh ** (1 / 6) / _PRANDTL_PART) ** 2
    return whole


def given_off_w_per_m(diameter_m: float, surface_c: float, ambient_c: float, pressure_share: float = 1.0) -> float:
    """Heat that a metre of a horizontal round body gives off [W/m]; 0 where it is no warmer than the air.

    Parameters
    ----------
    diameter_m : float
    surface_c, ambient_c : float
        Surroundings are as warm as the air [°C].
    pressure_share : float
        Air pressure as a share of that at sea level.

    Examples
    --------
    >>> round(given_off_w_per_m(0.0035, 90.0, 30.0), 2)
    12.7
    """
    if surface_c <= ambient_c:
        return 0.0
    film_c = (surface_c + ambient_c) / 2
    per_k = (
        constant("correlation_share")
        * nusselt(diameter_m, surface_c, ambient_c, pressure_share)
        * air_w_per_m_k(film_c)
        / diameter_m
    )
    radiated = constant("emissivity") * STEFAN_BOLTZMANN * ((surface_c + KELVIN) ** 4 - (ambient_c + KELVIN) ** 4)
    return math.pi * diameter_m * (per_k * (surface_c - ambient_c) + radiated)
