"""The one door from the finder to the network: what many cases do in one setup, as arrays.

Whatever solves many faults at once can stand behind ``predict``: nothing else of the finder has the powered network
solved.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from circuits.diagnosis.seen import Setup
from circuits.network.behaviour import Showing, showing
from circuits.network.branches import Bools, Ints
from circuits.network.build import PlanNetwork
from circuits.network.elements import Part
from circuits.network.faults import OPENING, SHORTING, Fault, FaultKind, with_faults
from circuits.network.laws import Floats
from circuits.network.solve import Solution, solve

SHOWN = tuple(Showing)
"""Codes of what is seen of a load: off, dim, on."""

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
    sound = _solved(built, setup, ())
    row = _row(built, setup, sound, ())
    rows = [
        row if _is_idle(sound, faults) else _row(built, setup, _solved(built, setup, faults), faults)
        for faults in cases
    ]
    volt_v, shown, is_open, opens, fuse_a = (np.array(part) for part in zip(*rows, strict=True))
    return Predicted(volt_v, shown, is_open, opens, fuse_a)


def _solved(built: PlanNetwork, setup: Setup, faults: tuple[Fault, ...]) -> Solution:
    faulted = with_faults(built.branches, faults)
    broken = faulted.broken.copy()
    broken[[built.branches.row[name] for name in setup.removed]] = True
    return solve(faulted.branches, dict(setup.positions), broken=broken)


def _row(
    built: PlanNetwork, setup: Setup, solution: Solution, faults: tuple[Fault, ...]
) -> tuple[Floats, list[int], list[bool], list[bool], list[float]]:
    volt_v = np.where(solution.point.floating, 0.0, solution.point.volt_v)
    node, row = built.branches.node, built.branches.row
    loads = built.branches.network.loads
    shown = [
        showing(load, float(volt_v[node[load.start]] - volt_v[node[load.end]]), solution.load_current_a(load))
        if not (solution.point.floating[node[load.start]] or solution.point.floating[node[load.end]])
        and not any(fault.kind in OPENING and fault.at == load.branch for fault in faults)
        and load.branch not in setup.removed
        else Showing.OFF
        for load in loads
    ]
    fuses = fuses_of(built)
    blown = {fault.at for fault in faults if fault.kind in OPENING}
    opens = [fuse in solution.opened for fuse in fuses]
    fuse_a = [float(solution.point.current_a[row[fuse]]) for fuse in fuses]
    is_open = [fuse in blown or does_open for fuse, does_open in zip(fuses, opens, strict=True)]
    return volt_v, [SHOWN.index(one) for one in shown], is_open, opens, fuse_a


def _is_idle(sound: Solution, faults: tuple[Fault, ...]) -> bool:
    """True where faults plainly change nothing in this setup, so that nothing need be solved."""
    branches, point = sound.branches, sound.point
    for fault in faults:
        if fault.kind is FaultKind.CORRODED_JOINT:
            if abs(point.current_a[branches.row[fault.at]]) > IDLE_A:
                return False
        elif fault.kind in SHORTING:
            ends = [branches.node[fault.at], branches.node[fault.other or branches.network.reference]]
            volt_v = np.where(point.floating[ends], 0.0, point.volt_v[ends])
            if abs(volt_v[0] - volt_v[1]) > EQUAL_V:
                return False
        else:
            return False
    return True
