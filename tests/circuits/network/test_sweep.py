"""Updates of one factorisation give what a fresh solve gives, and floating is floating."""

from __future__ import annotations

import numpy as np
import pytest

from circuits.network.chains import LinearNet
from circuits.network.changes import Joined, Opened, Turned, Worsened, changed
from circuits.network.linear import solve_linear
from circuits.network.sweep import Sweep
from tests.circuits.network.made import made_net

MOST_OFF_V = 1e-8


def every_change(net: LinearNet, seed: int):
    """Each branch opened, worsened and turned; nodes joined to ground and to a neighbour."""
    draw = np.random.default_rng(seed)
    rows = range(len(net.start))
    pairs = draw.integers(0, net.nodes, (net.nodes, 2))
    return [
        *(Opened(row) for row in rows),
        *(Worsened(row, 0.5) for row in rows),
        *(Turned(row) for row in rows if net.emf_v[row]),
        *(Joined(node, 0, 0.005) for node in range(1, net.nodes)),
        *(Joined(int(one), int(other), 0.005) for one, other in pairs if one != other),
    ]


def worst_off_v(net: LinearNet, changes) -> float:
    """Greatest difference between the sweep and fresh solves; floating nodes must be the same."""
    swept = Sweep(net).run(changes)
    worst = 0.0
    for number, change in enumerate(changes):
        fresh = changed(net, change)
        floating = fresh.islands.floating
        volt_v = solve_linear(fresh.factored(), fresh.emf_v).volt_v
        assert np.array_equal(swept.cut_off.get(number, swept.floating), floating), change
        worst = max(worst, float(np.max(np.abs((swept.volt_v[number] - volt_v)[~floating]), initial=0.0)))
    return worst


@pytest.mark.parametrize("seed", range(12))
def test_the_sweep_is_within_1e8_of_fresh_solves(seed):
    net = made_net(seed, 30 + 5 * seed, 4 + 3 * seed)
    assert worst_off_v(net, every_change(net, seed)) < MOST_OFF_V


@pytest.mark.parametrize("seed", range(12))
def test_so_it_is_with_joints_beside_senders(seed):
    net = made_net(seed, 40, 10 + seed, stiff=True)
    assert worst_off_v(net, every_change(net, seed)) < MOST_OFF_V


def test_what_a_bridge_cuts_off_floats_and_the_rest_stays():
    """A loop of battery and load, with a spur of two branches on it."""
    net = LinearNet(4, 0, np.array([0, 1, 1, 2]), np.array([1, 0, 2, 3]), np.ones(4), np.array([12.0, 0, 0, 0]))
    swept = Sweep(net).run([Opened(2), Opened(3), Opened(1)])
    assert [swept.voltage_v(0, node) for node in range(4)] == [0.0, pytest.approx(6.0), None, None]
    assert [swept.voltage_v(1, node) for node in range(4)] == [0.0, *[pytest.approx(6.0)] * 2, None]
    assert [swept.voltage_v(2, node) for node in range(4)] == [0.0, *[pytest.approx(12.0)] * 3]
    assert swept.anew == ()
