"""Faults by name, what each does to the network, and what the vehicle then does: ranked by danger."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from circuits.findings import Finding
from circuits.network.behaviour import Behaviour, behave
from circuits.network.branches import Bools, Branches
from circuits.network.build import PlanNetwork
from circuits.network.elements import LEAST_OHM, Network, NetworkError, NodeKind, Part, Resistor
from circuits.network.laws import figure
from circuits.network.solve import solve


class FaultKind(StrEnum):
    """Kinds of fault."""

    LOST_GROUND = "lost ground"
    OPEN_WIRE = "open wire"
    BLOWN_FUSE = "blown fuse"
    SHORT_TO_GROUND = "short to ground"
    SHORT_TO_NEIGHBOUR = "short to a neighbour"
    CORRODED_JOINT = "corroded joint"
    REVERSED_BATTERY = "reversed battery"
    SWAPPED = "two cavities swapped"


OPENING = (FaultKind.LOST_GROUND, FaultKind.OPEN_WIRE, FaultKind.BLOWN_FUSE)
SHORTING = (FaultKind.SHORT_TO_GROUND, FaultKind.SHORT_TO_NEIGHBOUR)


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault.

    Parameters
    ----------
    kind : FaultKind
    at : str
        A branch; a node where something shorts there.
    other : str
        The node it shorts to, or the joint it is swapped with; else empty.
    ohm : float
        Resistance of a short, or added to a joint [ohm]; 0 = that of ``laws.csv``.
    """

    kind: FaultKind
    at: str
    other: str = ""
    ohm: float = 0.0

    @property
    def text(self) -> str:
        """For people.

        Examples
        --------
        >>> Fault(FaultKind.SHORT_TO_NEIGHBOUR, "horn/1 end", "tail/1 end").text
        'short to a neighbour: horn/1 end, tail/1 end'
        """
        return f"{self.kind}: {self.at}" + (f", {self.other}" if self.other else "")


@dataclass(frozen=True, eq=False)
class Faulted:
    """A network with faults in it, and the branches that do not conduct whatever the switches do."""

    branches: Branches
    broken: Bools


def single_faults(network: Network) -> Iterator[Fault]:
    """Every single fault of the kinds that need no second place.

    Parameters
    ----------
    network : Network
    """
    body = next((node.name for node in network.nodes if node.kind is NodeKind.BODY), network.reference)
    for element in network.elements:
        match element.part:
            case Part.CHASSIS:
                yield Fault(FaultKind.LOST_GROUND, element.name)
            case Part.FUSE:
                yield Fault(FaultKind.BLOWN_FUSE, element.name)
            case Part.JOINT:
                yield Fault(FaultKind.CORRODED_JOINT, element.name)
            case Part.WIRE:
                yield Fault(FaultKind.OPEN_WIRE, element.name)
                yield Fault(FaultKind.SHORT_TO_GROUND, element.end, body)
            case Part.BATTERY:
                yield Fault(FaultKind.REVERSED_BATTERY, element.name)
            case _:
                pass


def with_faults(branches: Branches, faults: Iterable[Fault]) -> Faulted:
    """The network with these faults in it; the network itself stays as it is.

    Parameters
    ----------
    branches : Branches
    faults : iterable of Fault

    Raises
    ------
    NetworkError
        If a fault names a branch or node that the network does not have.

    Examples
    --------
    >>> from circuits.network.branches import compile_branches
    >>> from circuits.network.elements import Node
    >>> loop = compile_branches(Network((Node("a"), Node("b")), (Resistor("wire", "a", "b", 1.0),), "a"))
    >>> with_faults(loop, [Fault(FaultKind.OPEN_WIRE, "wire")]).broken.tolist()
    [True]
    """
    start, end = branches.start.copy(), branches.end.copy()
    conductance_s, emf_v = branches.conductance_s.copy(), branches.emf_v.copy()
    broken = np.zeros(len(start), dtype=np.bool_)
    shorts: list[Resistor] = []
    for fault in faults:
        if fault.kind in SHORTING:
            ohm = max(fault.ohm or figure("short_ohm"), LEAST_OHM)
            ends = [_known(branches.node, node) for node in (fault.at, fault.other or branches.network.reference)]
            names = [branches.network.nodes[node].name for node in ends]
            shorts.append(Resistor(f"{fault.text} ({len(shorts) + 1})", names[0], names[1], ohm, Part.JOINT))
            continue
        row = _known(branches.row, fault.at)
        if fault.kind in OPENING:
            broken[row] = True
        elif fault.kind is FaultKind.CORRODED_JOINT:
            conductance_s[row] = 1.0 / (1.0 / conductance_s[row] + (fault.ohm or figure("corroded_ohm")))
        elif fault.kind is FaultKind.REVERSED_BATTERY:
            emf_v[row] = -emf_v[row]
        else:
            _swap(branches, start, end, row, _known(branches.row, fault.other))
    altered = replace(branches, start=start, end=end, conductance_s=conductance_s, emf_v=emf_v)
    return Faulted(*_joined(altered, broken, shorts))


def _known(index: Mapping[str, int], name: str) -> int:
    if name not in index:
        raise NetworkError(f"the network has nothing named {name}")
    return index[name]


def _swap(branches: Branches, start: np.ndarray, end: np.ndarray, one: int, other: int) -> None:
    """Let two joints change the devices they plug into, in place."""
    sides = [start if branches.names[row].endswith(" start") else end for row in (one, other)]
    sides[0][one], sides[1][other] = sides[1][other], sides[0][one]


def _joined(branches: Branches, broken: Bools, shorts: list[Resistor]) -> tuple[Branches, Bools]:
    """With resistances added at the end, where no row before them moves."""
    if not shorts:
        return branches, broken
    network = branches.network
    more = len(shorts)
    altered = replace(
        branches,
        network=replace(network, elements=(*network.elements, *shorts)),
        start=np.concatenate((branches.start, [branches.node[short.start] for short in shorts])),
        end=np.concatenate((branches.end, [branches.node[short.end] for short in shorts])),
        conductance_s=np.concatenate((branches.conductance_s, [1.0 / short.ohm for short in shorts])),
        emf_v=np.concatenate((branches.emf_v, np.zeros(more))),
        rating_a=np.concatenate((branches.rating_a, np.full(more, np.inf))),
    )
    return altered, np.concatenate((broken, np.zeros(more, dtype=np.bool_)))


DANGER: dict[str, int] = {
    "network-shorted": 100,
    "network-reversed": 90,
    "wire-overloaded": 80,
    "load-unintended": 40,
    "fuse-would-open": 35,
    "load-dead": 30,
    "relay-oscillates": 25,
    "back-feed": 20,
    "load-dim": 10,
}
"""Weight of what a fault does, fire first (our own order: common practice, no source)."""

SAFETY_WEIGHT = 30
"""Added where the circuit is one whose loss endangers people."""


@dataclass(frozen=True, eq=False)
class Consequence:
    """What a fault does in one state.

    Parameters
    ----------
    faults : tuple of Fault
    behaviour : Behaviour
    findings : tuple of Finding
        Those that the network without the fault does not have.
    danger : int
        The greatest weight among them; 0 where nothing changes.
    """

    faults: tuple[Fault, ...]
    behaviour: Behaviour
    findings: tuple[Finding, ...]
    danger: int


def what_if(
    built: PlanNetwork, positions: Mapping[str, str], cases: Iterable[tuple[Fault, ...]]
) -> tuple[Consequence, ...]:
    """What each case does, the most dangerous first. Each is solved anew, with lamps, relays and fuses.

    Parameters
    ----------
    built : PlanNetwork
    positions : mapping of str to str
    cases : iterable of tuple of Fault
        Faults present together, a tuple each.
    """
    compare = Comparison(built, positions)
    found = (compare.with_network(with_faults(built.branches, faults), tuple(faults)) for faults in cases)
    return tuple(sorted(found, key=lambda one: -one.danger))


class Comparison:
    """A vehicle in one state, to compare altered ones with.

    Parameters
    ----------
    built : PlanNetwork
    positions : mapping of str to str
    """

    def __init__(self, built: PlanNetwork, positions: Mapping[str, str]) -> None:
        self.built, self.positions = built, positions
        self._sound = {_what(found) for found in behave(built, positions).findings}
        self._safety = {one.circuit.name for one in built.plan.circuits if one.circuit.safety}

    def with_network(self, faulted: Faulted, faults: tuple[Fault, ...] = ()) -> Consequence:
        """What an altered network does that the sound one does not.

        Parameters
        ----------
        faulted : Faulted
        faults : tuple of Fault
            By which it was altered, where that has names.
        """
        solution = solve(faulted.branches, self.positions, broken=faulted.broken)
        behaviour = behave(self.built, self.positions, solution)
        new = tuple(found for found in behaviour.findings if _what(found) not in self._sound)
        danger = max((_danger(found, self._safety) for found in new), default=0)
        return Consequence(faults, behaviour, new, danger)


def _what(found: Finding) -> tuple[str, str]:
    """What a finding is about, whatever its figure."""
    return found.code, found.wire or found.message.partition(":")[0]


def _danger(found: Finding, safety: set[str]) -> int:
    return DANGER.get(found.code, 0) + (SAFETY_WEIGHT if found.circuit in safety else 0)
