"""Fuse and wire together: the largest fuse that a wire outlives, and whether one fuse opens before another.

At every current the fuse must have opened, at the latest, before the insulation is harmed. An overload
too small for the fuse's first gate need never open it: it is taken to last 240 h in sum, for which
insulation is proven at 25 K above its class (``endurance.csv``). Past the last gate the heat let through
is compared with ``k²·S²``, up to any short-circuit current.
"""

from __future__ import annotations

import math
from functools import cache, lru_cache
from itertools import pairwise

from circuits.electrical.ampacity import TABLE_AMBIENT_C, adiabatic_k, short_time_c
from circuits.electrical.conductors import COPPER_OHM_MM2_PER_M, COPPER_PER_K
from circuits.electrical.gates import Curve, is_from_memory, latest
from circuits.electrical.roots import root
from circuits.electrical.transient import Warming, endured_c, warming
from circuits.plan import FuseFamily

UNOPENED_S = 864000.0
"""How long an overload below the first gate is taken to last in sum [s]: 240 h (an assumption of ours)."""

ADIABATIC_S = 5.0
"""Time up to which a short is adiabatic: IEC 60364-5-54 gives its equation for that [s]."""

_POINTS_BETWEEN_GATES = 16


@cache
def opening_times(family: FuseFamily) -> tuple[tuple[float, float], ...]:
    """Overloads, as multiples of the rating, and the latest that a fuse of the family opens at each [s].

    From just below the first gate on, close enough for a straight line between, until it opens within ``ADIABATIC_S``.

    Parameters
    ----------
    family : FuseFamily
        Any but none.

    Examples
    --------
    >>> opening_times(FuseFamily.BLADE)[0], opening_times(FuseFamily.BLADE)[-1]
    ((1.35, 864000.0), (6.0, 0.1))
    """
    curve = latest(family)
    knots = [*curve.multiples, max(curve.multiples[-1], curve.multiple_at(ADIABATIC_S))]
    fine = [knots[0]]
    for low, high in pairwise(knots):
        fine += [low * (high / low) ** (step / _POINTS_BETWEEN_GATES) for step in range(1, _POINTS_BETWEEN_GATES + 1)]
    return (curve.multiples[0], UNOPENED_S), *((multiple, curve.at(multiple)) for multiple in dict.fromkeys(fine))


def outlives(wire: Warming, class_c: int, family: FuseFamily, rating_a: float) -> bool:
    """True if a fuse opens before the wire is harmed, at every current.

    Parameters
    ----------
    wire : Warming
    class_c : int
        Insulation class [°C].
    family : FuseFamily
        Any but none.
    rating_a : float

    Raises
    ------
    TableError
        If no table holds the class.

    Examples
    --------
    >>> wire = warming("14 AWG", 125, 40.0, 38.0)
    >>> outlives(wire, 125, FuseFamily.BLADE, 30.0), outlives(wire, 125, FuseFamily.BLADE, 35.0)
    (True, False)
    """
    return _margin(wire, class_c, family, rating_a) >= 0


def _margin(wire: Warming, class_c: int, family: FuseFamily, rating_a: float) -> float:
    """Least distance to harm, below 0 where the wire is harmed; it falls as the rating rises [K]."""
    start_c = min(float(class_c), wire.settled_c(rating_a))
    margin = math.inf
    for multiple, seconds in opening_times(family):
        current_a = multiple * rating_a
        reached_c = wire.after_c(current_a, seconds, start_c)
        margin = min(margin, endured_c(class_c, seconds) - min(reached_c, _BEYOND_C))
    return min(margin, _short_margin(wire, class_c, family, rating_a, start_c))


_BEYOND_C = 5000.0


def _short_margin(wire: Warming, class_c: int, family: FuseFamily, rating_a: float, start_c: float) -> float:
    """Distance to harm after the most heat that the fuse lets through past its last gate [K]."""
    multiple, seconds = opening_times(family)[-1]
    area_mm2 = COPPER_OHM_MM2_PER_M / wire.r20_ohm_per_m
    let_through = (multiple * rating_a / area_mm2) ** 2 * seconds
    share = math.sqrt(let_through) / adiabatic_k(start_c, short_time_c(class_c))
    return (1 - share) * (short_time_c(class_c) - start_c)


@lru_cache(maxsize=16384)
def largest_outlived_a(label: str, class_c: int, ambient_c: float, ampacity: float, family: FuseFamily) -> float:
    """Largest rating of a family that opens before the wire is harmed, at every current [A].

    Parameters
    ----------
    label : str
        A size of ``conductors.csv``.
    class_c : int
        Insulation class [°C].
    ambient_c : float
        Taken to be 30 °C at least, like for the ampacity.
    ampacity : float
        Current that the wire carries there for ever [A].
    family : FuseFamily
        Any but none.

    Returns
    -------
    float
        Any figure, not only a standard rating; 0 where the wire carries nothing.

    Raises
    ------
    TableError
        If no table holds the size or the class.

    Examples
    --------
    >>> [round(largest_outlived_a("14 AWG", 125, 40.0, 38.0, family), 1)
    ...  for family in (FuseFamily.BLADE, FuseFamily.MAXI_BLADE)]
    [31.0, 27.0]
    """
    if ambient_c >= class_c or ampacity <= 0:
        return 0.0
    wire = warming(label, class_c, max(ambient_c, TABLE_AMBIENT_C), ampacity)
    multiple = latest(family).multiples[0]
    for_ever_a = settling_at_a(wire, endured_c(class_c, UNOPENED_S)) / multiple
    for_ever_a = min(for_ever_a, ampacity)
    if outlives(wire, class_c, family, for_ever_a * (1 - 1e-9)):
        return for_ever_a
    return root(lambda rating_a: _margin(wire, class_c, family, rating_a), for_ever_a * 1e-3, for_ever_a)


def settling_at_a(wire: Warming, copper_c: float) -> float:
    """Current that after a long time brings the wire to a temperature [A].

    Parameters
    ----------
    wire : Warming
    copper_c : float
        Above the ambient [°C].

    Examples
    --------
    >>> round(settling_at_a(warming("14 AWG", 105, 30.0, 35.0), 105.0), 6)
    35.0
    """
    made = wire.loss_w_per_k_m * (copper_c - wire.ambient_c) / (1 + COPPER_PER_K * (copper_c - 20.0))
    return math.sqrt(made / wire.r20_ohm_per_m)


@cache
def outlived_source(family: FuseFamily) -> str:
    """What the largest outlived fuse rests on, in words.

    Parameters
    ----------
    family : FuseFamily

    Examples
    --------
    >>> outlived_source(FuseFamily.MAXI_BLADE)[:60]
    'the fuse opens before the wire is harmed: time gates of a ma'
    """
    gates = "partly from memory" if is_from_memory(family) else "read"
    return (
        f"the fuse opens before the wire is harmed: time gates of a {family} fuse ({gates}), heat balance in time,"
        " IEC 60364-5-54 for a short, ISO 6722-1 ageing tests for an overload (from memory)"
    )


def first_unselective_a(
    branch: Curve, branch_a: float, feeder: Curve, feeder_a: float, greatest_a: float
) -> float | None:
    """Least current at which a feeder's fuse may open before the branch's has; None if there is none.

    Parameters
    ----------
    branch : Curve
        Latest opening of the branch's fuse.
    branch_a : float
        Its rating [A].
    feeder : Curve
        Earliest opening of the feeder's fuse.
    feeder_a : float
        Its rating [A].
    greatest_a : float
        Prospective short [A].

    Examples
    --------
    >>> from circuits.electrical.gates import earliest
    >>> branch, feeder = latest(FuseFamily.BLADE), earliest(FuseFamily.MAXI_BLADE)
    >>> first_unselective_a(branch, 15.0, feeder, 60.0, 1000.0)
    >>> round(first_unselective_a(branch, 30.0, feeder, 30.0, 1000.0) or 0)
    40
    """
    least_a = branch.multiples[0] * branch_a
    if least_a >= greatest_a:
        return None
    steps = max(2, round(_STEPS_PER_DOUBLING * math.log2(greatest_a / least_a)))
    for step in range(steps + 1):
        current_a = least_a * math.pow(greatest_a / least_a, step / steps)
        if branch.at(current_a / branch_a) >= feeder.at(current_a / feeder_a):
            return current_a
    return None


_STEPS_PER_DOUBLING = 8
