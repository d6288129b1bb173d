"""Switches and relays by kind of load: the published factors, what is asked, and that added relays cure."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings

from circuits.electrical.added_relays import relays_that_cure, with_relays
from circuits.electrical.contacts import Contact, ContactLoads, contacts, factor_of, smallest_relay_a
from circuits.electrical.sizing import size_plan
from circuits.findings import Finding
from circuits.plan import Circuit, Kind, Plan, Vehicle
from circuits.rules import BuildRules, SupplyRules
from tests.circuits.cast import MAIN, RUNS
from tests.circuits.electrical.published import rows, worked
from tests.circuits.electrical.test_feeds import load
from tests.circuits.looms import woven_plans

SWITCHED = {"switch_at": "dash", "switch": "lights:on"}
OVER = ("switch-over-rating", "switch-over-usual")


def plan_of(*circuits: Circuit, vehicle: Vehicle | None = None) -> Plan:
    return Plan(vehicle or Vehicle(), (), RUNS, (MAIN, *circuits))


def the_switch(*circuits: Circuit, **vehicle: float) -> Contact:
    [found] = [c for c in contacts(size_plan(plan_of(*circuits, vehicle=Vehicle(**vehicle)))) if not c.is_relay]  # type: ignore[arg-type]
    return found


def told(plan: Plan, *codes: str) -> list[Finding]:
    return [finding for finding in size_plan(plan).findings if finding.code in codes]


@pytest.mark.parametrize(
    "row", rows("faa_ac4313_table11_4_switch_derating"), ids=lambda r: f"{r['nominal_V']}{r['load']}"
)
def test_factors_are_those_published(row: dict[str, str]):
    """AC 43.13-1B table 11-4; its 28 V is a system of 24 V nominal."""
    system_v = {"28": 24.0, "12": 12.0}[row["nominal_V"]]
    assert factor_of(row["load"], system_v) == float(row["factor_multiply_load_current_by"])


def test_the_published_example_is_reproduced():
    """AC 43.13-1B table 11-4: a motor of 6 A at 28 V asks for a switch of 18 A."""
    assert "load_A=6" in worked("WE037")["inputs"]
    motor = load("motor", 6.0, kind=Kind.MOTOR, **SWITCHED)
    assert the_switch(motor, system_v=24.0).needed_a == float(worked("WE037")["expected_output"])


@pytest.mark.parametrize(
    ("kind", "needed_a"),
    [(Kind.LAMP, 10), (Kind.LED, 10), (Kind.ELECTRONICS, 10), (Kind.MOTOR, 4), (Kind.COIL, 4), (Kind.HEATER, 2)],
)
def test_each_kind_of_load_asks_for_its_factor(kind: Kind, needed_a: float):
    assert the_switch(load("one", 2.0, kind=kind, **SWITCHED)).needed_a == pytest.approx(needed_a)


def test_loads_of_one_position_add_up_and_the_worst_position_counts():
    low = load("low", 2.0, switch_at="dash", switch="lights:low")
    high = load("high", 3.0, switch_at="dash", switch="lights:high")
    both = load("side", 1.0, switch_at="dash", switch="lights:low, high")
    found = the_switch(low, high, both)
    assert (found.position, found.needed_a) == ("high", 20.0)


def test_a_feeders_switch_makes_and_breaks_only_what_has_no_contact_of_its_own():
    key = Circuit("key", "dash", "main feed", "panel", "row", ("panel",), Kind.FEEDER, load_a=20.0,
                  switch_at="dash", switch="ignition:run")  # fmt: skip
    coil = load("coil", 4.0, feed="key", kind=Kind.COIL)
    fan = load("fan", 9.0, feed="key", kind=Kind.MOTOR, switch_at="dash", switch="fan")
    found = next(c for c in contacts(size_plan(plan_of(key, coil, fan))) if "key" in c.circuits)
    assert found.needed_a == pytest.approx(4 * 2 + 9)
    assert found.rated_a == SupplyRules().key_switch_a
    assert found.breaks_coil


def test_a_relay_is_chosen_for_its_load_and_its_switch_only_drives_the_coil():
    lamp = load("lamp", 5.0, relay_at="panel", **SWITCHED)
    found = {c.is_relay: c for c in contacts(size_plan(plan_of(lamp)))}
    assert (found[True].needed_a, found[True].rated_a) == (25.0, 30.0)
    assert (found[False].needed_a, found[False].breaks_coil) == (0.4, True)
    assert smallest_relay_a(25.0, 24.0) == 50.0


def test_a_switch_of_a_stated_rating_is_warned_of_and_one_of_a_usual_rating_noted():
    lamp = load("lamp", 5.0, **SWITCHED)
    [usual] = told(plan_of(lamp), *OVER)
    [stated] = told(plan_of(replace(lamp, switch_a=16.0)), *OVER)
    assert (usual.code, usual.severity, usual.figure, usual.limit) == ("switch-over-usual", "note", "25 A", "20 A")
    assert (stated.code, stated.severity, stated.limit) == ("switch-over-rating", "warning", "16 A")
    assert "Add a relay for lamp at panel" in stated.cure


@pytest.mark.parametrize("switch_a", [None, 12.0])
def test_each_cure_of_a_switch_removes_the_finding(switch_a: float | None):
    lamps = tuple(load(name, amps, **SWITCHED, switch_a=switch_a) for name, amps in (("fog", 4.0), ("side", 1.5)))
    plan = plan_of(*lamps)
    [finding] = told(plan, *OVER)
    relays = dict(re.findall(r"a relay for (\w+) at (\w+)", finding.cure))
    assert next(iter(relays)) == "fog"
    assert not told(with_relays(plan, relays), *OVER, "relay-over-rating")
    said = re.search(r"switch rated (\d+) A", finding.cure)
    assert said
    rated = tuple(replace(one, switch_a=float(said[1])) for one in lamps)
    assert not told(plan_of(*rated), *OVER)


def test_no_more_relays_are_named_than_are_needed():
    lamps = (load("fog", 4.0, **SWITCHED), load("side", 1.0, **SWITCHED))
    sized = size_plan(plan_of(*lamps))
    [over] = [c for c in contacts(sized) if not c.holds]
    assert dict(relays_that_cure(over, ContactLoads(sized))) == {"fog": "panel"}


def test_a_relay_that_is_too_small_is_told_and_cured_by_the_one_named():
    lamp = load("lamp", 9.0, relay_at="panel", relay_a=30.0, **SWITCHED)
    [finding] = told(plan_of(lamp), "relay-over-rating")
    assert (finding.figure, finding.limit) == ("45 A", "30 A")
    said = re.search(r"relay of (\d+) A", finding.cure)
    assert said
    assert not told(plan_of(replace(lamp, relay_a=float(said[1]))), "relay-over-rating")


def test_a_load_beyond_any_relay_is_to_be_split_and_then_is_none():
    lamp = load("lamp", 30.0, relay_at="panel", **SWITCHED)
    [finding] = told(plan_of(lamp), "relay-over-rating")
    assert finding.cure == "Split the circuit over several relays."
    halves = tuple(replace(lamp, name=f"lamp {n}", load_a=15.0) for n in (1, 2))
    assert not told(plan_of(*halves), "relay-over-rating")


@settings(max_examples=30, deadline=None)
@given(woven_plans())
def test_added_relays_cure_every_switch_that_they_are_named_for(plan: Plan):
    rules = BuildRules(supply=SupplyRules(switch_a=10.0))
    sized = size_plan(plan, rules)
    loads = ContactLoads(sized)
    for contact in contacts(sized, loads):
        relays = relays_that_cure(contact, loads)
        if relays:
            after = contacts(size_plan(with_relays(plan, relays), rules))
            assert next(c for c in after if c.device == contact.device).holds
