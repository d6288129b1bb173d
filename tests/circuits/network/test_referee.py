"""A circuit simulator that knows nothing of us, on the same networks: the same voltages."""

from __future__ import annotations

import numpy as np
import pytest

from circuits.electrical.sizing import size_plan
from circuits.network.branches import compile_branches
from circuits.network.build import build_network
from circuits.network.linear import Factored, islands_of
from circuits.network.operating import operating_point
from circuits.network.solve import solve
from circuits.network.stubs import strip_stubs
from circuits.sheets.starters import STARTERS, load_starter
from tests.circuits.network.made import made_network
from tests.circuits.network.referee import lines_of, voltages_v

LINEAR, BENT = 150, 170
"""Random networks of resistances alone, and with lamps and junctions."""

LINEAR_OFF_V, BENT_OFF_V, DENSE_OFF_V = 1e-6, 5e-3, 1e-9

STATES: tuple[dict[str, str], ...] = (
    {},
    {"ignition": "run"},
    {"ignition": "run", "engine": "running", "lighting": "on", "headlamp": "low", "brake": "on"},
    {"ignition": "run", "lighting": "on", "headlamp": "high", "indicators": "left", "wipers": "on", "horn": "on"},
)


def differences_v(key, branches, point, on, found):
    """Our voltages less the referee's, where a node is on a branch that the referee was given."""
    sure = np.zeros(len(branches.network.nodes), dtype=bool)
    sure[branches.start[on]] = sure[branches.end[on]] = True
    sure &= ~point.floating
    nodes = [node for node in np.flatnonzero(sure) if f"{key}n{node}" in found]
    return np.array([point.volt_v[node] - found[f"{key}n{node}"] for node in nodes])


@pytest.mark.parametrize(("bent", "count", "most_v"), [(False, LINEAR, LINEAR_OFF_V), (True, BENT, BENT_OFF_V)])
def test_random_networks_are_as_the_referee_has_them(ngspice, tmp_path, bent, count, most_v):
    made = [compile_branches(made_network(seed, bent=bent)) for seed in range(count)]
    points = [operating_point(one, np.ones(len(one.start), dtype=bool), one.emf_v) for one in made]
    decks = [lines_of(f"k{n}", one, np.ones(len(one.start), dtype=bool), one.emf_v) for n, one in enumerate(made)]
    found = voltages_v(ngspice, tmp_path, decks)
    assert all(point.residual_a < 1e-9 for point in points)
    offs = [
        differences_v(f"k{n}", one, point, np.ones(len(one.start), dtype=bool), found)
        for n, (one, point) in enumerate(zip(made, points, strict=True))
    ]
    assert sum(len(off) > 0 for off in offs) == count
    assert max(float(np.max(np.abs(off))) for off in offs) < most_v


@pytest.mark.parametrize("key", STARTERS)
def test_starter_plans_are_as_the_referee_has_them(ngspice, tmp_path, key):
    branches = build_network(size_plan(load_starter(key))).branches
    solutions = [solve(branches, state) for state in STATES]
    nodes, reference = len(branches.network.nodes), branches.reference
    kept = [strip_stubs(nodes, branches.start, branches.end, one.on, reference).kept for one in solutions]
    decks = [
        lines_of(f"k{n}", branches, on, branches.forces_v(state))
        for n, (on, state) in enumerate(zip(kept, STATES, strict=True))
    ]
    found = voltages_v(ngspice, tmp_path, decks)
    for n, solution in enumerate(solutions):
        off_v = differences_v(f"k{n}", branches, solution.point, kept[n], found)
        assert len(off_v) > 20
        assert float(np.max(np.abs(off_v))) < BENT_OFF_V


@pytest.mark.parametrize("seed", range(40))
def test_linear_networks_are_as_a_dense_solve_has_them(seed):
    branches = compile_branches(made_network(seed, 40, bent=False))
    on = np.ones(len(branches.start), dtype=bool)
    nodes = len(branches.network.nodes)
    matrix, injected_a = np.zeros((nodes, nodes)), np.zeros(nodes)
    for row, conductance_s in enumerate(branches.conductance_s):
        u = np.zeros(nodes)
        u[branches.start[row]] += 1.0
        u[branches.end[row]] -= 1.0
        matrix += conductance_s * np.outer(u, u)
        injected_a -= conductance_s * branches.emf_v[row] * u
    dense_v = np.zeros(nodes)
    dense_v[1:] = np.linalg.solve(matrix[1:, 1:], injected_a[1:])
    point = operating_point(branches, on, branches.emf_v)
    assert float(np.max(np.abs(point.volt_v - dense_v))) < DENSE_OFF_V
    islands = islands_of(nodes, branches.start, branches.end, 0)
    assert not islands.floating.any()
    assert Factored(islands, branches.start, branches.end, branches.conductance_s).solve(injected_a) == pytest.approx(
        dense_v, abs=DENSE_OFF_V
    )
