"""Switch states worth looking at, generated from the plan: single functions, and the combinations that matter.

Two functions matter together where loads of both share a ground point or a place: there one can feed the other.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations

from circuits.network.supply import ENGINE, KEY, KEY_POSITIONS, LIGHTING, bus_switch
from circuits.network.switching import is_cranking_motor, switch_function, switch_positions
from circuits.plan import BUSES, Circuit
from circuits.sized import SizedPlan

MOST_PAIRS = 40
"""Combinations of two functions that are looked at; the first in plan order where there are more."""


@dataclass(frozen=True)
class State:
    """A named state of all switches; functions that it does not name are off."""

    name: str
    positions: Mapping[str, str]


def sensible_states(plan: SizedPlan) -> tuple[State, ...]:
    """States of a plan worth looking at, each once.

    Parameters
    ----------
    plan : SizedPlan

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.plan import Kind, Plan, Run, Vehicle
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("grille",), Kind.COIL, load_a=5.0,
    ...                switch_at="panel", switch="horn")
    >>> plan = size_plan(Plan(Vehicle(), (), (Run("panel", "grille", 2.0, "engine bay"),), (horn,)))
    >>> [state.name for state in sensible_states(plan)]
    ['all off', 'key on', 'engine running', 'horn on, key off', 'horn on', 'everything on']
    """
    circuits = tuple(one.circuit for one in plan.circuits if one.wires)
    found: dict[frozenset[tuple[str, str]], State] = {}
    for state in _all(circuits):
        found.setdefault(frozenset(state.positions.items()), state)
    return tuple(found.values())


def functions_of(circuits: tuple[Circuit, ...]) -> dict[str, tuple[str, ...]]:
    """Positions of every switch function, in plan order.

    Parameters
    ----------
    circuits : tuple of Circuit
    """
    found: dict[str, dict[str, None]] = {}
    for circuit in circuits:
        if circuit.switch_at:
            found.setdefault(switch_function(circuit), {}).update(dict.fromkeys(switch_positions(circuit)))
    return {function: tuple(positions) for function, positions in found.items()}


def switched_on(plan: SizedPlan, circuit: str) -> dict[str, str]:
    """The fewest switches thrown with which a circuit is on.

    Parameters
    ----------
    plan : SizedPlan
    circuit : str
        Name of a wired circuit; of another nothing is thrown.

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.plan import Kind, Plan, Run, Vehicle
    >>> horn = Circuit("horn", "front", "ignition", "panel", "horn", ("grille",), Kind.COIL, load_a=5.0,
    ...                switch_at="panel", switch="horn")
    >>> switched_on(size_plan(Plan(Vehicle(), (), (Run("panel", "grille", 2.0),), (horn,))), "horn")
    {'horn': 'on', 'ignition': 'run'}
    """
    wired = {one.circuit.name: one.circuit for one in plan.circuits if one.wires}
    found: dict[str, str] = {}
    passed: set[str] = set()
    while circuit in wired and circuit not in passed:
        passed.add(circuit)
        one = wired[circuit]
        if is_cranking_motor(one):
            found.setdefault(KEY, KEY_POSITIONS["start"][0])
        if one.switch_at:
            found.setdefault(switch_function(one), switch_positions(one)[0])
        circuit = one.feed
    if circuit in BUSES and circuit != "battery":
        function, live_in = bus_switch(circuit)
        found.setdefault(function, live_in[-1] if circuit == "accessory" else live_in[0])
    return found


def _all(circuits: tuple[Circuit, ...]) -> Iterator[State]:
    functions = functions_of(circuits)
    feeds = {circuit.feed for circuit in circuits}
    yield State("all off", {})
    if "accessory" in feeds:
        yield State("key at accessory", {KEY: "accessory"})
    yield State("key on", {KEY: "run"})
    yield State("engine running", {KEY: "run", ENGINE: "running"})
    if "start" in feeds:
        yield State("cranking", {KEY: "start"})
    if "lighting" in feeds:
        yield State("lighting on", {LIGHTING: "on"})
    thrown = [(function, position) for function, positions in functions.items() for position in positions]
    for function, position in thrown:
        yield State(f"{function} {position}, key off", _with_lighting({function: position}))
        yield State(f"{function} {position}", _with_lighting({KEY: "run", function: position}))
    for one, other in _that_meet(circuits):
        for first in functions[one]:
            for second in functions[other]:
                positions = {KEY: "run", LIGHTING: "on", one: first, other: second}
                yield State(f"{one} {first} with {other} {second}, lighting on", positions)
    everything = {function: positions[0] for function, positions in functions.items()}
    yield State("everything on", {KEY: "run", ENGINE: "running", LIGHTING: "on"} | everything | {KEY: "run"})


def _with_lighting(positions: dict[str, str]) -> dict[str, str]:
    """Nobody drives with head lamps and no side lamps: the lighting bus is on with them."""
    is_head = any("head" in function for function in positions)
    return positions | ({LIGHTING: "on"} if is_head else {})


def _that_meet(circuits: tuple[Circuit, ...]) -> list[tuple[str, str]]:
    """Pairs of functions whose loads share a ground point or a place."""
    at: dict[str, dict[str, None]] = {}
    for circuit in circuits:
        if circuit.switch_at and switch_function(circuit) != KEY:
            for place in {*circuit.load_at, circuit.ground_at} - {""}:
                at.setdefault(place, {})[switch_function(circuit)] = None
    pairs = {pair: None for functions in at.values() for pair in combinations(sorted(functions), 2)}
    return sorted(pairs)[:MOST_PAIRS]
