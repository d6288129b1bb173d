"""The one door from the finder to the network: what many cases do in one setup, as arrays.

Whatever solves many faults at once can stand behind ``predict``: nothing else of the finder has the powered network
solved. Of single faults only those are solved that differ: what carries no current may be opened or worsened without
moving anything but what it cuts off, and along a chain of branches it does not matter to the rest where it is open,
or where a resistance sits.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from circuits.diagnosis.seen import Setup
from circuits.network.behaviour import Showing, showing
from circuits.network.branches import Bools, Ints
from circuits.network.build import PlanNetwork
from circuits.network.chains import Chains, LinearNet, reduce_to_chains
from circuits.network.elements import Part
from circuits.network.faults import OPENING, SHORTING, Fault, FaultKind, with_faults
from circuits.network.laws import Floats
from circuits.network.linear import islands_of
from circuits.network.many_points import solve_all
from circuits.network.solve import Solution, solve

SHOWN = tuple(Showing)
"""Codes of what is seen of a load: off, dim, on."""

ALONG = (*OPENING, FaultKind.CORRODED_JOINT)
"""Faults of one branch that carries a current, or none."""

IDLE_A, EQUAL_V = 1e-6, 1e-6
"""Current and voltage below which worsening a joint, or joining two points, changes nothing [A], [V]."""


@dataclass(frozen=True, eq=False)
class Predicted:
    """What cases do in one setup: a row a case.

    Parameters
    ----------
    volt_v : array of float
        By node; 0 where it floats, as a meter shows it [V].
    shown : array of int
        By load, indices into ``SHOWN``.
    is_open, opens : array of bool
        By fuse: found open, blown before or not; opened by what flows.
    fuse_a : array of float
        By fuse [A].
    """

    volt_v: Floats
    shown: Ints
    is_open: Bools
    opens: Bools
    fuse_a: Floats


def fuses_of(built: PlanNetwork) -> tuple[str, ...]:
    """Fuses by name, in the order of ``Predicted``."""
    return tuple(element.name for element in built.branches.network.elements if element.part is Part.FUSE)


def predict(built: PlanNetwork, setup: Setup, cases: Sequence[tuple[Fault, ...]]) -> Predicted:
    """What each case does in a setup. A case without faults is the sound vehicle.

    Parameters
    ----------
    built : PlanNetwork
    setup : Setup
    cases : sequence of tuple of Fault
        At least one.

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.network.build import build_network
    >>> from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("grille",), Kind.COIL, load_a=5.0)
    >>> built = build_network(size_plan(Plan(Vehicle(), (), (Run("panel", "grille", 2.0, "engine bay"),), (horn,))))
    >>> dead = (Fault(FaultKind.OPEN_WIRE, "horn/1"),)
    >>> predict(built, Setup(), [(), dead]).shown.tolist()
    [[2], [0]]
    """
    one_setup = _OneSetup(built, setup)
    one_setup.prepare(cases)
    rows = [one_setup.row(faults) for faults in cases]
    volt_v, shown, is_open, opens, fuse_a = (np.array(part) for part in zip(*rows, strict=True))
    return Predicted(volt_v, shown, is_open, opens, fuse_a)


@dataclass(frozen=True, eq=False)
class _Solved:
    """Voltages and floating nodes, currents of the branches, fuses that opened, branches that conduct."""

    volt_v: Floats
    floating: Bools
    current_a: Floats
    opened: tuple[str, ...]
    on: Bools


class _OneSetup:
    """The sound vehicle in one setup, and what was solved of its faults."""

    def __init__(self, built: PlanNetwork, setup: Setup) -> None:
        self.built, self.setup, self.branches = built, setup, built.branches
        self.fuses = fuses_of(built)
        self.fuse_rows = [self.branches.row[fuse] for fuse in self.fuses]
        self._ready: dict[Fault, _Solved] = {}
        self._along: dict[tuple[int, FaultKind, float], Fault] = {}
        self.sound = self._solve(())

    def prepare(self, cases: Sequence[tuple[Fault, ...]]) -> None:
        """Solve at once all single faults among the cases that need it."""
        wanted: dict[Fault, None] = {}
        for fault in (faults[0] for faults in cases if len(faults) == 1):
            chain = self._chain_of(fault)
            if chain is not None:
                wanted.setdefault(self._along.setdefault(_same_along(chain, fault), fault))
            elif not self._is_idle(fault):
                wanted.setdefault(fault)
        if self.setup.removed or not wanted:
            return
        (row,) = solve_all(self.branches, [dict(self.setup.positions)], tuple(wanted))
        self._ready = {fault: _solved_of(found) for fault, found in zip(wanted, row, strict=True)}

    @cached_property
    def chains(self) -> Chains:
        """Chains of the branches that conduct in the sound vehicle; their rows by ``rows``."""
        start, end = self.branches.start[self.rows], self.branches.end[self.rows]
        ones = np.ones(len(self.rows))
        nodes = len(self.branches.network.nodes)
        return reduce_to_chains(LinearNet(nodes, self.branches.reference, start, end, ones, np.zeros(len(self.rows))))

    @cached_property
    def rows(self) -> Ints:
        """Branches that conduct in the sound vehicle."""
        return np.flatnonzero(self.sound.on)

    @cached_property
    def place(self) -> dict[int, int]:
        """Row of a branch among ``rows``."""
        return {row: place for place, row in enumerate(self.rows.tolist())}

    @cached_property
    def sourced(self) -> set[int]:
        """Chains with a source in them: there it matters where they are open."""
        return {int(self.chains.chain[self.place[row]]) for row, _ in self.branches.sources if row in self.place}

    def row(self, faults: tuple[Fault, ...]) -> tuple[Floats, list[int], list[bool], list[bool], Floats]:
        """What a case does."""
        solved = self._of(faults)
        volt_v = np.where(solved.floating, 0.0, solved.volt_v)
        node, loads = self.branches.node, self.branches.network.loads
        out = {fault.at for fault in faults if fault.kind in OPENING} | set(self.setup.removed)
        shown = []
        for load in loads:
            start, end = node[load.start], node[load.end]
            is_dead = load.branch in out or solved.floating[start] or solved.floating[end]
            volts, amps = float(volt_v[start] - volt_v[end]), float(solved.current_a[self.branches.row[load.branch]])
            shown.append(SHOWN.index(Showing.OFF if is_dead else showing(load, volts, amps)))
        opens = [fuse in solved.opened for fuse in self.fuses]
        is_open = [fuse in out or does_open for fuse, does_open in zip(self.fuses, opens, strict=True)]
        return volt_v, shown, is_open, opens, solved.current_a[self.fuse_rows]

    def _of(self, faults: tuple[Fault, ...]) -> _Solved:
        if len(faults) != 1:
            return self._solve(faults) if faults else self.sound
        (fault,) = faults
        if self._is_idle(fault):
            return self._cut(self.branches.row[fault.at]) if fault.kind in OPENING else self.sound
        chain = self._chain_of(fault)
        return self._solve(faults) if chain is None else self._on_chain(fault, chain)

    def _is_idle(self, fault: Fault) -> bool:
        """True where a fault changes nothing, or no more than what an idle branch cuts off."""
        sound = self.sound
        if fault.kind in SHORTING:
            node = self.branches.node
            ends = [node[fault.at], node[fault.other or self.branches.network.reference]]
            volt_v = np.where(sound.floating[ends], 0.0, sound.volt_v[ends])
            return bool(abs(volt_v[0] - volt_v[1]) <= EQUAL_V)
        row = self.branches.row.get(fault.at, -1)
        return fault.kind in ALONG and row in self.place and abs(sound.current_a[row]) <= IDLE_A

    def _chain_of(self, fault: Fault) -> int | None:
        """The chain that a fault sits in, where it does not matter to the rest at which place of it; else None."""
        row = self.branches.row.get(fault.at, -1)
        if fault.kind not in ALONG or row not in self.place or self._is_idle(fault):
            return None
        chain = int(self.chains.chain[self.place[row]])
        return None if chain in self.sourced else chain

    def _cut(self, row: int) -> _Solved:
        """The sound vehicle without a branch that carries nothing: what it cuts off floats."""
        on = self.sound.on.copy()
        on[row] = False
        branches = self.branches
        islands = islands_of(len(branches.network.nodes), branches.start[on], branches.end[on], branches.reference)
        return replace(self.sound, floating=islands.floating, on=on)

    def _on_chain(self, fault: Fault, chain: int) -> _Solved:
        """A fault along a chain, from one that was solved along the same."""
        first = self._along.setdefault(_same_along(chain, fault), fault)
        solved, row, solved_at = self._solve((first,)), self.branches.row[fault.at], self.branches.row[first.at]
        chains = self.chains
        here, there = (int(chains.position[self.place[one]]) for one in (row, solved_at))
        if here == there:
            return solved
        members = chains.members[chain]
        volt_v, floating = solved.volt_v.copy(), solved.floating.copy()
        if fault.kind in OPENING:
            for nodes, fork in ((members[:here], chains.first[chain]), (members[here:], chains.last[chain])):
                volt_v[nodes] = volt_v[chains.forks[fork]]
                floating[nodes] = floating[chains.forks[fork]]
        else:
            along_a = solved.current_a[row] * chains.sign[self.place[row]]
            drop_v = along_a * fault.ohm
            volt_v[members[here:there]] -= drop_v
            volt_v[members[there:here]] += drop_v
        return replace(solved, volt_v=volt_v, floating=floating)

    def _solve(self, faults: tuple[Fault, ...]) -> _Solved:
        if len(faults) == 1 and faults[0] in self._ready:
            return self._ready[faults[0]]
        faulted = with_faults(self.branches, faults)
        broken = faulted.broken.copy()
        broken[[self.branches.row[name] for name in self.setup.removed]] = True
        solved = _solved_of(solve(faulted.branches, dict(self.setup.positions), broken=broken))
        if len(faults) == 1:
            self._ready[faults[0]] = solved
        return solved


def _solved_of(found: Solution) -> _Solved:
    return _Solved(found.point.volt_v, found.point.floating, found.point.current_a, found.opened, found.on)


def _same_along(chain: int, fault: Fault) -> tuple[int, FaultKind, float]:
    """What faults along one chain have in common that do the same to the rest."""
    return chain, FaultKind.OPEN_WIRE if fault.kind in OPENING else fault.kind, fault.ohm
