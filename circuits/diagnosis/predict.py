"""The one door from the finder to the network: what many cases do in many setups, as arrays.

Single faults are solved all at once, pairs one by one.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from circuits.diagnosis.seen import Setup
from circuits.network.behaviour import Showing, showing
from circuits.network.branches import Bools, Branches, Ints, compile_branches
from circuits.network.build import PlanNetwork
from circuits.network.elements import Part, Relay, Switch
from circuits.network.faults import OPENING, Fault, with_faults
from circuits.network.laws import Floats
from circuits.network.many_points import solve_all
from circuits.network.solve import solve

SHOWN = tuple(Showing)
"""Codes of what is seen of a load: off, dim, on."""

FEW = 3
"""Points below which solving one by one is quicker than laying the network out for many."""

Cases = Sequence[tuple[Fault, ...]]


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


def predict(built: PlanNetwork, setups: Sequence[Setup], cases: Cases) -> list[Predicted]:
    """What each case does in each setup. A case without faults is the sound vehicle.

    Parameters
    ----------
    built : PlanNetwork
    setups : sequence of Setup
    cases : sequence of tuple of Fault
        At least one.

    Examples
    --------
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.network.build import build_network
    >>> from circuits.network.faults import FaultKind
    >>> from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("grille",), Kind.COIL, load_a=5.0)
    >>> built = build_network(size_plan(Plan(Vehicle(), (), (Run("panel", "grille", 2.0, "engine bay"),), (horn,))))
    >>> dead = (Fault(FaultKind.OPEN_WIRE, "horn/1"),)
    >>> predict(built, [Setup()], [(), dead])[0].shown.tolist()
    [[2], [0]]
    """
    singles = [number for number, faults in enumerate(cases) if len(faults) <= 1]
    found: dict[Setup, _Figures] = {}
    for removed in dict.fromkeys(setup.removed for setup in setups):
        together = [setup for setup in setups if setup.removed == removed]
        branches = _without(built.branches, removed)
        if branches is not None and len(singles) * len(together) >= FEW:
            each = _all_at_once(built, branches, together, [cases[number] for number in singles])
            found |= dict(zip(together, each, strict=True))
    answers = []
    for setup in setups:
        figures = _Figures.empty(built, len(cases))
        by_one = list(range(len(cases)))
        if setup in found:
            figures.put(singles, found[setup])
            by_one = [number for number, faults in enumerate(cases) if len(faults) > 1]
        for number in by_one:
            figures.put([number], _one(built, setup, cases[number]))
        answers.append(_seen(built, setup, cases, figures))
    return answers


@dataclass(frozen=True, eq=False)
class _Figures:
    """What is needed of solved networks, a row a case: nodes, whether they float, loads and fuses."""

    volt_v: Floats
    floating: Bools
    load_a: Floats
    fuse_a: Floats
    opens: Bools

    @classmethod
    def empty(cls, built: PlanNetwork, cases: int) -> _Figures:
        """Room for so many cases."""
        nodes, loads = len(built.branches.network.nodes), len(built.branches.network.loads)
        fuses = len(fuses_of(built))
        return cls(
            np.zeros((cases, nodes)),
            np.zeros((cases, nodes), dtype=np.bool_),
            np.zeros((cases, loads)),
            np.zeros((cases, fuses)),
            np.zeros((cases, fuses), dtype=np.bool_),
        )

    def put(self, rows: Sequence[int], other: _Figures) -> None:
        """Enter those of some cases."""
        for own, new in zip(self._arrays(), other._arrays(), strict=True):
            own[list(rows)] = new

    def _arrays(self) -> tuple[Floats, Bools, Floats, Floats, Bools]:
        return self.volt_v, self.floating, self.load_a, self.fuse_a, self.opens


def _without(branches: Branches, removed: tuple[str, ...]) -> Branches | None:
    """The network with some of its elements taken out; None where one of them is more than one branch.

    A switch that is never closed stands in their place, so that every branch and node keeps its own.
    """
    if not removed:
        return branches
    elements = {element.name: element for element in branches.network.elements}
    for name in removed:
        element = elements.get(name)
        if element is None or isinstance(element, Relay):
            return None
        elements[name] = Switch(name, element.start, element.end, name, (), circuit=element.circuit, part=element.part)
    return compile_branches(replace(branches.network, elements=tuple(elements.values())))


def _all_at_once(built: PlanNetwork, branches: Branches, setups: Sequence[Setup], cases: Cases) -> Iterator[_Figures]:
    """Single faults, by setup."""
    network, fuses = built.branches.network, fuses_of(built)
    points = solve_all(
        branches,
        [dict(setup.positions) for setup in setups],
        [faults[0] if faults else None for faults in cases],
    )
    volt_v, floating = points.nodes_v([node.name for node in network.nodes])
    load_a = points.branches_a([load.branch for load in network.loads])
    fuse_a = points.branches_a(fuses)
    opens = np.zeros(fuse_a.shape, dtype=np.bool_)
    rated = [fuses.index(name) for name in points.fuses]
    opens[:, :, rated] = points.opened
    for state in range(len(setups)):
        yield _Figures(volt_v[state], floating[state], load_a[state], fuse_a[state], opens[state])


def _one(built: PlanNetwork, setup: Setup, faults: tuple[Fault, ...]) -> _Figures:
    """One case solved by itself."""
    faulted = with_faults(built.branches, faults)
    row, fuses = built.branches.row, fuses_of(built)
    broken = faulted.broken.copy()
    broken[[row[name] for name in setup.removed]] = True
    found = solve(faulted.branches, dict(setup.positions), broken=broken)
    current_a = found.point.current_a
    return _Figures(
        found.point.volt_v,
        found.point.floating,
        current_a[[row[load.branch] for load in built.branches.network.loads]],
        current_a[[row[fuse] for fuse in fuses]],
        np.isin(fuses, found.opened),
    )


def _seen(built: PlanNetwork, setup: Setup, cases: Cases, figures: _Figures) -> Predicted:
    """What a person sees and a meter shows."""
    node, fuses = built.branches.node, fuses_of(built)
    volt_v = np.where(figures.floating, 0.0, figures.volt_v)
    out = [{fault.at for fault in faults if fault.kind in OPENING} | set(setup.removed) for faults in cases]
    shown = np.zeros(figures.load_a.shape, dtype=np.int64)
    for place, load in enumerate(built.branches.network.loads):
        start, end = node[load.start], node[load.end]
        is_dead = figures.floating[:, start] | figures.floating[:, end] | [load.branch in names for names in out]
        across_v = (volt_v[:, start] - volt_v[:, end]).tolist()
        for case in np.flatnonzero(~is_dead).tolist():
            shown[case, place] = SHOWN.index(showing(load, across_v[case], float(figures.load_a[case, place])))
    is_out = np.array([[fuse in names for fuse in fuses] for names in out], dtype=np.bool_)  # a plan may have no fuse
    is_open = figures.opens | is_out.reshape(figures.opens.shape)
    return Predicted(volt_v, shown, is_open, figures.opens, figures.fuse_a)
