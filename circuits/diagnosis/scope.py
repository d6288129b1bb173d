"""The part of a plan that bears on what was seen: small enough that every suspect is solved in every state at once.

It holds the circuits that misbehave, what feeds them, and as witnesses circuits that share a ground point, a switch, a
feed or a bus with them. Lamps and motors elsewhere move the supply by tenths of a volt, less than readings are told
apart by.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from circuits.network.build import PlanNetwork, build_network
from circuits.network.states import State, sensible_states
from circuits.network.switching import switch_function
from circuits.plan import Circuit, Kind
from circuits.sized import SizedCircuit, SizedPlan

MOST_CIRCUITS = 14
"""Circuits in scope; those that misbehave and what feeds them come first."""

SIBLINGS = 2
"""Witnesses taken of those that share a feed or a bus."""

NEIGHBOURS = 4
"""Circuits taken in because their wires lie beside those that misbehave."""


@dataclass(frozen=True, eq=False)
class Scope:
    """The part of a plan that is looked at.

    Parameters
    ----------
    built : PlanNetwork
        Of the circuits in scope.
    suspected : frozenset of str
        Circuits whose parts are suspects: those that misbehave, and what feeds them.
    seeds : frozenset of str
        Circuits that misbehave.
    states : tuple of State
        Switch states that matter to them.
    """

    built: PlanNetwork
    suspected: frozenset[str]
    seeds: frozenset[str]
    states: tuple[State, ...]


def scope_of(plan: SizedPlan, seeds: Iterable[str], *, with_neighbours: bool = False) -> Scope:
    """The scope of circuits that misbehave.

    Parameters
    ----------
    plan : SizedPlan
    seeds : iterable of str
        Names of circuits.
    with_neighbours : bool
        True where circuits whose wires lie beside are to be taken in: a short between two wires is then looked for.

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.sheets import load_starter
    >>> scope = scope_of(size_plan(load_starter("closed_car")), ["horns"])
    >>> sorted(scope.suspected)
    ['front feed', 'horns']
    """
    wired = {one.circuit.name: one for one in plan.circuits if one.wires}
    named = [name for name in dict.fromkeys(seeds) if name in wired]
    suspected = dict.fromkeys(up for name in named for up in _upstream(wired, name))
    wanted = dict.fromkeys((*suspected, *_witnesses(wired, named)))
    chosen = dict.fromkeys(list(wanted)[: max(MOST_CIRCUITS, len(suspected))])
    if with_neighbours:
        chosen |= dict.fromkeys(list(_beside(wired, named, chosen))[:NEIGHBOURS])
    chosen |= dict.fromkeys(up for name in list(chosen) for up in _upstream(wired, name))
    part = replace(plan, circuits=tuple(one for one in plan.circuits if one.circuit.name in chosen))
    states = tuple(sensible_states(part))
    return Scope(build_network(part), frozenset(suspected), frozenset(named), states)


def _upstream(wired: dict[str, SizedCircuit], name: str) -> Iterator[str]:
    """A circuit and what feeds it, nearest first."""
    passed: set[str] = set()
    while name in wired and name not in passed:
        yield name
        passed.add(name)
        name = wired[name].circuit.feed


def _witnesses(wired: dict[str, SizedCircuit], seeds: list[str]) -> Iterator[str]:
    others = [one.circuit for one in wired.values() if one.circuit.name not in seeds]
    consumers = [circuit for circuit in others if circuit.kind is not Kind.FEEDER]
    for seed in (wired[name].circuit for name in seeds):
        yield from (other.name for other in consumers if seed.switch_at and _shares_switch(seed, other))
        yield from (other.name for other in consumers if _grounds(seed) & _grounds(other))
        yield from [other.name for other in consumers if other.feed == seed.feed][:SIBLINGS]
        yield from [other.name for other in consumers if other.feed == seed.name][:SIBLINGS]


def _shares_switch(one: Circuit, other: Circuit) -> bool:
    return bool(other.switch_at) and switch_function(one) == switch_function(other)


def _grounds(circuit: Circuit) -> set[str]:
    return {circuit.ground_at} if circuit.ground_at else set(circuit.load_at)


def _beside(wired: dict[str, SizedCircuit], seeds: list[str], chosen: dict[str, None]) -> list[str]:
    """Circuits with the most wires in the same runs as those that misbehave."""
    runs = {run for name in seeds for wire in wired[name].wires for run in wire.wire.path.runs}
    shared = {
        name: sum(len(runs & set(wire.wire.path.runs)) for wire in one.wires)
        for name, one in wired.items()
        if name not in chosen and one.circuit.kind is not Kind.FEEDER
    }
    return sorted((name for name, count in shared.items() if count), key=lambda name: (-shared[name], name))
