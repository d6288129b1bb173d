"""Every state of a vehicle with every single fault, all at once: tens of thousands of operating points in seconds.

How it is done. The network is laid out once as forks and the chains between them (``many_cases.py``). Each operating
point is a column of arrays; all columns of a state are solved side by side by taking out one node after the other
(``side_by_side.py``), the same elimination for all of them, so that nothing is updated, nothing cancels, and no fault
needs a way of its own: an open branch is a conductance of zero, a short one more conductance. Nodes that touch no lamp
or junction go first, once a round; Newton's method (``many_steps.py``) takes out the rest again, from the vehicle
without a fault in the same state, and each step only for the columns that have not settled. Relays and fuses move in
rounds as in ``solve`` (``many_rounds.py``). What floats is told by the elimination: nothing leads there at all.

The answer is kept as voltages of forks; any node and branch is computed from them when it is asked for. Kirchhoff's law
is checked at every fork of every point; a point that breaks it, or does not settle, or whose fault gives the network
another shape (two cavities swapped, a short between two wires), is solved by itself with ``solve``.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from circuits.network.branches import Bools, Branches, Ints
from circuits.network.faults import Fault, with_faults
from circuits.network.laws import Floats
from circuits.network.many_cases import Layout
from circuits.network.many_rounds import MOST_ROUNDS, Rounds, Settled, joined
from circuits.network.many_wired import Settings, Wired
from circuits.network.operating import HELD_A
from circuits.network.solve import Solution, solve

FEW_ROUNDS = 6
"""Steps of Newton's method that all columns get; what has not settled by then is gathered and gets more."""

COLUMNS = 3072
"""Operating points side by side: enough to make steps few, few enough to stay in the processor's cache."""


@dataclass(frozen=True, eq=False)
class ManyPoints:
    """Operating points by state and fault; built by ``solve_all``.

    Parameters
    ----------
    layout, settings : Layout, Settings
    settled : Settled
        A column for each state and each case that differs.
    column : array of int
        Column by state and fault; -1 where it was solved by itself.
    alone : dict
        Those that were solved by themselves, by state and fault.
    """

    layout: Layout
    settings: Settings
    settled: Settled
    column: Ints
    alone: Mapping[tuple[int, int], Solution]

    @cached_property
    def relays(self) -> tuple[str, ...]:
        """Relays by name, in the order of ``pulled`` and ``oscillating``."""
        return tuple(rows.relay.name for rows in self.layout.branches.relays)

    @cached_property
    def fuses(self) -> tuple[str, ...]:
        """Fuses that have a rating, in the order of ``opened``."""
        return tuple(self.layout.branches.names[row] for row in self.layout.branches.fuse_rows.tolist())

    @cached_property
    def pulled(self) -> Bools:
        """Relays pulled in, by state, fault, relay."""
        return self._flags(self.settled.pulled, self.relays, "pulled")

    @cached_property
    def oscillating(self) -> Bools:
        """Relays without a position they can keep, by state, fault, relay."""
        return self._flags(self.settled.oscillating, self.relays, "oscillating")

    @cached_property
    def opened(self) -> Bools:
        """Fuses opened by what flows, by state, fault, fuse."""
        return self._flags(self.settled.blown, self.fuses, "opened")

    @cached_property
    def residual_a(self) -> Floats:
        """Worst breach of Kirchhoff's law, by state and fault [A]."""
        residual_a = self.settled.breach_a[self.column]
        for at, solution in self.alone.items():
            residual_a[at] = solution.point.residual_a
        return residual_a

    def _flags(self, by_column: Bools, names: tuple[str, ...], which: str) -> Bools:
        flags = by_column.T[self.column]
        for at, solution in self.alone.items():
            flags[at] = np.isin(names, getattr(solution, which))
        return flags

    def nodes_v(self, names: Sequence[str]) -> tuple[Floats, Bools]:
        """Voltages of nodes by state, fault, node, and which of them float: 0 there [V].

        Raises
        ------
        KeyError
            If there is no node of such a name.
        """
        nodes = np.array([self.layout.branches.node[name] for name in names], dtype=np.int64)
        volt_v = np.zeros((*self.column.shape, len(nodes)))
        floating = np.zeros(volt_v.shape, dtype=np.bool_)
        for state in range(len(self.column)):
            wired, fork_v, _, places = self._wired(state)
            of_v, floats = wired.nodes_v(nodes, fork_v, wired.joined())
            volt_v[state, places], floating[state, places] = of_v.T, floats.T
        for at, solution in self.alone.items():
            floating[at] = solution.point.floating[nodes]
            volt_v[at] = np.where(floating[at], 0.0, solution.point.volt_v[nodes])
        return volt_v, floating

    def branches_a(self, names: Sequence[str]) -> Floats:
        """Currents of branches by state, fault, branch, from start to end [A].

        Raises
        ------
        KeyError
            If there is no branch of such a name.
        """
        rows = np.array([self.layout.branches.row[name] for name in names], dtype=np.int64)
        bent_place = {int(row): place for place, row in enumerate(self.layout.bent)}
        is_bent = np.array([row in bent_place for row in rows.tolist()], dtype=np.bool_)
        bent = [bent_place[row] for row in rows[is_bent].tolist()]
        current_a = np.zeros((*self.column.shape, len(rows)))
        for state in range(len(self.column)):
            wired, fork_v, bent_a, places = self._wired(state)
            of_a = np.empty((len(rows), len(places)))
            of_a[~is_bent] = wired.currents_a(rows[~is_bent], fork_v, wired.chain_a(fork_v))
            of_a[is_bent] = bent_a[bent]
            current_a[state, places] = of_a.T
        for at, solution in self.alone.items():
            current_a[at] = solution.point.current_a[rows]
        return current_a

    def _wired(self, state: int) -> tuple[Wired, Floats, Floats, Ints]:
        """One state's cases as they came to rest, their voltages and currents, and the places of their faults."""
        places = np.flatnonzero(self.column[state] >= 0)
        column, settled = self.column[state, places], self.settled
        wired = Wired(
            self.layout,
            self.settings,
            np.full(len(places), state),
            places,
            settled.pulled[:, column],
            settled.blown[:, column],
        )
        return wired, settled.fork_v[:, column], settled.bent_a[:, column], places


def solve_all(
    branches: Branches,
    states: Sequence[Mapping[str, str]],
    faults: Sequence[Fault | None],
    *,
    broken: Bools | None = None,
) -> ManyPoints:
    """Solve every state with every fault, as ``solve`` does each.

    Parameters
    ----------
    branches : Branches
    states : sequence of mapping of str to str
        Position by function.
    faults : sequence of Fault or None
        None is the vehicle without a fault.
    broken : array of bool, optional
        Branches that do not conduct in any of the points, e.g. a fuse that is pulled.

    Raises
    ------
    NetworkError
        If a fault names a branch or node that the network does not have.

    Examples
    --------
    >>> from circuits.network.branches import compile_branches
    >>> from circuits.network.elements import Lamp, Network, Node, Resistor, Source, Switch
    >>> from circuits.network.faults import FaultKind
    >>> lamp = compile_branches(Network((Node("minus"), Node("plus"), Node("in"), Node("lamp")), (
    ...     Source("battery", "minus", "plus", 12.0, 0.01), Switch("switch", "plus", "in", "light", ("on",)),
    ...     Resistor("wire", "in", "lamp", 0.1), Lamp("lamp", "lamp", "minus", 12.0, 21.0)), "minus"))
    >>> points = solve_all(lamp, [{}, {"light": "on"}], [None, Fault(FaultKind.OPEN_WIRE, "wire")])
    >>> points.branches_a(["lamp"])[:, :, 0].round(3).tolist()
    [[0.0, 0.0], [1.735, 0.0]]
    >>> points.nodes_v(["in"])[1][:, :, 0].tolist()
    [[False, True], [False, False]]
    """
    layout, settings = Layout(branches, [*faults, None], broken), Settings(branches, states)
    differ = np.array([case for case in sorted(set(layout.alike.tolist())) if layout.cases[case].is_plain])
    state, case = np.repeat(np.arange(len(states)), len(differ)), np.tile(differ, len(states))
    settled = _settle(Rounds(layout, settings), state, case, len(faults))
    place = np.full(len(layout.cases), -1, dtype=np.int64)
    place[differ] = np.arange(len(differ))
    column = place[layout.alike[: len(faults)]] + len(differ) * np.arange(len(states))[:, None]
    is_plain = np.array([case.is_plain for case in layout.cases[:-1]], dtype=np.bool_)
    column[:, ~is_plain] = -1
    column[(column >= 0) & ~(settled.breach_a[column] <= HELD_A)] = -1
    alone = {
        (at[0], at[1]): _alone(branches, states[at[0]], faults[at[1]], broken)
        for at in np.argwhere(column < 0).tolist()
    }
    return ManyPoints(layout, settings, settled, column, alone)


def _alone(branches: Branches, positions: Mapping[str, str], fault: Fault | None, broken: Bools | None) -> Solution:
    faulted = with_faults(branches, () if fault is None else (fault,))
    out = faulted.broken.copy()
    if broken is not None:
        out[: len(broken)] |= broken
    return solve(faulted.branches, positions, broken=out)


def _settle(rounds: Rounds, state: Ints, case: Ints, sound: int) -> Settled:
    """Settle all columns, a part at a time, each from the vehicle without a fault in the same state."""
    states = np.unique(state)
    _, starts_v = rounds.run(states, np.full(len(states), sound), [rounds.cold(len(states))])

    def part(columns: Ints, most_rounds: int) -> Settled:
        of = state[columns]
        return rounds.run(of, case[columns], [start_v[:, of] for start_v in starts_v], most_rounds)[0]

    settled = joined([part(columns, FEW_ROUNDS) for columns in _parts(np.arange(len(state))) or [state]])
    for columns in _parts(np.flatnonzero(np.isinf(settled.breach_a))):
        settled.put(columns, part(columns, MOST_ROUNDS))
    return settled


def _parts(columns: Ints) -> list[Ints]:
    return [columns[lower : lower + COLUMNS] for lower in range(0, len(columns), COLUMNS)]
