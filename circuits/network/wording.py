"""Switch states and faults as people write them, on the command line and in addresses of pages."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

from circuits.network.build import PlanNetwork
from circuits.network.elements import Network, NetworkError, NodeKind, Part
from circuits.network.faults import SHORTING, Fault, FaultKind
from circuits.network.states import State, functions_of, sensible_states
from circuits.network.supply import ENGINE, KEY, LIGHTING

OFF = "off"


def switches(built: PlanNetwork) -> dict[str, tuple[str, ...]]:
    """Every function of a vehicle with its positions but off: key, lighting, engine first, then in plan order.

    Parameters
    ----------
    built : PlanNetwork
    """
    circuits = tuple(one.circuit for one in built.plan.circuits if one.wires)
    feeds = {circuit.feed for circuit in circuits}
    key = ("accessory", "run", "start") if "accessory" in feeds else ("run", "start")
    found: dict[str, tuple[str, ...]] = {KEY: key, LIGHTING: ("on",), ENGINE: ("running",)}
    for function, positions in functions_of(circuits).items():
        found[function] = tuple(dict.fromkeys((*found.get(function, ()), *positions)))
    return found


def read_positions(texts: Iterable[str], built: PlanNetwork) -> dict[str, str]:
    """Positions by function, from texts such as ``horn=on``; ``off`` and nothing are the same.

    Parameters
    ----------
    texts : iterable of str
    built : PlanNetwork

    Raises
    ------
    NetworkError
        For a function or position that the vehicle does not have.

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.network.build import build_network
    >>> from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("grille",), Kind.COIL, load_a=5.0,
    ...                switch_at="panel", switch="horn")
    >>> built = build_network(size_plan(Plan(Vehicle(), (), (Run("panel", "grille", 2.0),), (horn,))))
    >>> read_positions(["horn=on", "ignition=off"], built)
    {'horn': 'on'}
    >>> read_positions(["horn=loud"], built)
    Traceback (most recent call last):
    ...
    circuits.network.elements.NetworkError: horn: found 'loud', expected off, on
    """
    known = switches(built)
    found: dict[str, str] = {}
    for text in filter(None, (text.strip() for text in texts)):
        function, _, position = (part.strip() for part in text.rpartition("="))
        if function not in known:
            raise NetworkError(f"switch {text!r}: expected FUNCTION=POSITION with one of {_some(known, function)}")
        if position and position != OFF:
            if position not in known[function]:
                raise NetworkError(f"{function}: found {position!r}, expected {', '.join((OFF, *known[function]))}")
            found[function] = position
    return found


def read_state(text: str, built: PlanNetwork) -> State:
    """A state by the name it has among the sensible ones, or as ``FUNCTION=POSITION, ...``.

    Parameters
    ----------
    text : str
    built : PlanNetwork

    Raises
    ------
    NetworkError
        For a name that no state has.
    """
    named = {state.name: state for state in sensible_states(built.plan)}
    if text in named:
        return named[text]
    if "=" in text:
        return State(text, read_positions(text.split(","), built))
    raise NetworkError(f"state {text!r}: expected FUNCTION=POSITION, ..., or one of {_some(named, text)}")


def read_fault(text: str, built: PlanNetwork) -> Fault:
    """A fault from ``KIND: WHERE`` or, for a short to a neighbour and swapped cavities, ``KIND: WHERE & OTHER``.

    Parameters
    ----------
    text : str
    built : PlanNetwork

    Raises
    ------
    NetworkError
        For a kind that is none, or a place that the network does not have.
    """
    kind_text, _, where = (part.strip() for part in text.partition(":"))
    kinds = {kind.value: kind for kind in FaultKind}
    if kind_text not in kinds:
        raise NetworkError(f"fault {text!r}: expected KIND: WHERE with one of {', '.join(kinds)}")
    kind, network = kinds[kind_text], built.branches.network
    at, _, other = (part.strip() for part in where.partition(" & "))
    if kind is FaultKind.REVERSED_BATTERY:
        at = at or "battery"
    index = places_of(kind, network)
    if kind is FaultKind.BLOWN_FUSE and at not in index:
        at = f"fuse: {at}"
    if kind is FaultKind.LOST_GROUND and at not in index:
        at = next((name for name in (f"ground: {at} to body", f"ground: {at} on the post") if name in index), at)
    for name in filter(None, (at, other)) if at else [at]:
        if name not in index:
            raise NetworkError(f"{kind}: found {name!r}, expected one of {_some(index, name)}")
    if kind is FaultKind.SHORT_TO_GROUND:
        other = _body(network)
    if kind in (FaultKind.SHORT_TO_NEIGHBOUR, FaultKind.SWAPPED) and not other:
        raise NetworkError(f"{kind}: found {where!r}, expected two places: WHERE & OTHER")
    return Fault(kind, at, other)


_PARTS = {
    FaultKind.LOST_GROUND: Part.CHASSIS,
    FaultKind.OPEN_WIRE: Part.WIRE,
    FaultKind.BLOWN_FUSE: Part.FUSE,
    FaultKind.CORRODED_JOINT: Part.JOINT,
    FaultKind.SWAPPED: Part.JOINT,
    FaultKind.REVERSED_BATTERY: Part.BATTERY,
}


def places_of(kind: FaultKind, network: Network) -> dict[str, None]:
    """Where a fault of that kind can be, in the order of the network.

    Parameters
    ----------
    kind : FaultKind
    network : Network
    """
    if kind in SHORTING:
        return dict.fromkeys(node.name for node in network.nodes)
    part = _PARTS[kind]
    return dict.fromkeys(element.name for element in network.elements if element.part is part)


def fault_text(fault: Fault) -> str:
    """A fault as ``read_fault`` reads it.

    Examples
    --------
    >>> fault_text(Fault(FaultKind.SWAPPED, "a start", "b start"))
    'two cavities swapped: a start & b start'
    """
    two = fault.other if fault.kind in (FaultKind.SHORT_TO_NEIGHBOUR, FaultKind.SWAPPED) else ""
    return f"{fault.kind}: {fault.at}" + (f" & {two}" if two else "")


def _body(network: Network) -> str:
    return next((node.name for node in network.nodes if node.kind is NodeKind.BODY), network.reference)


def _some(known: Iterable[str], near: str) -> str:
    """Names next to what was typed, else the first ones."""
    names = list(known)
    shown = get_close_matches(near, names, n=5, cutoff=0.4) or names[:8]
    return ", ".join(repr(name) for name in shown) + (" ..." if len(names) > len(shown) else "")
