"""How fast a wire warms up, and what its insulation bears for how long.

The wire is one lump of copper that loses heat in proportion to its rise above ambient::

    C · dT/dt = I²·R20·(1 + 0.00393·(T - 20)) - G·(T - Ta)

``C`` is the copper's heat, the insulation's is left out; ``G`` is set so that the ampacity just holds the
insulation class. Both make it too warm rather than too cool at overload. Without loss it is the adiabatic
equation of IEC 60364-5-54, ``I²·t = k²·S²``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache, lru_cache

from circuits.electrical.ampacity import COPPER_VOLUMETRIC_HEAT, short_time_c
from circuits.electrical.conductors import COPPER_PER_K, conductor, copper_area_mm2
from circuits.electrical.roots import root
from circuits.electrical.tables import read_rows


@dataclass(frozen=True, slots=True)
class Warming:
    """A wire in its place, ready to be heated.

    Parameters
    ----------
    heat_j_per_k_m : float
        Heat capacity of its copper [J/(K·m)].
    r20_ohm_per_m : float
    loss_w_per_k_m : float
        Heat lost per degree above ambient [W/(K·m)].
    ambient_c : float
    """

    heat_j_per_k_m: float
    r20_ohm_per_m: float
    loss_w_per_k_m: float
    ambient_c: float

    def settled_c(self, current_a: float) -> float:
        """Temperature after a long time [°C]; infinite where the current makes more heat at any temperature.

        Parameters
        ----------
        current_a : float

        Examples
        --------
        >>> wire = warming("14 AWG", 105, 30.0, 35.0)
        >>> wire.settled_c(0.0), round(wire.settled_c(35.0), 6), wire.settled_c(200.0)
        (30.0, 105.0, inf)
        """
        made = current_a**2 * self.r20_ohm_per_m
        kept = self.loss_w_per_k_m - made * COPPER_PER_K
        if kept <= 0:
            return math.inf
        return self.ambient_c + made * (1 + COPPER_PER_K * (self.ambient_c - 20.0)) / kept

    def after_c(self, current_a: float, seconds: float, start_c: float) -> float:
        """Temperature after a time under a current [°C].

        Parameters
        ----------
        current_a, seconds : float
        start_c : float
            At the beginning [°C].

        Examples
        --------
        >>> wire = warming("14 AWG", 105, 30.0, 35.0)
        >>> [round(wire.after_c(70.0, seconds, 105.0)) for seconds in (0.0, 1.0, 5.0)]
        [105, 112, 139]
        """
        made = current_a**2 * self.r20_ohm_per_m / self.heat_j_per_k_m
        growth = made * COPPER_PER_K - self.loss_w_per_k_m / self.heat_j_per_k_m
        driven = made * (1 + COPPER_PER_K * (self.ambient_c - 20.0))
        exponent = growth * seconds
        if exponent > _HOPELESS:
            return math.inf
        rise = (start_c - self.ambient_c) * math.exp(exponent)
        rise += driven * (math.expm1(exponent) / growth if abs(exponent) > _TINY else seconds)
        return self.ambient_c + rise

    def seconds_to(self, current_a: float, start_c: float, end_c: float) -> float:
        """Time until a temperature is reached [s]; 0 if it is there already, infinite if it never is.

        Parameters
        ----------
        current_a : float
        start_c, end_c : float

        Examples
        --------
        >>> wire = warming("14 AWG", 105, 30.0, 35.0)
        >>> round(wire.seconds_to(70.0, 105.0, 160.0), 1), wire.seconds_to(35.0, 105.0, 106.0)
        (8.0, inf)
        """
        if end_c <= start_c:
            return 0.0
        made = current_a**2 * self.r20_ohm_per_m / self.heat_j_per_k_m
        growth = made * COPPER_PER_K - self.loss_w_per_k_m / self.heat_j_per_k_m
        driven = made * (1 + COPPER_PER_K * (self.ambient_c - 20.0))
        at_start = driven + growth * (start_c - self.ambient_c)
        at_end = driven + growth * (end_c - self.ambient_c)
        if at_start <= 0 or at_end <= 0:
            return math.inf
        if abs(growth) * (end_c - start_c) < _TINY * at_start:
            return (end_c - start_c) / at_start
        return math.log(at_end / at_start) / growth


_TINY, _HOPELESS = 1e-9, 50.0


@lru_cache(maxsize=16384)
def warming(label: str, class_c: int, ambient_c: float, ampacity: float) -> Warming:
    """A wire in a place where its ampacity is known.

    Parameters
    ----------
    label : str
        A size of ``conductors.csv``.
    class_c : int
        Insulation class [°C], above the ambient.
    ambient_c : float
    ampacity : float
        Current that holds the class there [A], bundle and all.

    Raises
    ------
    TableError
        If no table holds the size.
    """
    size = conductor(label)
    at_class = size.r20_ohm_per_m * (1 + COPPER_PER_K * (class_c - 20.0))
    return Warming(
        heat_j_per_k_m=copper_area_mm2(size) * 1e3 * COPPER_VOLUMETRIC_HEAT,
        r20_ohm_per_m=size.r20_ohm_per_m,
        loss_w_per_k_m=ampacity**2 * at_class / (class_c - ambient_c),
        ambient_c=ambient_c,
    )


@cache
def _endurance(class_c: int) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Logarithms of times, and temperatures borne for them."""
    rows = read_rows("endurance")
    times = tuple(math.log(float(row["seconds"])) for row in rows)
    bears = tuple(
        class_c + float(row["above_class_k"]) if row["above_class_k"] else short_time_c(class_c) for row in rows
    )
    return times, bears


@lru_cache(maxsize=4096)
def endured_c(class_c: int, seconds: float) -> float:
    """Temperature that insulation bears for so long without harm [°C].

    Parameters
    ----------
    class_c : int
        Insulation class [°C].
    seconds : float
        Summed over its life [s]. Up to 5 s it is the final temperature of a short (IEC 60364-5-54), then it falls along
        the ageing tests of ISO 6722-1 (from memory): 6 h at 50 K above the class, 240 h at 25 K, 3000 h at the class.

    Raises
    ------
    TableError
        If no table holds the class.

    Examples
    --------
    >>> [round(endured_c(125, seconds)) for seconds in (1.0, 60.0, 21600.0, 864000.0, 1e9)]
    [250, 228, 175, 150, 125]
    """
    times, bears = _endurance(class_c)
    time = math.log(max(seconds, 1e-9))
    if time <= times[0]:
        return bears[0]
    for step in range(1, len(times)):
        if time <= times[step]:
            share = (time - times[step - 1]) / (times[step] - times[step - 1])
            return bears[step - 1] + share * (bears[step] - bears[step - 1])
    return bears[-1]


def damage_s(wire: Warming, class_c: int, current_a: float, start_c: float) -> float:
    """Time after which a current has harmed the insulation [s]; infinite if it never does.

    It is the time at which the copper is as hot as the insulation bears for that time: as if it had been
    as hot from the beginning, which errs early.

    Parameters
    ----------
    wire : Warming
    class_c : int
        Insulation class [°C].
    current_a : float
    start_c : float
        At the beginning [°C].

    Raises
    ------
    TableError
        If no table holds the class.

    Examples
    --------
    >>> wire = warming("14 AWG", 105, 30.0, 35.0)
    >>> damage_s(wire, 105, 35.0, 105.0), round(damage_s(wire, 105, 70.0, 105.0), 1)
    (inf, 8.0)
    """
    if wire.settled_c(current_a) <= class_c * (1 + 1e-9) and start_c <= class_c * (1 + 1e-9):
        return math.inf

    def margin(log_seconds: float) -> float:
        seconds = math.exp(log_seconds)
        hottest = min(wire.after_c(current_a, seconds, start_c), _BEYOND_C)
        return endured_c(class_c, seconds) - hottest

    return math.exp(root(margin, math.log(_SHORTEST_S), math.log(_LONGEST_S)))


_BEYOND_C = 5000.0
_SHORTEST_S, _LONGEST_S = 1e-7, 2e7
