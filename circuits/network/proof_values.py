"""Readings under power that the plan lets expect: amps of each circuit, key-off draw, drops, volts at wire ends."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from circuits.network.build import PlanNetwork, build_network
from circuits.network.cold_ohms import ColdOhms
from circuits.network.elements import Load, Part, branches_of
from circuits.network.expected import Expected, in_ampere, in_volt, unknown
from circuits.network.laws import figure
from circuits.network.solve import Solution, solve
from circuits.network.states import switched_on
from circuits.network.supply import PLUS
from circuits.sized import SizedCircuit, SizedPlan
from circuits.wiring import End

RUNNING_SPREAD = {Part.LAMP: "lamp_hot_spread", Part.LED: "lamp_hot_spread", Part.MOTOR: "motor_running_spread"}
"""What the current of a load may be off by; all others by ``steady_spread``."""


@dataclass(frozen=True, slots=True)
class WireEndVolts:
    """Volts to battery negative at one end of a wire; ``end`` says its device, connector and cavity."""

    wire: str
    end: End
    volts: Expected


class ProofValues:
    """Expected readings of a vehicle.

    Parameters
    ----------
    plan : SizedPlan
    built : PlanNetwork, optional
        Its network where that is built already.

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("grille",), Kind.COIL, load_a=5.0,
    ...                switch_at="panel", switch="horn")
    >>> values = ProofValues(size_plan(Plan(Vehicle(), (), (Run("panel", "grille", 2.0),), (horn,))))
    >>> round(values.amps("horn").value, 2), values.key_off().value, values.positions("horn")
    (5.04, 0.0, {'horn': 'on'})
    """

    def __init__(self, plan: SizedPlan, built: PlanNetwork | None = None) -> None:
        self.plan = plan
        self.built = built or build_network(plan)
        self._sized = {one.circuit.name: one for one in plan.circuits if one.wires}
        self._solved: dict[frozenset[tuple[str, str]], Solution] = {}
        self._loads: dict[str, list[Load]] = {}
        for load in self.built.branches.network.loads:
            self._loads.setdefault(load.circuit, []).append(load)

    @cached_property
    def ohms(self) -> ColdOhms:
        """What an ohmmeter shows, battery off."""
        return ColdOhms(self.built)

    def positions(self, circuit: str) -> dict[str, str]:
        """The fewest switches thrown with which a circuit is on.

        Parameters
        ----------
        circuit : str
        """
        return switched_on(self.plan, circuit)

    def amps(self, circuit: str) -> Expected:
        """Current of a circuit's loads, switched on alone.

        Parameters
        ----------
        circuit : str
            A wired one.
        """
        solution, loads = self._state(self.positions(circuit)), self._loads.get(circuit, [])
        if not loads:
            return unknown("the circuit has no load of its own")
        if any(load.part is Part.ELECTRONICS for load in loads):
            return unknown("electronics: their current depends on what they do; the plan's is their most")
        currents = [abs(solution.load_current_a(load)) for load in loads]
        spread_a = sum(
            current_a * figure(RUNNING_SPREAD.get(load.part, "steady_spread"))
            for load, current_a in zip(loads, currents, strict=True)
        )
        return in_ampere(sum(currents), spread_a, f"worked out with {_words(self.positions(circuit))}")

    def key_off(self) -> Expected:
        """Current from the battery with everything off; units asleep draw what the plan does not tell."""
        branches = self.built.branches
        solution = solve(branches, {}, broken=self._is_unit())
        current_a = abs(solution.current_a("battery"))
        with_units_a = abs(self._state({}).current_a("battery"))
        if with_units_a > current_a + 1e-3:
            return unknown("units on the battery: what they draw asleep is not known")
        return in_ampere(round(current_a, 6), 0.0, "worked out with everything off")

    def drop(self, circuit: str) -> Expected:
        """Supply to load and load to negative, added, of the load that gets least, switched on alone.

        Parameters
        ----------
        circuit : str
        """
        one, solution = self._sized[circuit], self._state(self.positions(circuit))
        loads = self._loads.get(circuit, [])
        supplied_v = solution.voltage_v(self._supply(one))
        across_v = [solution.across_v(load.start, load.end) for load in loads]
        known = [abs(volt_v) for volt_v in across_v if volt_v is not None]
        if supplied_v is None or not known or len(known) < len(loads):
            return unknown("the circuit floats in this state")
        drop_v = supplied_v - min(known)
        return in_volt(drop_v, drop_v, f"worked out with {_words(self.positions(circuit))}")

    def volts(self, positions: Mapping[str, str], circuit: str = "") -> Iterator[WireEndVolts]:
        """At every end of every wire in a state, with what a full battery has at its posts.

        Parameters
        ----------
        positions : mapping of str to str
            Position by function; a function without one is off.
        circuit : str
            Its wires alone; of all circuits where empty.
        """
        solution = self._state(dict(positions))
        supplied_v = solution.voltage_v(PLUS) or 0.0
        for sized in self.plan.wires:
            wire = sized.wire
            if circuit and wire.circuit != circuit:
                continue
            for side, end in (("start", wire.start), ("end", wire.end)):
                volt_v = solution.voltage_v(f"{wire.name} {side}")
                if volt_v is None:
                    yield WireEndVolts(wire.name, end, unknown("floats: joined to nothing in this state"))
                    continue
                lost_v = min(abs(volt_v), abs(supplied_v - volt_v))
                yield WireEndVolts(wire.name, end, in_volt(volt_v, lost_v, f"{supplied_v:.2f} V at the battery"))

    def _supply(self, one: SizedCircuit) -> str:
        network, branches = self.built.branches.network, self.built.branches
        if one.fuse is not None:
            return network.nodes[int(branches.start[branches.row[f"fuse: {one.fuse.name}"]])].name
        first = one.wires[0].wire.name
        return f"{first} start"

    def _state(self, positions: dict[str, str]) -> Solution:
        key = frozenset(positions.items())
        if key not in self._solved:
            self._solved[key] = solve(self.built.branches, positions)
        return self._solved[key]

    def _is_unit(self) -> np.ndarray:
        branches = self.built.branches
        return np.array(
            [element.part is Part.ELECTRONICS for element in branches.network.elements for _ in branches_of(element)],
            dtype=np.bool_,
        )


def _words(positions: Mapping[str, str]) -> str:
    return ", ".join(f"{function} {position}" for function, position in positions.items()) or "nothing switched"
