"""Connectors of a plan: which bodies belong together, where they are, and which cavities a circuit has in them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from circuits.fittings import Cavity, Connector, Half, Holds
from circuits.plan import Plan
from circuits.wiring import Lands, Role, Wire


@dataclass(frozen=True, slots=True)
class Slot:
    """Where one conductor passes a junction: the label of its cavity in each half, equal unless the halves differ."""

    holds: Holds
    labels: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Junction:
    """Bodies that mate: both halves of a pair, or the one that is written down.

    A pair in the loom of which one half is written down stands for both: mating cavities bear the same label.

    Parameters
    ----------
    halves : tuple of Connector
        One or two; of a pair in the loom the half towards the supply first. Contacts that stay live are sockets, so
        that a finger does not reach them (common practice, no source): of pin and socket the socket half comes first,
        else the one that comes first in the plan. On a device the half that comes first in the plan is the loom's.
    """

    halves: tuple[Connector, ...]

    @property
    def name(self) -> str:
        """Names of its halves: ``C1 to C2``."""
        return " to ".join(half.name for half in self.halves)

    @property
    def place(self) -> str:
        """Where it is."""
        return self.halves[0].place

    @property
    def sides(self) -> tuple[tuple[Connector, Half], tuple[Connector, Half]]:
        """Of a pair in the loom the body and half towards the supply, and those on the other side."""
        if len(self.halves) == 2:
            first, last = self.halves
            return (first, first.half), (last, last.half)
        return (self.halves[0], Half.SOCKET), (self.halves[0], Half.PIN)

    @property
    def in_loom(self) -> bool:
        """True where wires are cut at it."""
        return any(half.in_loom for half in self.halves)


class Fittings:
    """The connectors of a plan, looked up by place and by circuit.

    Parameters
    ----------
    plan : Plan

    Examples
    --------
    >>> from circuits.plan import Run, Vehicle
    >>> bodies = (Connector("C1", "nose", mates_with="C2", half=Half.PIN, in_loom=True), Connector("C2", "nose"))
    >>> cavities = (Cavity("C1", "4", "horn"), Cavity("C2", "4", "horn"))
    >>> fittings = Fittings(Plan(Vehicle(), (), (Run("panel", "nose", 1.0),), (), bodies, cavities))
    >>> [junction] = fittings.junctions
    >>> junction.name, junction.in_loom, fittings.slots(junction, "horn")[0].labels
    ('C2 to C1', True, ('4', '4'))
    """

    def __init__(self, plan: Plan) -> None:
        self.by_name: Mapping[str, Connector] = {connector.name: connector for connector in plan.connectors}
        self.cavities: Mapping[str, tuple[Cavity, ...]] = _cavities(plan)
        self.junctions: tuple[Junction, ...] = _junctions(plan, self.by_name)
        self.junction_of: Mapping[str, Junction] = {half.name: j for j in self.junctions for half in j.halves}
        self.safety = frozenset(circuit.name for circuit in plan.circuits if circuit.safety)
        self._here: defaultdict[tuple[str, bool, str], list[Junction]] = defaultdict(list)
        for junction in self.junctions:
            for circuit in self.circuits_of(junction):
                self._here[junction.place, junction.in_loom, circuit].append(junction)

    def __bool__(self) -> bool:
        """True where the plan has any connector."""
        return bool(self.by_name)

    def circuits_of(self, junction: Junction) -> tuple[str, ...]:
        """Circuits that the cavities of a junction name, once each."""
        listed = (cavity for half in junction.halves for cavity in self.cavities.get(half.name, ()))
        return tuple(dict.fromkeys(cavity.circuit for cavity in listed if cavity.circuit))

    def in_loom(self, place: str, circuit: str) -> list[Junction]:
        """Pairs in the loom at a place that list the circuit, in plan order."""
        return self._here.get((place, True, circuit), [])

    def on_devices(self, place: str, circuit: str) -> list[Junction]:
        """Bodies on devices at a place that list the circuit, in plan order."""
        return self._here.get((place, False, circuit), [])

    def slots(self, junction: Junction, circuit: str) -> tuple[Slot, ...]:
        """Where the conductors of a circuit pass a junction; a half that does not list one has it at the same label."""
        found = []
        for holds in Holds:
            listed = [
                [c.label for c in self.cavities.get(half.name, ()) if c.circuit == circuit and c.holds is holds]
                for half in junction.halves
            ]
            for number in range(max(map(len, listed), default=0)):
                labels = [labels[number] if number < len(labels) else "" for labels in listed]
                known = next(filter(None, labels))
                found.append(Slot(holds, tuple(label or known for label in labels)))
        return tuple(found)


def passed_places(wire: Wire) -> list[int]:
    """Indices in a wire's path of the places that it passes, as a pair in the loom could cut it there.

    A splice at the place of a pair lies behind it, away from the supply: the wire passes the pair on its way to it.
    """
    last = len(wire.path.places) - 1
    passed = list(range(1, last))
    if last and wire.role is not Role.RETURN and wire.end.lands is Lands.SPLICE:
        passed.append(last)
    if last and wire.role is Role.RETURN and wire.start.lands is Lands.SPLICE:
        passed.insert(0, 0)
    return passed


def _cavities(plan: Plan) -> dict[str, tuple[Cavity, ...]]:
    found: defaultdict[str, list[Cavity]] = defaultdict(list)
    for cavity in plan.cavities:
        found[cavity.connector].append(cavity)
    return {name: tuple(cavities) for name, cavities in found.items()}


def _junctions(plan: Plan, by_name: Mapping[str, Connector]) -> tuple[Junction, ...]:
    """In plan order. A body that two others name as their mate goes with the first of them."""
    mate: dict[str, str] = {}
    for connector in plan.connectors:
        other = by_name.get(connector.mates_with)
        if other is None or other.name == connector.name or {connector.name, other.name} & mate.keys():
            continue
        if other.place == connector.place:
            mate[connector.name], mate[other.name] = other.name, connector.name
    made: dict[str, Junction] = {}
    for connector in plan.connectors:
        if connector.name not in made:
            pair: tuple[Connector, ...] = (connector,)
            if connector.name in mate:
                pair = (connector, by_name[mate[connector.name]])
            if any(half.in_loom for half in pair):
                pair = tuple(sorted(pair, key=lambda half: half.half is not Half.SOCKET))
            for half in pair:
                made[half.name] = Junction(pair)
    return tuple(dict.fromkeys(made.values()))
