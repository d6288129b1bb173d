"""Ohms between two points with the battery off, as a meter shows them: filaments cold, motors standing."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from circuits.diagnosis.seen import Question
from circuits.network.build import PlanNetwork
from circuits.network.cold_ohms import rest_conductance_s, rest_thrown
from circuits.network.faults import Fault, with_faults
from circuits.network.laws import Floats
from circuits.network.supply import MINUS

METER_S = 1e-7
"""Conductance of the meter's own input from every point to ground, so that no point floats: 10 Mohm [S]."""


def ohms_between(built: PlanNetwork, question: Question, cases: Sequence[tuple[Fault, ...]]) -> Floats:
    """Resistance in each case [ohm].

    Parameters
    ----------
    built : PlanNetwork
    question : Question
        Its two points, and the setup of the switches; relays are at rest.
    cases : sequence of tuple of Fault

    Examples
    --------
    >>> from circuits.diagnosis.seen import Act
    >>> from circuits.electrical.sizing import size_plan
    >>> from circuits.network.build import build_network
    >>> from circuits.plan import Circuit, Kind, Plan, Run, Vehicle
    >>> horn = Circuit("horn", "front", "battery", "panel", "horn", ("grille",), Kind.COIL, load_a=5.0)
    >>> built = build_network(size_plan(Plan(Vehicle(), (), (Run("panel", "grille", 2.0, "engine bay"),), (horn,))))
    >>> round(float(ohms_between(built, Question(Act.OHMS, "horn/1 end"), [()])[0]), 1)
    2.4
    """
    node = built.branches.node
    one, other = node[question.at], node[question.other or MINUS]
    return np.array([_ohm(built, question, faults, one, other) for faults in cases])


def _ohm(built: PlanNetwork, question: Question, faults: tuple[Fault, ...], one: int, other: int) -> float:
    faulted = with_faults(built.branches, faults)
    branches = faulted.branches
    on = rest_thrown(branches, dict(question.setup.positions)) & ~faulted.broken
    on[[branches.row[name] for name in question.setup.removed]] = False
    conductance_s = rest_conductance_s(branches)
    nodes = len(branches.network.nodes)
    matrix = np.eye(nodes) * METER_S
    start, end, value = branches.start[on], branches.end[on], conductance_s[on]
    np.add.at(matrix, (start, start), value)
    np.add.at(matrix, (end, end), value)
    np.add.at(matrix, (start, end), -value)
    np.add.at(matrix, (end, start), -value)
    driven = np.zeros(nodes)
    driven[one] += 1.0
    driven[other] -= 1.0
    volt_v = np.linalg.solve(matrix, driven)
    return float(volt_v[one] - volt_v[other])
