"""Linear networks: which nodes hang together, one sparse factorisation, node voltages.

Each island of nodes that the reference is not in has a reference of its own, so that its currents are right; its
voltages are relative and are marked as floating.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, cast

import numpy as np
from scipy.sparse import coo_matrix, csc_matrix
from scipy.sparse.csgraph import connected_components
from scipy.sparse.linalg import splu

from circuits.network.branches import Bools, Ints
from circuits.network.laws import Floats

MOST_REFINEMENTS = 3
"""Rounds of refinement after the back-solve: the residual of Kirchhoff's law is taken from the branch currents."""

COLUMNS = 16
"""Right-hand sides solved at once."""


@dataclass(frozen=True, slots=True)
class Islands:
    """Which nodes hang together.

    Parameters
    ----------
    label : array of int
        Island of each node.
    fixed : array of bool
        True for one node in each island: its voltage is taken as zero.
    floating : array of bool
        True for nodes that do not hang together with the reference.
    """

    label: Ints
    fixed: Bools
    floating: Bools


def islands_of(nodes: int, start: Ints, end: Ints, reference: int) -> Islands:
    """Islands of a graph.

    Parameters
    ----------
    nodes : int
        How many.
    start, end : array of int
        Of each branch that conducts.
    reference : int

    Examples
    --------
    >>> islands_of(3, np.array([0]), np.array([1]), 0).floating.tolist()
    [False, False, True]
    """
    graph = coo_matrix((np.ones(len(start), dtype=np.int8), (start, end)), shape=(nodes, nodes))
    count, label = connected_components(graph, directed=False)
    first = np.full(count, nodes, dtype=np.int64)
    np.minimum.at(first, label, np.arange(nodes))
    first[label[reference]] = reference
    fixed = np.zeros(nodes, dtype=np.bool_)
    fixed[first] = True
    return Islands(label.astype(np.int64), fixed, label != label[reference])


class Factored:
    """One factorisation of the conductances of a network: Laplacian with one node of each island taken out.

    Parameters
    ----------
    islands : Islands
    start, end : array of int
        Of each branch that conducts.
    conductance_s : array of float
        Above 0 [S].
    """

    def __init__(self, islands: Islands, start: Ints, end: Ints, conductance_s: Floats) -> None:
        self.start, self.end, self.conductance_s = start, end, conductance_s
        self.free = np.flatnonzero(~islands.fixed)
        self.nodes = len(islands.fixed)
        index = np.full(self.nodes, -1, dtype=np.int64)
        index[self.free] = np.arange(len(self.free))
        row, column = index[start], index[end]
        self._matrix = _laplacian(len(self.free), row, column, conductance_s)
        self._lu: Any = _factor(self._matrix) if len(self.free) else None

    def refactor(self) -> None:
        """Factorise anew what is factorised already: to know what that costs."""
        self._lu = _factor(self._matrix) if len(self.free) else None

    def solve(self, injected_a: Floats) -> Floats:
        """Node voltages for the currents put into each node; one column each where there are several [V]."""
        volt_v = np.zeros_like(injected_a)
        if self._lu is not None:
            wanted_a = np.ascontiguousarray(injected_a[self.free])
            volt_v[self.free] = self._lu.solve(wanted_a) if wanted_a.ndim == 1 else self._solve_columns(wanted_a)
        return volt_v

    def _solve_columns(self, injected_a: Floats) -> Floats:
        """A few columns at a time: wider blocks are shared out among processors, which costs more than it gives."""
        solved_v = np.empty_like(injected_a)
        for lower in range(0, injected_a.shape[1], COLUMNS):
            part = slice(lower, lower + COLUMNS)
            solved_v[:, part] = self._lu.solve(np.ascontiguousarray(injected_a[:, part]))
        return solved_v


def _laplacian(size: int, row: Ints, column: Ints, conductance_s: Floats) -> csc_matrix:
    inside, at_row, at_column = (row >= 0) & (column >= 0), row >= 0, column >= 0
    between = conductance_s[inside]
    values = np.concatenate((conductance_s[at_row], conductance_s[at_column], -between, -between))
    rows = np.concatenate((row[at_row], column[at_column], row[inside], column[inside]))
    columns = np.concatenate((row[at_row], column[at_column], column[inside], row[inside]))
    return coo_matrix((values, (rows, columns)), shape=(size, size)).tocsc()


def _factor(matrix: csc_matrix) -> Any:
    """Sparse LU that keeps to the diagonal: right for a Laplacian, and the least fill."""
    return splu(matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True})


def net_currents_a(nodes: int, start: Ints, end: Ints, current_a: Floats) -> Floats:
    """Sum of the branch currents that arrive at each node [A]: zero where Kirchhoff's law holds.

    Parameters
    ----------
    nodes : int
    start, end : array of int
    current_a : array of float
        From start to end [A].
    """
    arriving = np.bincount(end, weights=current_a, minlength=nodes)
    return cast("Floats", arriving - np.bincount(start, weights=current_a, minlength=nodes))


@dataclass(frozen=True, slots=True)
class LinearSolution:
    """Voltages and branch currents of a linear network; ``residual_a`` is the worst breach of Kirchhoff's law [A]."""

    volt_v: Floats
    current_a: Floats
    residual_a: float


def solve_linear(factored: Factored, emf_v: Floats) -> LinearSolution:
    """Solve for the forces of the branches: ``i = g·(v_start - v_end + e)``.

    Parameters
    ----------
    factored : Factored
    emf_v : array of float
        Driving current from start to end, one a branch [V].

    Examples
    --------
    A 12 V source of 1 ohm, from node 0 to node 1, on a load of 3 ohm.

    >>> start, end = np.array([0, 1]), np.array([1, 0])
    >>> network = Factored(islands_of(2, start, end, 0), start, end, np.array([1.0, 1 / 3]))
    >>> solve_linear(network, np.array([12.0, 0.0])).volt_v.tolist()
    [0.0, 9.0]
    """
    start, end, conductance_s = factored.start, factored.end, factored.conductance_s
    volt_v = np.zeros(factored.nodes)
    best: LinearSolution | None = None
    for _ in range(MOST_REFINEMENTS + 1):
        current_a = conductance_s * (volt_v[start] - volt_v[end] + emf_v)
        excess_a = net_currents_a(factored.nodes, start, end, current_a)
        worst_a = float(np.max(np.abs(excess_a), initial=0.0))
        if best is not None and worst_a >= best.residual_a:
            return best
        best = LinearSolution(volt_v, current_a, worst_a)
        volt_v = volt_v + factored.solve(excess_a)
    assert best is not None
    return best
