"""Any plan that can be wired makes a network that hangs together, can be solved, and does what the plan intends."""

from __future__ import annotations

from hypothesis import given, settings

from circuits.electrical.sizing import size_plan
from circuits.network.behaviour import behave
from circuits.network.build import build_network
from circuits.network.states import sensible_states
from tests.circuits.looms import woven_plans

AGAINST_INTENT = {"load-dead", "load-unintended", "back-feed"}


@settings(max_examples=40)
@given(plan=woven_plans())
def test_any_plan_does_what_it_intends_unless_a_fuse_it_forces_opens(plan):
    built = build_network(size_plan(plan))
    assert "network-floating" not in {found.code for found in built.findings}
    for state in sensible_states(built.plan)[:8]:
        behaviour = behave(built, state.positions)
        assert behaviour.solution.point.residual_a < 1e-9, state.name
        found = {one.code for one in behaviour.findings}
        assert behaviour.solution.opened or not found & AGAINST_INTENT, state.name
        forced = {circuit.name for circuit in plan.circuits if circuit.fuse_a is not None}
        assert {name.removeprefix("fuse: ") for name in behaviour.solution.opened} <= forced, state.name
