"""The register of patterns: every circuit finds one pattern in each stage."""

from __future__ import annotations

from hypothesis import given

from circuits.harness.routes import Router
from circuits.patterns.book import DeviceBook
from circuits.patterns.draft import Draft, Site
from circuits.patterns.pattern import always
from circuits.patterns.registry import STAGES, draw
from circuits.patterns.taps import Tapped
from circuits.plan import Circuit, Plan
from circuits.rules import BuildRules
from tests.circuits.cast import DIP, FUEL, GAUGES, HORN, MAIN, SIX, TAIL, marsh_hare, wired_back
from tests.circuits.looms import woven_plans


def draft_of(circuit: Circuit, plan: Plan) -> Draft:
    names = {other.name for other in plan.circuits}
    site = Site(plan, names, BuildRules(), Router(plan), DeviceBook(), {circuit.name: circuit.name})
    return Draft(site, circuit, 1.0, Tapped((0.0,) * len(circuit.load_at)))


def test_every_stage_ends_with_a_pattern_for_all_that_is_left():
    assert len(STAGES) == 4
    assert all(stage[-1].applies is always for stage in STAGES)


def test_every_pattern_has_a_name_of_its_own():
    names = [pattern.name for stage in STAGES for pattern in stage]
    assert len(names) == len(set(names))


def test_the_cast_and_a_wired_return_use_every_pattern():
    used = {name for circuit in (*SIX, wired_back(HORN)) for name in draw(draft_of(circuit, marsh_hare()))}
    assert used == {pattern.name for stage in STAGES for pattern in stage}


def test_the_pattern_of_each_member_of_the_cast():
    supply = {circuit.name: draw(draft_of(circuit, marsh_hare()))[1] for circuit in (MAIN, DIP, TAIL, GAUGES, FUEL)}
    assert supply == {
        "main feed": "direct feed",
        "dip beam": "relayed load",
        "tail lamps": "switched load",
        "gauges": "direct feed",
        "fuel level": "direct feed",
    }


@given(woven_plans(most_circuits=2))
def test_any_circuit_uses_one_pattern_a_stage(plan: Plan):
    for circuit in plan.circuits:
        used = draw(draft_of(circuit, plan))
        for name, stage in zip(used, STAGES, strict=True):
            assert name in {pattern.name for pattern in stage}
