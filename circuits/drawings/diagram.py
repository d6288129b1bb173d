"""A circuit as a diagram: supply, fuse, switch, relay, loads, ground from left to right, wires in their colours."""

from __future__ import annotations

from circuits.drawings.circuit_tree import CircuitTree, Joint, Node, circuit_tree
from circuits.drawings.lettering import fitted, wrapped
from circuits.drawings.shapes import Anchor, Drawing, Ink, Line, Pen, Shape, Text, moved
from circuits.drawings.strokes import cable
from circuits.drawings.symbols import MIDDLE, SYMBOL_HEIGHT, SYMBOL_WIDTH, symbol
from circuits.sized import SizedCircuit

_MARGIN = 46.0
_COLUMN = 154.0
_SUPPLY_COLUMN = 100.0
_ROW = 104.0
_TOP = 42.0
_FOOT = 8.0
_WORDS_WIDTH = 124.0
_SIZE = 11.0
_LEADING = 13.0
_BEND = 10.0
_MOST_LINES = 4
_INK = Pen(stroke=Ink.NONE, fill=Ink.INK)
_QUIET = Pen(stroke=Ink.NONE, fill=Ink.SECOND)
_DASH = Pen(stroke=Ink.SECOND, width=1.0, dash=(3.0, 3.0))


def circuit_diagram(sized: SizedCircuit) -> Drawing:
    """The diagram of a sized circuit.

    Parameters
    ----------
    sized : SizedCircuit
        One without wires (removed, capped off, or without a path) gives a sheet that says so.

    Returns
    -------
    Drawing
        Its description tells the same in words.

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.sheets.starters import load_starter
    >>> circuit_diagram(size_plan(load_starter("pickup")).circuits[0]).title.startswith("Diagram of ")
    True
    """
    name = sized.circuit.name
    tree = circuit_tree(sized)
    if not tree.nodes:
        words = Text(_MARGIN, 30.0, "No wires are drawn for this circuit.", 13.0, pen=_QUIET)
        return Drawing(360.0, 52.0, (words,), f"Diagram of {name}", "No wires.")
    layout = _Layout(tree)
    shapes = [shape for joint in tree.joints for shape in _joint(joint, layout)]
    shapes += [shape for contact, coil in tree.relays() for shape in _link(contact, coil, layout)]
    shapes += [shape for node in tree.nodes for shape in _node(node, layout)]
    width = layout.x(max(node.column for node in tree.nodes)) + SYMBOL_WIDTH + _MARGIN
    height = max(shape.box.bottom for shape in shapes) + _FOOT
    return Drawing(width, height, tuple(shapes), f"Diagram of {name}", _told(tree))


class _Layout:
    """Where columns stand, and on which side of a symbol its words have room."""

    def __init__(self, tree: CircuitTree) -> None:
        self.tree = tree
        self._nodes = {node.key: node for node in tree.nodes}
        from_supply = [joint for joint in tree.joints if self._nodes[joint.start].column == 0]
        # The supply stands closer to its fuse, as no wire of ours is between them.
        self._first = _SUPPLY_COLUMN if all(joint.wire is None for joint in from_supply) else _COLUMN
        self._coupled = {contact.key for contact, _ in tree.relays()}
        self._branching = {j.start for j in tree.joints if self._nodes[j.start].row != self._nodes[j.end].row}

    def node(self, key: str) -> Node:
        return self._nodes[key]

    def x(self, column: int) -> float:
        """Left end of the symbols of a column."""
        return _MARGIN + (0.0 if column == 0 else self._first + (column - 1) * _COLUMN)

    def words_at(self, node: Node) -> tuple[float, Anchor]:
        """Beside the dashes that tie a contact to its coil, left of a branch that goes down, else under the symbol."""
        x = self.x(node.column)
        if node.key in self._coupled:
            return x + SYMBOL_WIDTH / 2 + 4.0, Anchor.START
        if node.key in self._branching:
            return x + SYMBOL_WIDTH, Anchor.END
        return x + SYMBOL_WIDTH / 2, Anchor.MIDDLE

    def words_room(self, node: Node) -> float:
        """Room for its words; beside its right end where the next column keeps its own words back."""
        narrow = node.key in self._branching and node.column == 1 and self._first == _SUPPLY_COLUMN
        return _SUPPLY_COLUMN - 24.0 if narrow or node.column == 0 else _WORDS_WIDTH


def _y(row: int) -> float:
    """Level of the wires of a row."""
    return _TOP + row * _ROW + MIDDLE


def _node(node: Node, layout: _Layout) -> list[Shape]:
    y = _y(node.row)
    shapes: list[Shape] = list(moved(symbol(node.symbol).shapes, layout.x(node.column), y - MIDDLE))
    at, anchor = layout.words_at(node)
    lines = [line for words in node.words for line in wrapped(words, _SIZE, layout.words_room(node))][:_MOST_LINES]
    for index, line in enumerate(lines):
        pen = _INK if index == 0 else _QUIET
        shapes.append(Text(at, y + SYMBOL_HEIGHT / 2 + 12.0 + index * _LEADING, line, _SIZE, anchor, pen))
    return shapes


def _joint(joint: Joint, layout: _Layout) -> list[Shape]:
    start, end = layout.node(joint.start), layout.node(joint.end)
    x1, y1, x2, y2 = layout.x(start.column) + SYMBOL_WIDTH, _y(start.row), layout.x(end.column), _y(end.row)
    wire = joint.wire
    if wire is None:
        return [Line(x1, y1, x2, y2)]
    is_straight = y1 == y2
    bent = ((x1, y1), (x1 + _BEND, y1), (x1 + _BEND, y2), (x2, y2))
    left = x1 if is_straight else x1 + _BEND + 4.0
    middle, room = (left + x2) / 2, x2 - left
    label = fitted(f"{wire.conductor.label} {wire.wire.colour}".strip(), _SIZE, room)
    return [
        *cable(wire.wire.colour, ((x1, y1), (x2, y2)) if is_straight else bent),
        Text(middle, y2 - 8.0 - _LEADING, label, _SIZE, Anchor.MIDDLE),
        Text(middle, y2 - 8.0, f"{wire.wire.length_m:.2f} m", _SIZE, Anchor.MIDDLE, _QUIET),
    ]


def _link(contact: Node, coil: Node, layout: _Layout) -> list[Shape]:
    x = layout.x(contact.column) + SYMBOL_WIDTH / 2
    return [Line(x, _y(contact.row) - 4.0, x, _y(coil.row) - 9.0, _DASH)]


def _told(tree: CircuitTree) -> str:
    """Every wire in words: the diagram for those who cannot see it."""
    lines = []
    for joint in tree.joints:
        start, end = ", ".join(tree.node(joint.start).words), ", ".join(tree.node(joint.end).words)
        wire = joint.wire
        by = f" by {wire.conductor.label} {wire.wire.colour}, {wire.wire.length_m:.2f} m" if wire else ""
        lines.append(f"{tree.node(joint.start).symbol} ({start}) to {tree.node(joint.end).symbol} ({end}){by}.")
    return " ".join(lines)
