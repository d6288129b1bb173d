"""What every load does in one state, beside what the plan wants: off, dim or on, with volts and amps."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from circuits.findings import Finding
from circuits.network.build import PlanNetwork
from circuits.network.elements import Load, Part, Resistor
from circuits.network.intent import Intent
from circuits.network.laws import figure
from circuits.network.network_findings import network_finding
from circuits.network.solve import Solution, solve
from circuits.network.switching import is_cranking_motor
from circuits.units import format_current, format_voltage

BACK_FED_SHARE = 0.02
"""Share of its rated current, and of its rated voltage, that a load must have backwards to count as back-fed:
less comes over any shared ground, through filaments that are cold (common practice, no source)."""


MILLIVOLTS = 3
"""Digits of a voltage that a message tells: a meter shows no more."""


class Showing(StrEnum):
    """What a person sees of a load; a motor that turns weakly is dim too."""

    OFF = "off"
    DIM = "dim"
    ON = "on"


@dataclass(frozen=True, slots=True)
class LoadSeen:
    """One load in one state.

    Parameters
    ----------
    load : Load
    showing : Showing
    is_wanted : bool
        True where the plan wants it on.
    volt_v : float or None
        From its supply side to its return side; None where it floats [V].
    current_a : float
        Positive from its supply side [A].
    """

    load: Load
    showing: Showing
    is_wanted: bool
    volt_v: float | None
    current_a: float


@dataclass(frozen=True, eq=False)
class Behaviour:
    """A whole vehicle in one state."""

    positions: Mapping[str, str]
    loads: tuple[LoadSeen, ...]
    solution: Solution
    findings: tuple[Finding, ...]

    def load(self, name: str) -> LoadSeen:
        """The load of that name; KeyError where there is none."""
        for seen in self.loads:
            if seen.load.name == name:
                return seen
        raise KeyError(name)


def showing(load: Load, volt_v: float | None, current_a: float) -> Showing:
    """What is seen of a load.

    Parameters
    ----------
    load : Load
    volt_v : float or None
        None where it floats [V].
    current_a : float
        Positive from its supply side [A].

    Examples
    --------
    >>> lamp = Load("tail", "tail", "boot", Part.LAMP, "in", "out", "tail", 12.0, 0.5)
    >>> [showing(lamp, volt_v, 0.1).value for volt_v in (None, 1.0, 6.0, -11.5)]
    ['off', 'off', 'dim', 'on']
    """
    if load.part is Part.LED:
        share = current_a / load.rated_a
        least, full = figure("led_dim_from_share"), figure("led_on_from_share")
    else:
        share = abs(volt_v or 0.0) / load.rated_v
        least = figure("dim_from_share")
        full = figure("lamp_on_from_share") if load.part is Part.LAMP else figure("other_on_from_share")
    return Showing.ON if share >= full else Showing.DIM if share >= least else Showing.OFF


def behave(built: PlanNetwork, positions: Mapping[str, str], solution: Solution | None = None) -> Behaviour:
    """What every load does in a state, and what is not as the plan wants it.

    Parameters
    ----------
    built : PlanNetwork
    positions : mapping of str to str
        Position by function.
    solution : Solution, optional
        Of the network with a fault in it; of the network as built where not given.

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.network.build import build_network
    >>> from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("grille",), Kind.COIL, load_a=5.0,
    ...                switch_at="panel", switch="horn")
    >>> built = build_network(size_plan(Plan(Vehicle(), (), (Run("panel", "grille", 2.0, "engine bay"),), (horn,))))
    >>> [behave(built, {"horn": position}).loads[0].showing.value for position in ("off", "on")]
    ['off', 'on']
    """
    solution = solution or solve(built.branches, positions)
    circuits = tuple(one.circuit for one in built.plan.circuits if one.wires)
    intent, cranking = Intent(circuits), frozenset(one.name for one in circuits if is_cranking_motor(one))
    loads = tuple(_seen(load, solution, intent, positions) for load in built.branches.network.loads)
    findings = (*solution.findings, *_load_findings(loads), *_wire_findings(solution, cranking))
    return Behaviour(dict(positions), loads, solution, findings)


def _seen(load: Load, solution: Solution, intent: Intent, positions: Mapping[str, str]) -> LoadSeen:
    volt_v, current_a = solution.across_v(load.start, load.end), solution.load_current_a(load)
    return LoadSeen(load, showing(load, volt_v, current_a), intent.is_on(load.circuit, positions), volt_v, current_a)


def _load_findings(loads: tuple[LoadSeen, ...]) -> Iterator[Finding]:
    for seen in loads:
        load, volts = seen.load, "no voltage" if seen.volt_v is None else format_voltage(round(seen.volt_v, MILLIVOLTS))
        named = f"{load.circuit}: {load.words}"
        if seen.is_wanted and seen.showing is Showing.OFF:
            yield network_finding("load-dead", load.circuit, f"{named} is dead: {volts}", figure=volts)
        elif seen.is_wanted and seen.showing is Showing.DIM:
            yield network_finding("load-dim", load.circuit, f"{named} is weak: {volts}", figure=volts)
        elif not seen.is_wanted and seen.showing is not Showing.OFF:
            message = f"{named} is {seen.showing} while the plan wants it off: {volts}"
            yield network_finding("load-unintended", load.circuit, message, figure=volts)
        if _is_back_fed(seen):
            amps = format_current(-seen.current_a)
            yield network_finding("back-feed", load.circuit, f"{named} is fed backwards: {amps}", figure=amps)


def _is_back_fed(seen: LoadSeen) -> bool:
    load, volt_v = seen.load, seen.volt_v or 0.0
    return seen.current_a < -BACK_FED_SHARE * load.rated_a and volt_v < -BACK_FED_SHARE * load.rated_v


def _wire_findings(solution: Solution, cranking: frozenset[str]) -> Iterator[Finding]:
    """Wires over their ampacity; a starter cable is for seconds, and its size is another matter."""
    branches = solution.branches
    over = np.flatnonzero(np.abs(solution.point.current_a) > branches.rating_a)
    elements = {element.name: element for element in branches.network.elements}
    for row in over.tolist():
        element = elements.get(branches.names[row])
        if isinstance(element, Resistor) and element.part is Part.WIRE and element.circuit not in cranking:
            amps, limit = format_current(abs(solution.current_a(element.name))), format_current(branches.rating_a[row])
            message = f"Wire {element.name} carries {amps}, more than its {limit}"
            yield network_finding(
                "wire-overloaded", element.circuit, message, wire=element.name, figure=amps, limit=limit
            )
