"""Ohms with the battery off, as a meter shows them: filaments cold, motors at rest, relays at rest, junctions blocked.

A meter tests with too little voltage to open the junctions of a load. Resistance between two points never falls when
that of a part rises (Rayleigh), so the least and the most of a whole vehicle come from all parts at their least and at
their most.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from circuits.network.branches import Bools, Branches
from circuits.network.build import PlanNetwork
from circuits.network.elements import Part
from circuits.network.expected import Expected, in_ohm, unknown
from circuits.network.laws import Floats, figure, lamp_slope_s
from circuits.network.linear import Factored, islands_of
from circuits.network.supply import MINUS, PLUS

SAME_SHARE = 0.02
"""Change by which a unit of unknown resistance counts as telling nothing of the line it hangs on."""

CONSUMING = (Part.LAMP, Part.LED, Part.MOTOR, Part.HEATER, Part.ELECTRONICS, Part.COIL, Part.SENDER)


@dataclass(frozen=True, eq=False)
class _Sides:
    """Conductance of each branch: most likely, at the least resistance, at the most [S]."""

    likely: Floats
    least: Floats
    most: Floats


class ColdOhms:
    """The network of a plan as an ohmmeter sees it, battery and alternator taken off.

    Parameters
    ----------
    built : PlanNetwork

    Examples
    --------
    A lamp of 24 W at 12 V has 6 ohm lit, a tenth of that cold.

    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.network.build import build_network
    >>> from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
    >>> lamp = Circuit("work", "rear", "battery", "panel", "lamp", ("tail",), Kind.LAMP, load_w=24.0)
    >>> cold = ColdOhms(build_network(size_plan(Plan(Vehicle(), (), (Run("panel", "tail", 2.0),), (lamp,)))))
    >>> round(cold.output("work").value, 1), cold.output("work", loads_in=False).value
    (0.6, inf)
    """

    def __init__(self, built: PlanNetwork) -> None:
        self.built = built
        branches = self.branches = built.branches
        self._is_unit = np.array([part is Part.ELECTRONICS for part in branches.parts], dtype=np.bool_)
        self._is_load = np.array([part in CONSUMING for part in branches.parts], dtype=np.bool_)
        for rows in branches.relays:  # what is unplugged are loads, not the relays of the panel
            load = any(load.branch == rows.relay.coil for load in branches.network.loads)
            self._is_load[rows.coil] = load
        self._sides = _sides(branches)

    def output(self, fuse: str, *, loads_in: bool = True, without: Iterable[str] = ()) -> Expected:
        """From the load side of a fuse to battery negative, that fuse out, every switch off.

        Parameters
        ----------
        fuse : str
            Its name in the plan.
        loads_in : bool
            False with every load unplugged.
        without : iterable of str
            Further fuses that are out.

        Raises
        ------
        KeyError
            If the plan has no such fuse.
        """
        row = self.branches.row[f"fuse: {fuse}"]
        out = [row, *(self.branches.row[f"fuse: {other}"] for other in without)]
        return self.between(int(self.branches.end[row]), self.branches.node[MINUS], out=out, loads_in=loads_in)

    def whole(self, *, loads_in: bool = True) -> Expected:
        """From the positive to the negative lead of the battery, battery off, every switch off, fuses in."""
        return self.between(self.branches.node[PLUS], self.branches.node[MINUS], loads_in=loads_in)

    def between(
        self,
        one: int,
        other: int,
        *,
        out: Iterable[int] = (),
        positions: Mapping[str, str] | None = None,
        loads_in: bool = True,
    ) -> Expected:
        """Between two nodes.

        Parameters
        ----------
        one, other : int
        out : iterable of int
            Branches taken out.
        positions : mapping of str to str, optional
            Position by function; everything off where not given.
        loads_in : bool
        """
        on = rest_thrown(self.branches, positions or {})
        on[list(out)] = False
        if not loads_in:
            on &= ~self._is_load
        known = self._ohm(on & ~self._is_unit, self._sides.likely, one, other)
        if loads_in and self._has_unit(on, one, other, known):
            return unknown("electronics on this line: their resistance is not known; unplug them and read again")
        sides = [self._ohm(on & ~self._is_unit, side, one, other) for side in (self._sides.least, self._sides.most)]
        basis = "an open line" if math.isinf(known) else "parts at rest: filaments cold, motors standing"
        return in_ohm(known, sides[0], sides[1], basis)

    def _has_unit(self, on: Bools, one: int, other: int, known: float) -> bool:
        """True where units in between would be seen by the meter."""
        if not (on & self._is_unit).any():
            return False
        through = self._ohm(on, self._sides.likely, one, other)
        return through < known * (1 - SAME_SHARE)

    def _ohm(self, on: Bools, conductance_s: Floats, one: int, other: int) -> float:
        branches = self.branches
        islands = islands_of(len(branches.network.nodes), branches.start[on], branches.end[on], other)
        if islands.floating[one]:
            return math.inf
        driven_a = np.zeros(len(islands.fixed))
        driven_a[one] = 1.0
        factored = Factored(islands, branches.start[on], branches.end[on], conductance_s[on])
        return float(factored.solve(driven_a)[one])


_SPREAD = {
    Part.LAMP: "lamp_cold_spread",
    Part.MOTOR: "motor_rest_spread",
    Part.HEATER: "steady_spread",
    Part.COIL: "steady_spread",
    Part.SENDER: "steady_spread",
    Part.RELAY: "steady_spread",
}


def rest_thrown(branches: Branches, positions: Mapping[str, str]) -> Bools:
    """True for each branch that lets an ohmmeter's current through: sources are off, junctions blocked."""
    on = branches.thrown(positions)
    on[[row for row, _ in branches.sources]] = False
    on[branches.diodes] = False
    return on


def rest_conductance_s(branches: Branches) -> Floats:
    """Conductance of each branch as an ohmmeter sees it: filaments cold, motors standing [S]."""
    likely = branches.conductance_s.copy()
    likely[branches.lamps] = lamp_slope_s(np.zeros(len(branches.lamps)), branches.rated_v, branches.rated_w)
    is_motor = np.array([part is Part.MOTOR for part in branches.parts], dtype=np.bool_)
    likely[is_motor] /= figure("motor_rest_share")
    return likely


def _sides(branches: Branches) -> _Sides:
    likely = rest_conductance_s(branches)
    spread = np.array([figure(_SPREAD.get(part, "wire_spread")) for part in branches.parts])
    return _Sides(likely, likely / (1.0 - spread), likely / (1.0 + spread))
