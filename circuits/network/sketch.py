"""A network being put together: nodes enter as elements name them."""

from __future__ import annotations

from collections.abc import Iterable

from circuits.network.elements import Element, Load, Network, Node, NodeKind, ends


class Sketch:
    """Collects nodes, elements and loads, then freezes them."""

    def __init__(self) -> None:
        self._nodes: dict[str, Node] = {}
        self._elements: list[Element] = []
        self._loads: list[Load] = []

    def node(self, name: str, kind: NodeKind = NodeKind.TERMINAL, place: str = "") -> str:
        """Enter a node unless it is there, and answer its name."""
        self._nodes.setdefault(name, Node(name, kind, place))
        return name

    def has(self, name: str) -> bool:
        """True where the node is there."""
        return name in self._nodes

    def add(self, *elements: Element) -> None:
        """Enter elements; nodes that nobody described are terminals."""
        for element in elements:
            for name in ends(element):
                self.node(name)
            self._elements.append(element)

    def add_loads(self, loads: Iterable[Load]) -> None:
        """Enter loads."""
        self._loads += loads

    def network(self, reference: str) -> Network:
        """The network as collected; voltages count from ``reference``."""
        return Network(tuple(self._nodes.values()), tuple(self._elements), reference, tuple(self._loads))
