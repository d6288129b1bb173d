"""The power sheet: what a whole vehicle does in chosen states, with or without faults, as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from circuits.findings import Finding
from circuits.network.behaviour import Behaviour, behave
from circuits.network.build import PlanNetwork
from circuits.network.elements import Part, Resistor
from circuits.network.faults import Consequence, Fault, with_faults
from circuits.network.solve import solve
from circuits.network.states import State
from circuits.network.wording import fault_text

CARRIES_A = 1e-3
"""Current below which a wire is not listed [A]."""


def powered(built: PlanNetwork, state: State, faults: Sequence[Fault] = ()) -> Behaviour:
    """A vehicle in a state with these faults in it, all of them at once.

    Parameters
    ----------
    built : PlanNetwork
    state : State
    faults : sequence of Fault
    """
    if not faults:
        return behave(built, state.positions)
    faulted = with_faults(built.branches, faults)
    return behave(built, state.positions, solve(faulted.branches, state.positions, broken=faulted.broken))


def power_sheet(built: PlanNetwork, states: Sequence[State], faults: Sequence[Fault] = ()) -> dict[str, Any]:
    """What ``power_sheet`` writes as JSON: every load, fuse and live wire of each state, and what is found.

    Parameters
    ----------
    built : PlanNetwork
    states : sequence of State
    faults : sequence of Fault

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.network.build import build_network
    >>> from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("grille",), Kind.COIL, load_a=5.0)
    >>> built = build_network(size_plan(Plan(Vehicle(), (), (Run("panel", "grille", 2.0),), (horn,))))
    >>> [state] = power_sheet(built, [State("all off", {})])["states"]
    >>> state["loads"][0]["showing"], round(state["loads"][0]["current_a"], 2)
    ('on', 5.05)
    """
    shown = [_state(state, powered(built, state, faults)) for state in states]
    return {
        "faults": [fault_text(fault) for fault in faults],
        "network_findings": [_finding(found) for found in built.findings],
        "states": shown,
    }


def _state(state: State, seen: Behaviour) -> dict[str, Any]:
    return {
        "state": state.name,
        "switches": dict(state.positions),
        "loads": [
            {
                "load": one.load.name,
                "circuit": one.load.circuit,
                "place": one.load.place,
                "showing": one.showing.value,
                "wanted": one.is_wanted,
                "voltage_v": None if one.volt_v is None else round(one.volt_v, 3),
                "current_a": round(one.current_a, 4),
            }
            for one in seen.loads
        ],
        "fuses": _fuses(seen),
        "wires": _wires(seen),
        "relays_pulled_in": list(seen.solution.pulled),
        "findings": [_finding(found) for found in seen.findings],
        "residual_a": seen.solution.point.residual_a if seen.solution.point.is_held else None,
    }


def _fuses(seen: Behaviour) -> list[dict[str, Any]]:
    return [
        {
            "fuse": element.name.removeprefix("fuse: "),
            "rating_a": element.rating_a,
            "current_a": round(abs(seen.solution.current_a(element.name)), 4),
            "opens": element.name in seen.solution.opened,
        }
        for element in seen.solution.branches.network.elements
        if isinstance(element, Resistor) and element.part is Part.FUSE
    ]


def _wires(seen: Behaviour) -> list[dict[str, Any]]:
    found = []
    for element in seen.solution.branches.network.elements:
        if isinstance(element, Resistor) and element.part is Part.WIRE:
            current_a = abs(seen.solution.current_a(element.name))
            if current_a >= CARRIES_A:
                found.append({"wire": element.name, "current_a": round(current_a, 4), "ampacity_a": element.rating_a})
    return found


def _finding(found: Finding) -> dict[str, Any]:
    return asdict(found) | {"severity": found.severity.value}


def ranked_rows(consequences: Sequence[Consequence]) -> list[dict[str, Any]]:
    """Consequences of faults as data, the gravest first as given.

    Parameters
    ----------
    consequences : sequence of Consequence
    """
    return [
        {
            "fault": " and ".join(fault_text(fault) for fault in one.faults),
            "danger": one.danger,
            "findings": [_finding(found) for found in one.findings],
        }
        for one in consequences
    ]
