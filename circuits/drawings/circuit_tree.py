"""A circuit as a tree of things that wires join, from the supply to the ground points, each with its column and row."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace

from circuits.sized import SizedCircuit, SizedWire
from circuits.wiring import End, Lands

_COIL_TERMINALS = ("85", "86")
_ENDS_HERE = (Lands.GROUND, Lands.SUPPLY)


@dataclass(frozen=True, slots=True)
class Node:
    """One thing in the picture.

    Parameters
    ----------
    key : str
        Unique in the picture.
    symbol : str
        Name that ``symbols.symbol`` knows.
    words : tuple of str
        What stands beneath it.
    column, row : int
    """

    key: str
    symbol: str
    words: tuple[str, ...]
    column: int = 0
    row: int = 0


@dataclass(frozen=True, slots=True)
class Joint:
    """A wire between two nodes; ``wire`` is None between the supply and its fuse."""

    start: str
    end: str
    wire: SizedWire | None


@dataclass(frozen=True, slots=True)
class CircuitTree:
    """Nodes in reading order, joints in the order of the wires."""

    nodes: tuple[Node, ...]
    joints: tuple[Joint, ...]

    def node(self, key: str) -> Node:
        """The node of that key; KeyError if there is none."""
        for node in self.nodes:
            if node.key == key:
                return node
        raise KeyError(key)

    def relays(self) -> tuple[tuple[Node, Node], ...]:
        """Contact and coil of each relay."""
        by_key = {node.key: node for node in self.nodes}
        return tuple(
            (node, by_key[key])
            for node in self.nodes
            if node.symbol == "relay contact" and (key := node.key.replace("contact of", "coil of")) in by_key
        )


def circuit_tree(sized: SizedCircuit) -> CircuitTree:
    """The tree of a circuit; empty where it has no wires.

    Parameters
    ----------
    sized : SizedCircuit

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.sheets.starters import load_starter
    >>> tree = circuit_tree(size_plan(load_starter("pickup")).circuits[0])
    >>> tree.nodes[0].symbol, tree.nodes[0].column, tree.nodes[0].row
    ('supply', 0, 0)
    """
    nodes: dict[str, Node] = {}
    joints: list[Joint] = []
    for wire in sized.wires:
        start, end = _key(wire.wire.start), _key(wire.wire.end)
        if start not in nodes:
            nodes[start] = _node(start, wire.wire.start, sized)
            joints += _supply(start, wire.wire.start, sized, nodes)
        if end in nodes or wire.wire.end.lands in _ENDS_HERE:
            end = f"{end} ({wire.wire.name})"  # each return has a ground symbol of its own
        nodes[end] = _node(end, wire.wire.end, sized)
        joints.append(Joint(start, end, wire))
    return _placed(nodes, tuple(joints))


def _key(end: End) -> str:
    if end.lands is Lands.RELAY:
        return f"{'coil' if end.terminal in _COIL_TERMINALS else 'contact'} of {end.device}"
    return end.device


def _supply(start: str, end: End, sized: SizedCircuit, nodes: dict[str, Node]) -> list[Joint]:
    """A fuse hangs on the supply that feeds the circuit."""
    if end.lands is not Lands.FUSE:
        return []
    key = f"supply of {start}"
    nodes[key] = Node(key, "supply", (sized.circuit.feed,))
    return [Joint(key, start, None)]


def _node(key: str, end: End, sized: SizedCircuit) -> Node:
    circuit = sized.circuit
    match end.lands:
        case Lands.FUSE:
            is_coil = sized.coil_fuse is not None and end.device.endswith(sized.coil_fuse.name)
            fuse = sized.coil_fuse if is_coil else sized.fuse
            rating = (f"{fuse.rating_a:g} A {fuse.family}",) if fuse else ("not chosen",)
            return Node(key, "fuse", (*rating, end.place))
        case Lands.SWITCH:
            return Node(key, "switch", (circuit.switch or "switch", end.place))
        case Lands.RELAY:
            is_coil = end.terminal in _COIL_TERMINALS
            name, terminals = ("relay coil", "86, 85") if is_coil else ("relay contact", "30, 87")
            return Node(key, name, (f"{'coil' if is_coil else 'relay'} {terminals}", end.place))
        case Lands.SPLICE:
            return Node(key, "splice", ("splice", end.place))
        case Lands.CONNECTOR:
            return Node(key, "connector", (end.seat, end.place))
        case Lands.GROUND:
            return Node(key, "ground", (end.place,))
        case Lands.SUPPLY:
            is_start = not key.endswith(")")
            return Node(
                key, "supply" if is_start else "feeder", (circuit.feed if is_start else circuit.name, end.place)
            )
        case _:
            return Node(key, circuit.kind.value, (circuit.load, end.place))


def _placed(nodes: dict[str, Node], joints: tuple[Joint, ...]) -> CircuitTree:
    after: dict[str, list[str]] = defaultdict(list)
    for joint in joints:
        after[joint.start].append(joint.end)
    roots = [key for key in nodes if key not in {joint.end for joint in joints}]
    columns = _columns(nodes, after, roots)
    rows: dict[str, int] = {}
    free = 0
    for root in roots:
        free = _rows(root, free, after, rows)
    placed = [replace(node, column=columns[key], row=rows[key]) for key, node in nodes.items()]
    return CircuitTree(tuple(sorted(placed, key=lambda node: (node.row, node.column))), joints)


def _columns(nodes: dict[str, Node], after: dict[str, list[str]], roots: list[str]) -> dict[str, int]:
    """Steps from the supply; the contact of a relay stands above its coil."""
    least: dict[str, int] = {}
    for _ in range(2):  # the second time with contact and coil level
        columns: dict[str, int] = {}
        waiting = [(root, 0) for root in roots]
        while waiting:
            key, column = waiting.pop()
            columns[key] = max(column, least.get(key, 0))
            waiting += [(child, columns[key] + 1) for child in after[key]]
        for key in nodes:
            if key.startswith("contact of"):
                coil = key.replace("contact of", "coil of")
                least[key] = least[coil] = max(columns[key], columns.get(coil, 0))
    return columns


def _rows(key: str, row: int, after: dict[str, list[str]], rows: dict[str, int]) -> int:
    """The first branch goes straight on, each further one takes the next free row. Returns the row then free."""
    rows[key] = row
    free = row + 1
    for index, child in enumerate(after[key]):
        free = max(free, _rows(child, row if index == 0 else free, after, rows))
    return free
