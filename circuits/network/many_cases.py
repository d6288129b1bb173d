"""One network laid out for many cases: forks, chains between them, and what each fault is to them.

Elements in series are one chain between two forks (``chains.py``), so that a fault is a change of one chain: open,
with more resistance, or with a third leg from one of its inner nodes to the body. Faults that do the same to the same
chain are one case: the rest of the vehicle cannot tell where along a chain it is open.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.sparse import csr_matrix

from circuits.network.branches import Bools, Branches, Ints
from circuits.network.chains import Chains, LinearNet, reduce_to_chains
from circuits.network.elements import LEAST_OHM
from circuits.network.faults import OPENING, SHORTING, Fault, FaultKind
from circuits.network.laws import Floats, figure
from circuits.network.side_by_side import Shape


@dataclass(frozen=True, slots=True)
class Case:
    """What a fault is: the rows it opens, worsens or turns, or the node it shorts to the body; -1 where it does not.

    ``is_plain`` is False for faults that give the network another shape; those are solved one by one.
    """

    open_row: int = -1
    worse_row: int = -1
    worse_ohm: float = 0.0
    turned_row: int = -1
    short_node: int = -1
    short_ohm: float = 1.0
    is_plain: bool = True


@dataclass(frozen=True, eq=False)
class CaseTables:
    """Cases as arrays, by the fields of ``Case``."""

    open_row: Ints
    worse_row: Ints
    worse_ohm: Floats
    turned_row: Ints
    short_node: Ints
    short_ohm: Floats


class Layout:
    """A network laid out for these faults.

    Parameters
    ----------
    branches : Branches
    faults : sequence of Fault or None
        None is no fault.
    broken : array of bool, optional
        Branches that do not conduct, whatever the state.

    Examples
    --------
    >>> from circuits.network.branches import compile_branches
    >>> from circuits.network.elements import Network, Node, Resistor, Source
    >>> loop = compile_branches(Network((Node("minus"), Node("plus"), Node("far")), (
    ...     Source("battery", "minus", "plus", 12.0, 0.01),
    ...     Resistor("wire", "plus", "far", 0.1), Resistor("heater", "far", "minus", 2.0)), "minus"))
    >>> cuts = [Fault(FaultKind.OPEN_WIRE, "wire"), Fault(FaultKind.OPEN_WIRE, "heater")]
    >>> layout = Layout(loop, [None, *cuts])
    >>> layout.chains.forks.tolist(), layout.alike.tolist()
    ([0, 1], [0, 1, 1])
    """

    def __init__(self, branches: Branches, faults: Sequence[Fault | None], broken: Bools | None = None) -> None:
        self.branches = branches
        self.broken_rows = np.flatnonzero(np.zeros(len(branches.start), bool) if broken is None else broken)
        self.target = _target(branches, faults)
        self.bent = np.concatenate((branches.lamps, branches.diodes))
        self.source_rows = np.array([row for row, _ in branches.sources], dtype=np.int64)
        self.chains = self._reduced()
        chains, bent_chain = self.chains, np.zeros(len(self.chains.first), dtype=np.bool_)
        bent_chain[chains.chain[self.bent]] = True
        self.linear = np.flatnonzero(~bent_chain)
        self.place = np.full(len(branches.network.nodes), -1, dtype=np.int64)
        self.place[chains.forks] = np.arange(len(chains.forks))
        """Fork of each node; -1 where it is none."""
        self.within = np.zeros(len(branches.network.nodes), dtype=np.int64)
        """Branches of its chain before each inner node."""
        for members in chains.members:
            self.within[members] = np.arange(1, len(members) + 1)
        self.cases = [_case(self, fault) for fault in faults]
        self.alike = self._alike()
        """For each fault the first that does the same."""

    def _reduced(self) -> Chains:
        branches = self.branches
        conductance_s = branches.conductance_s.copy()
        conductance_s[self.bent] = 1.0
        nodes = len(branches.network.nodes)
        net = LinearNet(
            nodes, branches.reference, branches.start, branches.end, conductance_s, np.zeros(len(conductance_s))
        )
        ends = np.concatenate((self.bent, self.source_rows))
        kept = np.concatenate((branches.start[ends], branches.end[ends], [branches.reference, self.target]))
        return reduce_to_chains(net, kept.astype(np.int64))

    def _alike(self) -> Ints:
        first: dict[object, int] = {}
        chain = self.chains.chain
        keys: list[object] = []
        for number, case in enumerate(self.cases):
            if not case.is_plain:
                keys.append(("other", number))
            elif case.open_row >= 0:
                keys.append(("open", int(chain[case.open_row])))
            elif case.worse_row >= 0:
                keys.append(("worse", int(chain[case.worse_row]), case.worse_ohm))
            else:
                keys.append((case.turned_row, case.short_node, case.short_ohm))
            first.setdefault(keys[-1], number)
        return np.array([first[key] for key in keys], dtype=np.int64)

    @cached_property
    def tables(self) -> CaseTables:
        """The cases as arrays."""
        rows = [
            np.array([getattr(case, name) for case in self.cases], dtype=np.int64)
            for name in ("open_row", "worse_row", "turned_row", "short_node")
        ]
        worse_ohm = np.array([case.worse_ohm for case in self.cases])
        short_ohm = np.array([case.short_ohm for case in self.cases])
        return CaseTables(rows[0], rows[1], worse_ohm, rows[2], rows[3], short_ohm)

    @cached_property
    def leg_edge(self) -> Ints:
        """Edge from each fork that a short may lead from to the target; -1 for others."""
        target = int(self.place[self.target])
        edge = np.full(len(self.chains.forks), -1, dtype=np.int64)
        for case in self.cases:
            for fork in self.legs(case):
                if fork != target:
                    edge[fork] = self.shape.edge(fork, target)
        return edge

    @cached_property
    def shape(self) -> Shape:
        """Forks and all that may lie between them; those at lamps and junctions, sources and the body come last."""
        chains = self.chains
        forks, target = len(chains.forks), int(self.place[self.target])
        late = np.zeros(forks, dtype=np.bool_)
        for rows in (self.bent, self.source_rows):
            late[self.place[self.branches.start[rows]]] = late[self.place[self.branches.end[rows]]] = True
        late[target] = True
        pairs = set(zip(chains.first.tolist(), chains.last.tolist(), strict=True))
        for case in self.cases:
            pairs |= {(fork, target) for fork in self.legs(case)}
        return Shape(forks, pairs, int(self.place[self.branches.reference]), late)

    def legs(self, case: Case) -> tuple[int, ...]:
        """Forks that a short leads from: the node itself, or both ends of its chain."""
        if case.short_node < 0:
            return ()
        chain = int(self.chains.node_chain[case.short_node])
        if chain < 0:
            return (int(self.place[case.short_node]),)
        return int(self.chains.first[chain]), int(self.chains.last[chain])

    @cached_property
    def onto_edges(self) -> csr_matrix:
        """Sums conductances of the linear chains onto edges."""
        return self._summed(self.linear)

    @cached_property
    def bent_onto_edges(self) -> csr_matrix:
        """Sums conductances of lamps and junctions onto edges."""
        return self._summed(self.chains.chain[self.bent])

    def _summed(self, chain: Ints) -> csr_matrix:
        first, last = self.chains.first[chain], self.chains.last[chain]
        kept = np.flatnonzero(first != last)
        rows = [self.shape.edge(int(first[one]), int(last[one])) for one in kept]
        size = (self.shape.size, len(chain))
        return csr_matrix((np.ones(len(kept)), (rows, kept)), shape=size)

    @cached_property
    def into_forks(self) -> csr_matrix:
        """Sums currents of the linear chains to what arrives at each fork."""
        return self._arriving(self.chains.first[self.linear], self.chains.last[self.linear])

    @cached_property
    def bent_ends(self) -> tuple[Ints, Ints]:
        """Forks that lamps and junctions start and end at."""
        return self.place[self.branches.start[self.bent]], self.place[self.branches.end[self.bent]]

    @cached_property
    def bent_into_forks(self) -> csr_matrix:
        """Sums currents of lamps and junctions to what arrives at each fork."""
        return self._arriving(*self.bent_ends)

    def _arriving(self, first: Ints, last: Ints) -> csr_matrix:
        count = len(first)
        signs = np.concatenate((-np.ones(count), np.ones(count)))
        where = (np.concatenate((first, last)), np.tile(np.arange(count), 2))
        return csr_matrix((signs, where), shape=(len(self.chains.forks), count))

    @cached_property
    def chain_ohm(self) -> Floats:
        """Resistance of each linear chain [ohm]."""
        return self.chains.ohm[self.linear]

    @cached_property
    def linear_place(self) -> Ints:
        """Place of each chain among the linear ones; -1 for lamps and junctions."""
        place = np.full(len(self.chains.first), -1, dtype=np.int64)
        place[self.linear] = np.arange(len(self.linear))
        return place


def _target(branches: Branches, faults: Sequence[Fault | None]) -> int:
    """Node that most shorts lead to."""
    others = Counter(fault.other for fault in faults if fault is not None and fault.kind in SHORTING)
    name = others.most_common(1)[0][0] if others else ""
    return branches.node.get(name, branches.reference)


_OTHER = Case(is_plain=False)


def _case(layout: Layout, fault: Fault | None) -> Case:
    if fault is None:
        return Case()
    branches = layout.branches
    if fault.kind in SHORTING:
        return _short(layout, fault)
    row = branches.row.get(fault.at, -1)
    if row < 0:
        return _OTHER
    if fault.kind in OPENING:
        return Case(open_row=row)
    if fault.kind is FaultKind.REVERSED_BATTERY and row in layout.source_rows:
        return Case(turned_row=row)
    is_coil = any(row == rows.coil for rows in branches.relays)
    if fault.kind is FaultKind.CORRODED_JOINT and not is_coil and row not in layout.bent:
        return Case(worse_row=row, worse_ohm=fault.ohm or figure("corroded_ohm"))
    return _OTHER


def _short(layout: Layout, fault: Fault) -> Case:
    branches = layout.branches
    ends = [branches.node.get(name, -1) for name in (fault.at, fault.other or branches.network.reference)]
    if layout.target not in ends or min(ends) < 0 or ends[0] == ends[1]:
        return _OTHER
    node = ends[0] if ends[1] == layout.target else ends[1]
    return Case(short_node=node, short_ohm=max(fault.ohm or figure("short_ohm"), LEAST_OHM))
