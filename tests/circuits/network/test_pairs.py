"""Pairs of changes give what a fresh solve gives; two that cut a part off let it float."""

from __future__ import annotations

import random

import numpy as np
import pytest

from circuits.network.chains import LinearNet
from circuits.network.changes import Joined, Opened, changed
from circuits.network.linear import solve_linear
from circuits.network.pairs import sweep_pairs
from circuits.network.sweep import Sweep
from tests.circuits.network.made import made_net
from tests.circuits.network.test_sweep import MOST_OFF_V, every_change


@pytest.mark.parametrize("stiff", [False, True])
@pytest.mark.parametrize("seed", range(6))
def test_pairs_are_within_1e8_of_fresh_solves(seed, stiff):
    net = made_net(seed, 40, 12 + seed, stiff=stiff)
    draw, changes = random.Random(seed), every_change(net, seed)
    pairs = [(draw.choice(changes), draw.choice(changes)) for _ in range(300)]
    pairs = [(one, other) for one, other in pairs if one != other]
    swept = sweep_pairs(Sweep(net), pairs)
    assert len(swept.anew) < len(pairs)
    for number, pair in enumerate(pairs):
        fresh = changed(net, *pair)
        floating = fresh.islands.floating
        volt_v = solve_linear(fresh.factored(), fresh.emf_v).volt_v
        assert np.array_equal(swept.cut_off.get(number, swept.floating), floating), pair
        assert np.max(np.abs((swept.volt_v[number] - volt_v)[~floating]), initial=0.0) < MOST_OFF_V, pair


def test_two_openings_that_cut_a_part_off_let_it_float():
    """Two nodes that two branches hold: neither is a bridge, both together cut them off."""
    start, end = np.array([0, 1, 1, 2, 3, 4, 3, 3]), np.array([1, 0, 2, 0, 2, 1, 4, 4])
    net = LinearNet(5, 0, start, end, np.ones(8), np.array([12.0, *[0.0] * 7]))
    swept = sweep_pairs(Sweep(net), [(Opened(4), Opened(5)), (Opened(4), Joined(3, 0, 0.005))])
    assert swept.anew == (0,)
    assert [swept.voltage_v(0, node) is None for node in range(5)] == [False, False, False, True, True]
    assert swept.voltage_v(1, 3) == pytest.approx(0.0, abs=0.05)
