"""The starter plans as networks: everything hangs together, and loads work when they should."""

from __future__ import annotations

import pytest

from circuits.electrical.sizing import size_plan
from circuits.network.build import build_network
from circuits.network.solve import solve
from circuits.sheets.starters import STARTERS, load_starter


@pytest.fixture(scope="module", params=STARTERS)
def built(request):
    """Network of a starter plan."""
    return build_network(size_plan(load_starter(request.param)))


def test_nothing_floats_in_a_starter_plan(built):
    assert [found.message for found in built.findings if found.code == "network-floating"] == []


@pytest.mark.parametrize(
    "positions",
    [{}, {"ignition": "run"}, {"ignition": "run", "lighting": "on", "headlamp": "low", "engine": "running"}],
    ids=["off", "run", "night"],
)
def test_kirchhoff_holds_in_a_starter_plan(built, positions):
    solution = solve(built.branches, positions)
    assert solution.point.residual_a < 1e-9
    assert solution.findings == ()


def test_low_beam_lights_with_the_headlamp_switch(built):
    night = {"ignition": "run", "lighting": "on", "headlamp": "low"}
    beams = [load for load in built.branches.network.loads if load.circuit.startswith("low beam")]
    lit, dark = solve(built.branches, night), solve(built.branches, {"ignition": "run"})
    assert beams
    for load in beams:
        assert lit.load_current_a(load) == pytest.approx(load.rated_a, rel=0.05)
        assert abs(dark.load_current_a(load)) < 1e-6
