"""Operating point of a network whose switches and relays stand still: Newton's method over lamps and junctions."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from circuits.network.branches import Bools, Branches
from circuits.network.laws import (
    Floats,
    diode_current_a,
    diode_slope_s,
    lamp_current_a,
    lamp_slope_s,
)
from circuits.network.linear import Factored, Islands, islands_of, net_currents_a, solve_linear
from circuits.network.stubs import strip_stubs

MOST_ROUNDS = 120
SETTLED_A, SETTLED_V = 1e-10, 1e-7
"""Breach of Kirchhoff's law, and movement of the bent elements, below which no further round is made [A], [V]."""

MOST_IDLE = 3
"""Rounds without a better solution, once Kirchhoff's law holds, after which none is to be hoped for."""

HELD_A = 1e-9
"""Breach of Kirchhoff's law that no solution may exceed [A]."""


@dataclass(frozen=True, slots=True)
class Point:
    """Operating point.

    Parameters
    ----------
    volt_v : array of float
        Of each node; relative within its island where floating [V].
    floating : array of bool
    current_a : array of float
        Of each branch, from start to end [A].
    residual_a : float
        Worst breach of Kirchhoff's law; infinite where the network could not be solved [A].
    """

    volt_v: Floats
    floating: Bools
    current_a: Floats
    residual_a: float

    @property
    def is_held(self) -> bool:
        """True where Kirchhoff's law holds at every node."""
        return self.residual_a <= HELD_A


class _Bent:
    """The rows of a network that bend: lamps and junctions that conduct, and where they are linearised."""

    def __init__(self, branches: Branches, kept: Bools) -> None:
        lamps, diodes = kept[branches.lamps], kept[branches.diodes]
        self.lamp, self.diode = branches.lamps[lamps], branches.diodes[diodes]
        self.rated = branches.rated_v[lamps], branches.rated_w[lamps]
        self.junction = branches.saturation_a[diodes], branches.slope_v[diodes]
        self.lamp_v = self.rated[0].copy()
        self.diode_v = np.zeros(len(self.diode))

    def linearise(self, conductance_s: Floats, emf_v: Floats) -> None:
        """Enter tangents at the present voltages, in place: ``i = g·(v + e)``."""
        for rows, volt_v, current_a, slope_s in (
            (self.lamp, self.lamp_v, lamp_current_a(self.lamp_v, *self.rated), lamp_slope_s(self.lamp_v, *self.rated)),
            (
                self.diode,
                self.diode_v,
                diode_current_a(self.diode_v, *self.junction),
                diode_slope_s(self.diode_v, *self.junction),
            ),
        ):
            conductance_s[rows] = slope_s
            emf_v[rows] = current_a / slope_s - volt_v

    def currents(self, across_v: Floats, current_a: Floats) -> None:
        """Enter the true currents at these branch voltages, in place."""
        current_a[self.lamp] = lamp_current_a(across_v[self.lamp], *self.rated)
        current_a[self.diode] = diode_current_a(across_v[self.diode], *self.junction)

    def move(self, across_v: Floats) -> float:
        """Linearise next at these voltages, or as near to them as is safe; the greatest distance to go [V]."""
        lamp_v, diode_v = across_v[self.lamp], across_v[self.diode]
        away_v = np.concatenate((lamp_v - self.lamp_v, diode_v - self.diode_v))
        self.lamp_v = eased_lamp_v(lamp_v, self.lamp_v, self.rated[0])
        self.diode_v = eased_junction_v(diode_v, self.diode_v, *self.junction)
        return float(np.max(np.abs(away_v), initial=0.0))


def eased_lamp_v(wanted_v: Floats, old_v: Floats, rated_v: Floats) -> Floats:
    """Voltage to linearise a filament at next [V].

    Its curve is steepest at zero: a step across it would throw the next one as far back.

    Parameters
    ----------
    wanted_v, old_v, rated_v : array of float
        Of the linear solution; of the last round; rated [V].
    """
    crossing = (wanted_v * old_v < 0) & (np.abs(old_v) > 1e-3 * rated_v)
    return np.where(crossing, 0.05 * old_v, wanted_v)


def eased_junction_v(wanted_v: Floats, old_v: Floats, saturation_a: Floats, slope_v: Floats) -> Floats:
    """Voltage to linearise a junction at next [V].

    Steps up its curve go by the logarithm, as circuit simulators do (Nagel 1975, from memory).

    Parameters
    ----------
    wanted_v, old_v : array of float
        Of the linear solution; of the last round [V].
    saturation_a, slope_v : array of float
        As for its law.
    """
    critical_v = slope_v * np.log(slope_v / (np.sqrt(2.0) * saturation_a))
    steep = (wanted_v > critical_v) & (np.abs(wanted_v - old_v) > 2.0 * slope_v)
    growth = 1.0 + (wanted_v - old_v) / slope_v
    from_on = np.where(growth > 0, old_v + slope_v * np.log(np.maximum(growth, 1e-300)), critical_v)
    from_off = slope_v * np.log(np.maximum(wanted_v, 1e-300) / slope_v)
    return np.where(steep, np.where(old_v > 0, from_on, from_off), wanted_v)


def operating_point(branches: Branches, on: Bools, emf_v: Floats) -> Point:
    """Solve a network with these branches conducting.

    Parameters
    ----------
    branches : Branches
    on : array of bool
    emf_v : array of float
        Of each branch [V].

    Examples
    --------
    >>> from circuits.network.branches import compile_branches
    >>> from circuits.network.elements import Lamp, Network, Node, Source
    >>> battery, lamp = Source("battery", "minus", "plus", 12.0, 0.01), Lamp("lamp", "plus", "minus", 12.0, 60.0)
    >>> lit = compile_branches(Network((Node("minus"), Node("plus")), (battery, lamp), "minus"))
    >>> point = operating_point(lit, np.array([True, True]), lit.emf_v)
    >>> round(float(point.volt_v[1]), 4), point.is_held
    (11.9501, True)
    """
    nodes, start, end = len(branches.network.nodes), branches.start, branches.end
    floating = islands_of(nodes, start[on], end[on], branches.reference).floating
    stripped = strip_stubs(nodes, start, end, on, branches.reference)
    rows = np.flatnonzero(stripped.kept)
    inner = islands_of(nodes, start[rows], end[rows], branches.reference)
    try:
        volt_v, current_a, residual_a = _newton(branches, stripped.kept, inner, emf_v)
    except RuntimeError:  # the factorisation met a zero pivot
        return Point(np.zeros(nodes), np.ones(nodes, dtype=np.bool_), np.zeros(len(start)), float("inf"))
    stripped.spread(volt_v, emf_v)
    loops = on & (start == end)
    current_a[loops] = branches.conductance_s[loops] * emf_v[loops]
    return Point(volt_v, floating, current_a, residual_a)


def _newton(branches: Branches, kept: Bools, inner: Islands, emf_v: Floats) -> tuple[Floats, Floats, float]:
    """Voltages, branch currents and worst breach of Kirchhoff's law of what is left without dead ends."""
    rows = np.flatnonzero(kept)
    start, end = branches.start[rows], branches.end[rows]
    bent = _Bent(branches, kept)
    conductance_s, force_v = branches.conductance_s.copy(), emf_v.copy()
    volt_v, kept_a, residual_a = np.zeros(len(branches.network.nodes)), np.zeros(len(branches.start)), np.inf
    idle = 0
    for _ in range(MOST_ROUNDS):
        bent.linearise(conductance_s, force_v)
        linear = solve_linear(Factored(inner, start, end, conductance_s[rows]), force_v[rows])
        across_v = linear.volt_v[branches.start] - linear.volt_v[branches.end]
        current_a = np.zeros(len(branches.start))
        current_a[rows] = linear.current_a
        bent.currents(across_v, current_a)
        worst_a = float(np.max(np.abs(net_currents_a(len(volt_v), start, end, current_a[rows])), initial=0.0))
        idle += 1
        if worst_a < residual_a:
            volt_v, kept_a, residual_a, idle = linear.volt_v, current_a, worst_a, 0
        away_v = bent.move(across_v)
        if (residual_a <= SETTLED_A and away_v <= SETTLED_V) or (residual_a <= HELD_A and idle >= MOST_IDLE):
            break
    return volt_v, kept_a, residual_a
