"""Many networks of one shape solved side by side: nodes are taken out one by one, for all networks at once.

Taking a node out turns the star of conductances around it into a mesh between its neighbours, ``g_i·g_j/Σg``, and
shares what is put into it among them by ``g_i/Σg``. Nothing is ever subtracted, so no digit is lost however far apart
the conductances are; a conductance of zero is an open branch, and what nothing leads to gets exactly zero. The order
is found once for the shape (least degree first); each step is then a few operations on arrays with a column a network.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from circuits.network.branches import Bools
from circuits.network.laws import Floats

MOST_EARLY = 4
"""Neighbours that a node may have to be taken out before its turn: more would tie all of them to each other."""

TINY = 1e-300
"""Added to sums of conductances; one that is no more than this is of a node that nothing leads to [S]."""


@dataclass(frozen=True, eq=False)
class _Step:
    """One node taken out: rows of its edges, its neighbours, and for each edge but the last the rows it adds to."""

    node: int
    edges: slice
    neighbours: tuple[int, ...]
    fills: tuple[tuple[int, ...], ...]


class Shape:
    """A graph, and the order its nodes are taken out in.

    Parameters
    ----------
    nodes : int
    pairs : iterable of tuple of int
        Nodes that a branch may lie between; order and repeats do not matter.
    reference : int
        Stays to the last; at 0 V.
    late : array of bool
        Nodes that are taken out after all others: those on which something changes while one looks for a solution.

    Examples
    --------
    A node between 6 ohm to a post at 12 V behind 1 ohm, and 5 ohm to the reference, and the same with the latter open.

    >>> shape = Shape(3, [(0, 1), (1, 2), (0, 2)], 0, np.zeros(3, dtype=bool))
    >>> edge_s = shape.edges(2)
    >>> edge_s[shape.edge(1, 0)], edge_s[shape.edge(1, 2)], edge_s[shape.edge(2, 0)] = 1.0, 1 / 6, (0.2, 0.0)
    >>> put_a = np.array([[0.0, 0.0], [12.0, 12.0], [0.0, 0.0]])
    >>> shape.take_out(edge_s, put_a)
    >>> shape.give_back(edge_s, put_a)[1:].round(9).tolist()
    [[11.0, 12.0], [5.0, 12.0]]
    """

    def __init__(self, nodes: int, pairs: Iterable[tuple[int, int]], reference: int, late: Bools) -> None:
        self.nodes, self.reference = nodes, reference
        around: list[set[int]] = [set() for _ in range(nodes)]
        for one, other in pairs:
            if one != other:
                around[one].add(other)
                around[other].add(one)
        order, neighbours, self.early = _order(around, reference, late)
        self._row: dict[tuple[int, int], int] = {}
        for node, near in zip(order, neighbours, strict=True):
            for other in near:
                self._row[node, other] = self._row[other, node] = len(self._row) // 2
        self.size = len(self._row) // 2
        """Rows of edges."""
        self.steps = tuple(self._step(node, near) for node, near in zip(order, neighbours, strict=True))
        self.first_late = sum(len(near) for near in neighbours[: self.early])
        """Row of the first edge that belongs to a late node."""

    def _step(self, node: int, near: list[int]) -> _Step:
        rows = [self._row[node, other] for other in near]
        fills = tuple(
            tuple(self._row[one, other] for other in near[place + 1 :]) for place, one in enumerate(near[:-1])
        )
        edges = slice(rows[0], rows[-1] + 1) if rows else slice(0, 0)
        return _Step(node, edges, tuple(near), fills)

    def edge(self, one: int, other: int) -> int:
        """Row of the edge between two nodes; KeyError where there is none."""
        return self._row[one, other]

    def edges(self, columns: int) -> Floats:
        """Conductances to be filled in, a row an edge, a column a network: all zero [S]."""
        return np.zeros((self.size, columns))

    def take_out(self, edge_s: Floats, put_a: Floats | None, first: int = 0, last: int | None = None) -> None:
        """Take nodes out, in place: ``edge_s`` is left with their shares, ``put_a`` with what each adds to its voltage.

        Parameters
        ----------
        edge_s, put_a : array of float
            By edge and by node [S], [A]; ``put_a`` None where nothing is put into the nodes of these steps.
        first, last : int
            Steps from, and up to.
        """
        for step in self.steps[first:last]:
            own_s = edge_s[step.edges]
            total_s = own_s[0] + TINY if len(own_s) else np.full(edge_s.shape[1], TINY)
            for other_s in own_s[1:]:
                total_s += other_s
            per_s = 1.0 / total_s
            if total_s.min(initial=1.0) <= TINY:
                per_s[total_s <= TINY] = 0.0
            for place, rows in enumerate(step.fills):
                shared = own_s[place] * per_s
                for row, other_s in zip(rows, own_s[place + 1 :], strict=True):
                    edge_s[row] += shared * other_s
            own_s *= per_s
            if put_a is not None:
                node_a = put_a[step.node]
                for neighbour, share in zip(step.neighbours, own_s, strict=True):
                    put_a[neighbour] += share * node_a
                node_a *= per_s

    def give_back(self, edge_s: Floats, volt_v: Floats, first: int = 0, last: int | None = None) -> Floats:
        """Voltages of the nodes taken out, in place of what ``take_out`` left in ``put_a``, the last one first [V].

        Parameters
        ----------
        edge_s, volt_v : array of float
            As ``take_out`` left them.
        first, last : int
            The same steps.
        """
        volt_v[self.reference] = 0.0
        for step in reversed(self.steps[first:last]):
            node_v = volt_v[step.node]
            for neighbour, share in zip(step.neighbours, edge_s[step.edges], strict=True):
                if neighbour != self.reference:
                    node_v += share * volt_v[neighbour]
        return volt_v

    def joined(self, edge_s: Floats) -> Bools:
        """True for each node that something leads to from the reference, by the shares that all steps left."""
        reached = np.zeros((self.nodes, edge_s.shape[1]))
        reached[self.reference] = 1.0
        for step in reversed(self.steps):
            for neighbour, share in zip(step.neighbours, edge_s[step.edges], strict=True):
                reached[step.node] += share * reached[neighbour]
        joined: Bools = reached > 0.5  # a share of all ways: either all of them end at the reference, or none does
        return joined


def _order(around: list[set[int]], reference: int, late: Bools) -> tuple[list[int], list[list[int]], int]:
    """Nodes in the order they go, the neighbours each has by then, and how many go before the late ones."""
    left = set(range(len(around))) - {reference}
    order: list[int] = []
    neighbours: list[list[int]] = []
    early = -1
    while left:
        node = min(left, key=lambda one: (early < 0 and bool(late[one]), len(around[one]), one))
        if early < 0 and (late[node] or len(around[node]) > MOST_EARLY):
            early = len(order)
            continue
        left.remove(node)
        near = sorted(around[node])
        for one in near:
            around[one] |= around[node]
            around[one] -= {one, node}
        order.append(node)
        neighbours.append(near)
    return order, neighbours, len(order) if early < 0 else early
