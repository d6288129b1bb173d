"""Bridges of a graph: chains whose opening cuts a part of the network off. Found by the graph, never by numbers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from circuits.network.branches import Bools, Ints


@dataclass(frozen=True, eq=False)
class Bridges:
    """Bridges of a multigraph, seen from its roots.

    Parameters
    ----------
    is_bridge : array of bool
        Of each edge.
    far : array of int
        Of each bridge the node on the side away from the root; of other edges -1.
    entered, left : array of int
        Clock of each node at which the search came to it and left it: what lies beyond a bridge are the nodes
        entered between these two of its far node.
    """

    is_bridge: Bools
    far: Ints
    entered: Ints
    left: Ints

    def beyond(self, edge: int) -> Bools:
        """True for each node that opening a bridge cuts off from its root."""
        far = self.far[edge]
        cut_off: Bools = (self.entered >= self.entered[far]) & (self.entered < self.left[far])
        return cut_off


def bridges_of(nodes: int, first: Ints, last: Ints, roots: list[int]) -> Bridges:
    """Bridges by one search in depth (Tarjan 1974: an edge is a bridge if nothing below it reaches above it).

    Parameters
    ----------
    nodes : int
    first, last : array of int
        Of each edge.
    roots : list of int
        The reference first, then one of each other island.

    Examples
    --------
    >>> found = bridges_of(4, np.array([0, 1, 0, 2]), np.array([1, 2, 2, 3]), [0])
    >>> found.is_bridge.tolist(), found.beyond(3).tolist()
    ([False, False, False, True], [False, False, False, True])
    """
    around: list[list[tuple[int, int]]] = [[] for _ in range(nodes)]
    for edge, (one, other) in enumerate(zip(first.tolist(), last.tolist(), strict=True)):
        if one != other:
            around[one].append((other, edge))
            around[other].append((one, edge))
    entered, left, lowest = [-1] * nodes, [0] * nodes, [0] * nodes
    is_bridge, far = np.zeros(len(first), dtype=np.bool_), np.full(len(first), -1, dtype=np.int64)
    clock = 0
    for root in roots:
        if entered[root] >= 0:
            continue
        entered[root] = lowest[root] = clock
        clock += 1
        stack = [(root, -1, iter(around[root]))]
        while stack:
            node, came_by, onward = stack[-1]
            for neighbour, edge in onward:
                if edge == came_by:
                    continue
                if entered[neighbour] >= 0:
                    lowest[node] = min(lowest[node], entered[neighbour])
                    continue
                entered[neighbour] = lowest[neighbour] = clock
                clock += 1
                stack.append((neighbour, edge, iter(around[neighbour])))
                break
            else:
                stack.pop()
                left[node] = clock
                if stack:
                    above = stack[-1][0]
                    lowest[above] = min(lowest[above], lowest[node])
                    if lowest[node] > entered[above]:
                        is_bridge[came_by], far[came_by] = True, node
    return Bridges(is_bridge, far, np.array(entered, dtype=np.int64), np.array(left, dtype=np.int64))
