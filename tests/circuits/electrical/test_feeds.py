"""The tree of feeds: what hangs on what, and what a feeder carries at once and on average."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings

from circuits.electrical.duties import Case
from circuits.electrical.feed_ways import FeedWays, bus_behind, is_charge_lead
from circuits.electrical.sizing import size_plan
from circuits.electrical.supply import Supply, supply
from circuits.plan import Circuit, Duty, Kind, Plan, Run, Vehicle
from circuits.rules import BuildRules
from circuits.sheets.starters import STARTERS, load_starter
from tests.circuits.cast import MAIN, RUNS, marsh_hare
from tests.circuits.looms import woven_plans


def load(name: str, load_a: float, **changed: object) -> Circuit:
    values: dict[str, object] = {
        "name": name,
        "section": "front",
        "feed": "main feed",
        "fed_at": "panel",
        "load": name,
        "load_at": ("dash",),
        "kind": Kind.LAMP,
        "load_a": load_a,
    }
    return Circuit(**(values | changed))  # type: ignore[arg-type]


def supply_of(*circuits: Circuit, **vehicle: float) -> Supply:
    plan = Plan(Vehicle(**vehicle), (), RUNS, (MAIN, *circuits))  # type: ignore[arg-type]
    return supply(size_plan(plan))


def together_a(*circuits: Circuit) -> float:
    return supply_of(*circuits).feed("main feed").together_a


def test_positions_of_one_switch_are_not_on_together():
    low = load("low beam", 9.0, switch_at="dash", switch="headlamp:low")
    high = load("high beam", 10.0, switch_at="dash", switch="headlamp:high")
    side = load("side", 2.0, switch_at="dash", switch="headlamp:low, high")
    fan = load("fan", 5.0, switch_at="dash", switch="fan")
    assert together_a(low, high, side, fan) == pytest.approx(10 + 2 + 5)


def test_of_loads_for_moments_the_largest_counts_in_full_and_the_others_by_their_share():
    horn = load("horn", 6.0, kind=Kind.COIL, duty=Duty.INTERMITTENT)
    pump = load("washer", 3.0, kind=Kind.MOTOR, duty=Duty.INTERMITTENT)
    assert together_a(horn, pump) == pytest.approx(6 + 3 * 0.02)


def test_lamps_of_the_lighting_bus_burn_at_night():
    found = supply_of(load("tail", 2.0, feed="lighting"))
    assert [balance.load_a for balance in found.balances] == [0.0, 0.0, 2.0, 2.0]


def test_a_bus_hangs_on_the_feeder_named_or_switched_for_it_else_on_that_of_its_panel():
    row = Circuit("row", "dash", "main feed", "panel", "row", ("dash",), Kind.FEEDER, load_a=20.0,
                  switch_at="dash", switch="ignition:run")  # fmt: skip
    assert bus_behind(row) == "ignition"
    assert bus_behind(replace(row, switch="lighting:on", load="accessory row")) == "accessory"
    coil = load("coil", 4.0, feed="ignition", kind=Kind.COIL)
    radio = load("radio", 4.0, feed="accessory", kind=Kind.ELECTRONICS)
    direct = load("alarm", 1.0, feed="battery", kind=Kind.ELECTRONICS)
    ways = FeedWays((MAIN, row, coil, radio, direct))
    assert list(ways.way_up(coil)) == ["row", "main feed", "battery"]
    assert list(ways.way_up(radio)) == ["accessory bus", "main feed", "battery"]
    assert list(ways.way_up(direct)) == ["main feed", "battery"]
    assert [ways.bus_of(one) for one in (coil, radio, direct)] == ["ignition", "accessory", "battery"]


def test_a_starter_a_start_bus_and_a_charge_lead_are_no_load_of_a_running_engine():
    lead = Circuit("b+", "bay", "battery", "battery", "alternator output", ("nose",), Kind.FEEDER, load_a=60.0)
    assert is_charge_lead(lead)
    solenoid = load("solenoid", 12.0, feed="start", kind=Kind.COIL, duty=Duty.INTERMITTENT)
    found = supply_of(solenoid, lead)
    assert found.loads == ()
    assert [one.name for one in found.feeds] == ["battery", "main feed"]
    assert found.charge_leads[0].circuit == "b+"


def test_feeds_that_go_round_in_a_circle_end_at_the_battery():
    one, other = load("one", 1.0, feed="other"), load("other", 1.0, feed="one")
    ways = FeedWays((one, other))
    assert list(ways.way_up(one)) == ["other", "battery"]


@settings(max_examples=40, deadline=None)
@given(woven_plans())
def test_what_a_feed_carries_is_within_its_loads_and_grows_towards_the_battery(plan: Plan):
    found = supply(size_plan(plan))
    loads = {one.circuit.name: one.current_a for one in found.loads}
    feeds = {feed.name: feed for feed in found.feeds}
    assert feeds["battery"].depth == 0
    for feed in found.feeds:
        assert feed.together_a <= sum(loads[name] for name in feed.loads) + 1e-9
        for case in Case:
            assert 0 <= feed.mean_a[case] <= sum(loads[name] for name in feed.loads) + 1e-9
        above = feeds.get(feed.above)
        if above is not None:
            assert set(feed.loads) <= set(above.loads)
            assert above.depth < feed.depth
            assert feed.together_a <= above.together_a + 1e-9
    assert set(feeds["battery"].loads) == set(loads)


@pytest.mark.parametrize("starter", sorted(STARTERS))
def test_the_balance_is_that_of_the_battery_by_case_and_by_kind(starter: str):
    found = supply(size_plan(load_starter(starter), BuildRules()))
    for balance in found.balances:
        assert balance.load_a == pytest.approx(found.feed("battery").mean_a[balance.case])
        assert balance.load_a == pytest.approx(sum(balance.by_kind.values()))


def test_the_marsh_hare_hangs_together():
    found = supply(size_plan(marsh_hare()))
    assert found.feed("main feed").feeds_fuses_at == ("panel",)
    assert set(found.feed("main feed").loads) == {"dip beam", "tail lamps", "horn", "gauges", "fuel level"}


def test_an_empty_plan_has_a_battery_and_nothing_on_it():
    found = supply(size_plan(Plan(Vehicle(), (), (Run("a", "b", 1.0),), ())))
    assert [feed.name for feed in found.feeds] == ["battery"]
    assert found.parked.days is None
