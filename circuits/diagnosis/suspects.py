"""Everything that may be wrong in a scope: one suspect for each place and kind, with the faults that stand for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from circuits.diagnosis.scope import Scope
from circuits.diagnosis.tables import Cause, kinds
from circuits.network.elements import Part, Relay, Switch
from circuits.network.faults import Fault, FaultKind
from circuits.network.supply import BODY
from circuits.sized import SizedCircuit, SizedWire
from circuits.wiring import End, Lands, Role

BAD_OHM = (0.3, 1.5, 8.0)
"""Resistances that stand for a bad joint, from warm to nearly open [ohm]; one that is off comes on top (common
practice, no source)."""

MOST_SWAPS = 8
"""Pairs of cavities that are looked at, the nearest to each other first."""

MOST_SHORTS = 24
"""Pairs of wires between which a short is looked for."""


@dataclass(frozen=True, slots=True)
class Suspect:
    """One thing that may be wrong.

    Parameters
    ----------
    cause : Cause
    at : str
        What one would look at: names it among all suspects together with ``cause``.
    words : str
        For people.
    circuit : str
        Empty where it is of no single one.
    cases : tuple of tuple of Fault
        What it does to the network, by severity; each is as likely.
    lands : str
        Kind of place, for the minutes of reaching it.
    """

    cause: Cause
    at: str
    words: str
    circuit: str
    cases: tuple[tuple[Fault, ...], ...]
    lands: str = "load"

    @property
    def key(self) -> str:
        """Name among all suspects.

        Examples
        --------
        >>> Suspect(Cause.BLOWN_FUSE, "fuse: horn", "fuse horn blown", "horn", ()).key
        'blown_fuse: fuse: horn'
        """
        return f"{self.cause}: {self.at}"


def suspects_of(scope: Scope, *, with_neighbours: bool = False) -> tuple[Suspect, ...]:
    """Every suspect of a scope.

    Parameters
    ----------
    scope : Scope
    with_neighbours : bool
        True where shorts between two wires are among them.

    Examples
    --------
    >>> from circuits.diagnosis.scope import scope_of
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.sheets import load_starter
    >>> suspects = suspects_of(scope_of(size_plan(load_starter("closed_car")), ["tail lamp left"]))
    >>> [one.words for one in suspects if one.cause is Cause.BAD_GROUND]
    ["bad ground or ground off: battery's ground strap", 'bad ground or ground off: boot ground']
    """
    found = [*_of_circuits(scope), *_of_switches(scope), *_of_grounds(scope), *_of_buses(scope), *_swapped(scope)]
    return (*found, *(_shorts_between(scope) if with_neighbours else ()))


def _of_circuits(scope: Scope) -> Iterator[Suspect]:
    for one in scope.built.plan.circuits:
        if one.circuit.name in scope.suspected:
            for wire in one.wires:
                yield from _of_wire(wire)
            yield from _of_devices(scope, one)


def _of_wire(sized: SizedWire) -> Iterator[Suspect]:
    wire = sized.wire
    where = f"wire {wire.name}, {wire.start.place} to {wire.end.place}"
    yield _suspect(Cause.OPEN_WIRE, wire.name, where, wire.circuit, [_open(wire.name)], "inspect wire")
    if wire.role is not Role.RETURN:
        short = Fault(FaultKind.SHORT_TO_GROUND, f"{wire.name} end", BODY)
        yield _suspect(Cause.SHORT_TO_GROUND, wire.name, where, wire.circuit, [(short,)], "inspect wire")
    for name, end in ((f"{wire.name} start", wire.start), (f"{wire.name} end", wire.end)):
        joint, words = f"joint at {name}", joint_words(wire.name, end)
        yield _suspect(Cause.BAD_JOINT, joint, words, wire.circuit, _worse(joint), end.lands)


def device_words(end: End) -> str:
    """The device a wire ends on, for people, with its place."""
    device = end.device.removeprefix("load: ")
    return device if end.place in device else f"{device} at {end.place}"


def joint_words(wire: str, end: End) -> str:
    """Where a wire ends, for people.

    Examples
    --------
    >>> joint_words("horn/1", End("grille", Lands.LOAD, "load: horn at grille"))
    'wire horn/1 on horn at grille'
    """
    at = f", cavity {end.cavity} of {end.connector}" if end.connector else ""
    device = device_words(end)
    terminal = f" terminal {end.terminal}" if end.terminal else ""
    return f"wire {wire} on {device}{terminal}{at}"


def _of_devices(scope: Scope, one: SizedCircuit) -> Iterator[Suspect]:
    circuit = one.circuit.name
    for fuse in (one.fuse, one.coil_fuse):
        if fuse is not None:
            name = f"fuse: {fuse.name}"
            yield _suspect(Cause.BLOWN_FUSE, name, f"{fuse.name}, {fuse.rating_a:g} A", circuit, [_open(name)], "fuse")
    for element in scope.built.branches.network.elements:
        if element.circuit != circuit:
            continue
        if isinstance(element, Switch):
            yield from _of_contact(element, element.name, element.start, element.end, "switch")
        elif isinstance(element, Relay) and element.part is Part.RELAY and element.name.startswith("relay"):
            yield from _of_contact(element, element.contact, element.start, element.end, "relay")
            yield _suspect(Cause.OPEN_COIL, element.coil, element.name, circuit, [_open(element.coil)], "relay")
    for load in scope.built.branches.network.loads:
        if load.circuit == circuit:
            yield _suspect(Cause.DEAD_LOAD, load.branch, load.words, circuit, [_open(load.branch)], "load")


def _of_contact(element: Switch | Relay, branch: str, start: str, end: str, lands: str) -> Iterator[Suspect]:
    yield _suspect(Cause.STUCK_OPEN, branch, element.name, element.circuit, [_open(branch)], lands)
    closed = Fault(FaultKind.SHORT_TO_NEIGHBOUR, start, end, max(element.ohm, 1e-3))
    yield _suspect(Cause.STUCK_CLOSED, branch, element.name, element.circuit, [(closed,)], lands)


def _of_switches(scope: Scope) -> Iterator[Suspect]:
    """Switches of several poles that fail whole, where one of the poles is of a suspected circuit."""
    poles: dict[str, list[Switch]] = {}
    for element in scope.built.branches.network.elements:
        if isinstance(element, Switch) and element.circuit:
            poles.setdefault(element.name.removesuffix(f" for {element.circuit}"), []).append(element)
    for device, several in poles.items():
        if len(several) > 1 and {pole.circuit for pole in several} & scope.suspected:
            whole = tuple(Fault(FaultKind.OPEN_WIRE, pole.name) for pole in several)
            yield _suspect(Cause.STUCK_OPEN, device, f"{device}, all its contacts", "", [whole], "switch")


def _of_grounds(scope: Scope) -> Iterator[Suspect]:
    """Ground points that the suspected circuits come back to, and the battery's own strap."""
    branches = scope.built.branches
    used = {
        node for load in branches.network.loads if load.circuit in scope.suspected for node in _reached(scope, load.end)
    } | {
        f"ground: {wire.wire.end.place}"
        for one in scope.built.plan.circuits
        if one.circuit.name in scope.suspected
        for wire in one.wires
        if wire.wire.end.lands is Lands.GROUND
    }
    for element in branches.network.elements:
        if element.part is Part.CHASSIS and (element.start in used or element.name == "ground strap"):
            words = element.start.removeprefix("ground: ") if element.start in used else "battery's ground strap"
            yield _suspect(Cause.BAD_GROUND, element.name, words, "", _worse(element.name), "ground point")


def _reached(scope: Scope, node: str) -> tuple[str, ...]:
    return (node,) if node.startswith("ground: ") else ()


def _of_buses(scope: Scope) -> Iterator[Suspect]:
    """Contacts of the key and of the lighting switch that feed the suspected circuits."""
    buses = {one.circuit.feed for one in scope.built.plan.circuits if one.circuit.name in scope.suspected}
    for element in scope.built.branches.network.elements:
        if isinstance(element, Switch) and element.name.removeprefix("contact of ") in buses and not element.circuit:
            yield from _of_contact(element, element.name, element.start, element.end, "switch")


def _swapped(scope: Scope) -> Iterator[Suspect]:
    """Two wires of one connector in each other's cavity, where at least one is of a circuit that misbehaves."""
    seated: dict[tuple[str, object], list[tuple[str, End, str]]] = {}
    for one in scope.built.plan.circuits:
        for sized in one.wires:
            wire = sized.wire
            for side, end in (("start", wire.start), ("end", wire.end)):
                if end.connector and end.cavity:
                    seat = (f"joint at {wire.name} {side}", end, wire.circuit)
                    seated.setdefault((end.connector, end.half), []).append(seat)
    pairs = [
        (there - here, one, other)
        for seats in seated.values()
        for here, one in enumerate(seats)
        for there, other in enumerate(seats[here + 1 :], here + 1)
        if {one[2], other[2]} & scope.seeds and one[2] != other[2]
    ]
    for _, (first, end, _), (second, other, _) in sorted(pairs, key=lambda pair: pair[0])[:MOST_SWAPS]:
        words = f"{end.connector}: {end.cavity} and {other.cavity}"
        swap = Fault(FaultKind.SWAPPED, first, second)
        yield _suspect(Cause.SWAPPED, f"{first}, {second}", words, "", [(swap,)], "connector")


def _shorts_between(scope: Scope) -> tuple[Suspect, ...]:
    """Shorts between a wire of a circuit that misbehaves and a wire of another beside it, longest together first."""
    wires = [
        sized.wire
        for one in scope.built.plan.circuits
        for sized in one.wires
        if sized.wire.role is not Role.RETURN and sized.wire.path.runs
    ]
    pairs = []
    for one in (wire for wire in wires if wire.circuit in scope.seeds):
        for other in wires:
            shared = set(one.path.runs) & set(other.path.runs)
            is_first = other.circuit not in scope.seeds or one.name < other.name
            if shared and other.circuit != one.circuit and is_first:
                pairs.append((-len(shared), one.name, other.name, one.circuit))
    found = []
    for _, first, second, circuit in sorted(pairs)[:MOST_SHORTS]:
        short = Fault(FaultKind.SHORT_TO_NEIGHBOUR, f"{first} end", f"{second} end")
        at = f"{first}, {second}"
        words = f"wires {first} and {second}"
        found.append(_suspect(Cause.SHORT_TO_NEIGHBOUR, at, words, circuit, [(short,)], "inspect wire"))
    return tuple(found)


def _suspect(cause: Cause, at: str, words: str, circuit: str, cases: list[tuple[Fault, ...]], lands: str) -> Suspect:
    return Suspect(cause, at, f"{kinds()[cause].words}: {words}", circuit, tuple(cases), str(lands))


def _open(branch: str) -> tuple[Fault, ...]:
    return (Fault(FaultKind.OPEN_WIRE, branch),)


def _worse(branch: str) -> list[tuple[Fault, ...]]:
    return [*((Fault(FaultKind.CORRODED_JOINT, branch, ohm=ohm),) for ohm in BAD_OHM), _open(branch)]
