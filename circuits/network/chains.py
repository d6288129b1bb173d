"""A linear network reduced to its forks: every chain of branches in series becomes one branch between two forks.

Exact, and worth more than speed. A joint of 50 microohm in the way of a lamp carries one part in forty thousand of
its loop's resistance, so that opening it by an update of a factorisation cancels all but a few digits; opening the
chain it is part of cancels none.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from circuits.network.branches import Ints
from circuits.network.laws import Floats
from circuits.network.linear import Factored, Islands, islands_of


@dataclass(frozen=True, eq=False)
class LinearNet:
    """A network of resistances and forces. Every branch conducts.

    Parameters
    ----------
    nodes, reference : int
        How many nodes; the one voltages count from.
    start, end : array of int
    conductance_s : array of float
        Above 0 [S].
    emf_v : array of float
        Driving current from start to end [V].
    """

    nodes: int
    reference: int
    start: Ints
    end: Ints
    conductance_s: Floats
    emf_v: Floats

    @cached_property
    def islands(self) -> Islands:
        """Islands of its graph."""
        return islands_of(self.nodes, self.start, self.end, self.reference)

    def factored(self) -> Factored:
        """A fresh factorisation."""
        return Factored(self.islands, self.start, self.end, self.conductance_s)


@dataclass(frozen=True, eq=False)
class Chains:
    """A network as forks and chains.

    Parameters
    ----------
    forks : array of int
        Nodes that are kept: where other than two branches meet, and one of each island.
    first, last : array of int
        Fork, by its place among ``forks``, that each chain starts and ends at.
    ohm, emf_v : array of float
        Of each chain [ohm], [V].
    chain, sign : array of int
        Of each branch: its chain, and 1 where both run the same way, else -1.
    position : array of int
        Of each branch within its chain, from 0.
    members : tuple of array of int
        Inner nodes of each chain in order.
    from_ohm, to_ohm, from_v : array of float
        Of each node: resistance to the first and the last fork of its chain, force from the first fork to it.
    node_chain : array of int
        Of each node; -1 for a fork.
    """

    forks: Ints
    first: Ints
    last: Ints
    ohm: Floats
    emf_v: Floats
    chain: Ints
    sign: Ints
    position: Ints
    members: tuple[Ints, ...]
    from_ohm: Floats
    to_ohm: Floats
    from_v: Floats
    node_chain: Ints


def reduce_to_chains(net: LinearNet, kept: Ints | None = None) -> Chains:
    """Reduce a network.

    Parameters
    ----------
    net : LinearNet
    kept : array of int, optional
        Nodes that are forks whatever meets there.

    Examples
    --------
    Two resistances in series beside a third: one chain of two, one of one.

    >>> start, end = np.array([0, 1, 0]), np.array([1, 2, 2])
    >>> spur = LinearNet(4, 0, np.array([0, 1, 0, 2]), np.array([1, 2, 2, 3]), np.ones(4), np.zeros(4))
    >>> chains = reduce_to_chains(spur)
    >>> chains.forks.tolist(), sorted(chains.ohm.tolist())
    ([0, 2, 3], [1.0, 1.0, 2.0])
    """
    walk = _Walk(net, kept)
    for fork in walk.forks.tolist():
        for row in walk.at(fork):
            walk.follow(fork, row)
    return walk.chains()


class _Walk:
    """Walks every chain once, from one of its forks."""

    def __init__(self, net: LinearNet, kept: Ints | None) -> None:
        self.net = net
        degree = np.bincount(net.start, minlength=net.nodes) + np.bincount(net.end, minlength=net.nodes)
        looped = np.zeros(net.nodes, dtype=np.bool_)
        looped[net.start[net.start == net.end]] = True
        self.is_fork = (degree != 2) | net.islands.fixed | looped
        if kept is not None:
            self.is_fork[kept] = True
        self.forks = np.flatnonzero(self.is_fork)
        meeting = np.argsort(np.concatenate((net.start, net.end)), kind="stable") % max(len(net.start), 1)
        self._meeting: list[int] = meeting.tolist()
        self._from: list[int] = np.concatenate(([0], np.cumsum(degree))).tolist()
        self._start, self._end = net.start.tolist(), net.end.tolist()
        self._fork = self.is_fork.tolist()
        self._ohm, self._emf_v = (1.0 / net.conductance_s).tolist(), net.emf_v.tolist()
        branches = len(self._start)
        self.chain, self.sign, self.position = [-1] * branches, [0] * branches, [0] * branches
        self.first: list[int] = []
        self.last: list[int] = []
        self.ohm: list[float] = []
        self.emf_v: list[float] = []
        self.members: list[Ints] = []
        self.node_chain = [-1] * net.nodes
        self.from_ohm, self.to_ohm, self.from_v = ([0.0] * net.nodes for _ in range(3))

    def at(self, node: int) -> list[int]:
        """Branches that meet at a node."""
        return self._meeting[self._from[node] : self._from[node + 1]]

    def follow(self, fork: int, row: int) -> None:
        """Walk the chain that leaves a fork by this branch, unless it is walked already."""
        if self.chain[row] >= 0:
            return
        inner: list[int] = []
        ohms: list[float] = []
        number, node = len(self.first), fork
        ohm = emf_v = 0.0
        while True:
            forward = self._start[row] == node
            self.chain[row], self.sign[row], self.position[row] = number, 1 if forward else -1, len(ohms)
            node = self._end[row] if forward else self._start[row]
            ohm += self._ohm[row]
            ohms.append(self._ohm[row])
            emf_v += self._emf_v[row] if forward else -self._emf_v[row]
            if self._fork[node]:
                break
            inner.append(node)
            self.node_chain[node], self.from_ohm[node], self.from_v[node] = number, ohm, emf_v
            one, other = self.at(node)
            row = other if one == row else one
        back = 0.0
        for member, after in zip(reversed(inner), reversed(ohms), strict=False):
            back += after
            self.to_ohm[member] = back
        self.first.append(fork)
        self.last.append(node)
        self.ohm.append(ohm)
        self.emf_v.append(emf_v)
        self.members.append(np.array(inner, dtype=np.int64))

    def chains(self) -> Chains:
        """What was walked."""
        place = np.full(self.net.nodes, -1, dtype=np.int64)
        place[self.forks] = np.arange(len(self.forks))
        return Chains(
            forks=self.forks,
            first=place[np.array(self.first, dtype=np.int64)],
            last=place[np.array(self.last, dtype=np.int64)],
            ohm=np.array(self.ohm),
            emf_v=np.array(self.emf_v),
            chain=np.array(self.chain, dtype=np.int64),
            sign=np.array(self.sign, dtype=np.int64),
            position=np.array(self.position, dtype=np.int64),
            members=tuple(self.members),
            from_ohm=np.array(self.from_ohm),
            to_ohm=np.array(self.to_ohm),
            from_v=np.array(self.from_v),
            node_chain=np.array(self.node_chain, dtype=np.int64),
        )
