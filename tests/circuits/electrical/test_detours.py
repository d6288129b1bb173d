"""Other ways for circuits: shown where they are gentler, and sized as they would be if they were taken."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from circuits.electrical.detours import detours
from circuits.electrical.sizing import size_plan
from circuits.plan import Circuit, Disposition, Kind, Plan, Run, Vehicle
from circuits.rules import BuildRules, RouteBy, RouteRules
from circuits.sheets.starters import STARTERS, load_starter
from tests.circuits.looms import meshes

GENTLE = BuildRules(routes=RouteRules(route_by=RouteBy.GENTLEST))
HOT = Run("panel", "fan", 1.0, "near exhaust")
COOL = (Run("panel", "sill", 0.6), Run("sill", "fan", 0.52))


def fan(**changed: object) -> Circuit:
    given_ = {"load_a": 20.0} | changed
    return Circuit("fan", "front", "battery", "panel", "fan", ("fan",), Kind.MOTOR, **given_)  # type: ignore[arg-type]


def plan_of(*runs: Run, circuits: tuple[Circuit, ...] = (fan(),)) -> Plan:
    return Plan(Vehicle(), (), runs, circuits)


def test_a_cooler_way_is_told_with_its_length_heat_and_size():
    [found] = detours(size_plan(plan_of(HOT, *COOL)))
    assert found.places == ("panel", "sill", "fan")
    assert found.longer_m == pytest.approx(0.12)
    assert (found.cooler_k, found.is_still) == (80.0, False)
    assert found.thinner >= 1


def test_a_still_way_is_told_where_the_shortest_moves():
    hinge = Run("panel", "fan", 1.0, moves=True)
    [found] = detours(size_plan(plan_of(hinge, *COOL)))
    assert (found.cooler_k, found.is_still, found.thinner) == (0.0, True, 0)


@pytest.mark.parametrize("far_m", [2.0, 2.7])
def test_a_way_is_told_only_where_the_heat_outweighs_its_length(far_m: float):
    """At 2 % a kelvin, 80 K hotter counts a metre as 2.6."""
    told = detours(size_plan(plan_of(HOT, Run("panel", "fan", far_m))))
    assert bool(told) == (far_m < 2.6)


def test_nothing_is_told_where_the_shop_takes_the_gentlest_way_or_the_wires_stay():
    assert detours(size_plan(plan_of(HOT, *COOL), GENTLE)) == ()
    assert detours(size_plan(plan_of(HOT, *COOL, circuits=(fan(disposition=Disposition.KEEP),)))) == ()


@pytest.mark.parametrize("starter", sorted(STARTERS))
def test_looms_without_a_second_way_have_none_to_tell(starter: str):
    plan = load_starter(starter)
    runs = {frozenset((run.start, run.end)) for run in plan.runs}
    is_tree = len(runs) == len(plan.runs) == len(plan.places) - 1
    assert not (is_tree and detours(size_plan(plan)))


@settings(max_examples=25, deadline=None)
@given(meshes(), st.floats(1.0, 25.0))
def test_a_circuit_led_the_other_way_gets_the_wires_that_were_told(runs: tuple[Run, ...], load_a: float):
    """The way is taken as a shop would: by the rule. One circuit alone, as others would move too."""
    plan = Plan(Vehicle(), (), runs, ())
    start, end = plan.places[0], plan.places[-1]
    lone = replace(fan(load_a=load_a), fed_at=start, load_at=(end,))
    plan = replace(plan, circuits=(lone,))
    taken = size_plan(plan, GENTLE)
    for told in detours(size_plan(plan)):
        assert [(w.wire.path, w.conductor.label, w.wire.length_m) for w in told.after] == [
            (w.wire.path, w.conductor.label, w.wire.length_m) for w in taken.wires
        ]
        assert told.cooler_k > 0 or told.is_still
