"""Every finding on the supply: when it comes, what it says, and that each cure it names removes it."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from circuits.electrical.conductors import conductor
from circuits.electrical.cranking import supply_limit
from circuits.electrical.link_wire import gauge_number, link_wire_of
from circuits.electrical.parked import rest_v
from circuits.electrical.sizing import size_plan
from circuits.electrical.supply import supply
from circuits.errors import PlanError
from circuits.findings import Finding
from circuits.fittings import Cavity, Connector, Half
from circuits.plan import Circuit, Duty, FuseFamily, Kind, Plan, Return, Vehicle
from circuits.rules import BuildRules, SupplyRules
from tests.circuits.cast import MAIN, RUNS
from tests.circuits.electrical.cures import fitted
from tests.circuits.electrical.published import read_rows, rows
from tests.circuits.electrical.test_feeds import load

CAR = Vehicle(battery_ah=60.0, battery_cca_a=500.0, alternator_a=50.0, alternator_idle_a=20.0)
STARTER = Circuit(
    "starter", "bay", "battery", "battery", "starter", ("nose",), Kind.MOTOR, load_a=180.0, duty=Duty.INTERMITTENT,
    fuse_family=FuseFamily.NONE, return_by=Return.WIRED, ground_at="battery", max_drop_percent=20.0,
)  # fmt: skip
LEAD = Circuit("charge lead", "bay", "battery", "battery", "alternator output", ("nose",), Kind.FEEDER, load_a=40.0,
               fuse_family=FuseFamily.BOLT_IN)  # fmt: skip


def plan_of(*circuits: Circuit, vehicle: Vehicle = CAR) -> Plan:
    return Plan(vehicle, (), RUNS, (MAIN, *circuits))


def found(plan: Plan, code: str, rules: BuildRules | None = None) -> list[Finding]:
    return [finding for finding in size_plan(plan, rules).findings if finding.code == code]


def stated(plan: Plan, finding: Finding) -> Plan:
    """The plan with the load that the cure names: ``State 84 A as the load of main feed``."""
    said = re.match(r"State (\d+) A as the load of ([^,.]+)", finding.cure)
    assert said, finding.cure
    changed = {"load_a": float(said[1]), "load_w": None, "fuse_a": None}
    return replace(
        plan,
        circuits=tuple(replace(one, **changed) if one.name == said[2] else one for one in plan.circuits),  # type: ignore[arg-type]
    )


def ampere(finding: Finding) -> float:
    said = re.search(r"(\d+) A", finding.cure)
    assert said
    return float(said[1])


@pytest.mark.parametrize("fuse_a", [None, 40.0])
def test_a_feeder_whose_loads_open_its_fuse_is_told_and_cured_by_stating_them(fuse_a: float | None):
    main = replace(MAIN, load_a=20.0, fuse_a=fuse_a)
    plan = Plan(CAR, (), RUNS, (main, *(load(f"heater {n}", 12.0, kind=Kind.HEATER) for n in range(5))))
    [told] = found(plan, "feeder-over-fuse")
    assert (told.circuit, told.figure) == ("main feed", "60 A")
    assert not found(stated(plan, told), "feeder-over-fuse")


def test_a_contact_on_a_feeders_way_is_told_and_cured_by_larger_ones():
    pair = tuple(
        Connector(name, "bulkhead", "sealed 6.3", half, 2, mates_with=mate, in_loom=True, contact_a=25.0)
        for name, half, mate in (("C1", Half.PIN, "C2"), ("C2", Half.SOCKET, "C1"))
    )
    cavities = tuple(Cavity(name, "1", "main feed") for name in ("C1", "C2"))
    plan = Plan(CAR, (), RUNS, (replace(MAIN, load_a=20.0), load("glass", 30.0, kind=Kind.HEATER)), pair, cavities)
    [told] = found(plan, "feeder-over-contact")
    assert (told.circuit, told.figure, told.limit) == ("main feed", "30 A", "25 A")
    larger = replace(plan, connectors=tuple(replace(one, contact_a=ampere(told)) for one in pair))
    assert not found(larger, "feeder-over-contact")
    assert not found(replace(plan, connectors=(), cavities=()), "feeder-over-contact")


def test_a_bus_bar_beyond_what_the_shop_counts_on_is_told_and_cured_by_another_bar():
    plan = plan_of(load("glass", 30.0, kind=Kind.HEATER))
    small = BuildRules(supply=SupplyRules(panel_bus_a=25.0))
    [told] = found(plan, "panel-bus-over", small)
    assert (told.figure, told.limit) == ("30 A", "25 A")
    assert not found(plan, "panel-bus-over", BuildRules(supply=SupplyRules(panel_bus_a=ampere(told))))
    assert not found(plan, "panel-bus-over", BuildRules(supply=SupplyRules(panel_bus_a=0.0)))


def test_a_charge_lead_thinner_than_the_alternator_is_told_and_cured():
    plan = plan_of(LEAD)
    [told] = found(plan, "charge-lead-small")
    assert (told.figure, told.limit) == ("50 A", "40 A")
    assert not found(stated(plan, told), "charge-lead-small")


@pytest.mark.parametrize(
    ("code", "field"), [("alternator-short", "alternator_a"), ("alternator-short-idle", "alternator_idle_a")]
)
def test_an_alternator_that_gives_too_little_is_told_and_cured_by_the_one_named(code: str, field: str):
    plan = plan_of(load("amplifier", 55.5, kind=Kind.ELECTRONICS))
    [told] = found(plan, code)
    assert told.figure == "55.5 A"
    better = replace(plan, vehicle=replace(CAR, **{field: ampere(told)}))  # type: ignore[arg-type]
    assert not found(better, code)
    unknown = replace(plan, vehicle=replace(CAR, **{field: None}))  # type: ignore[arg-type]
    assert not found(unknown, code)


def test_a_battery_that_is_flat_too_soon_is_told_and_each_way_out_cures_it():
    """60 Ah, half of it usable: 30 Ah over 0.5 A are 60 h."""
    alarm = load("alarm", 0.5, kind=Kind.ELECTRONICS)
    plan = plan_of(alarm)
    [told] = found(plan, "battery-flat-soon")
    assert (told.figure, told.limit) == ("2.5 days", "7 days")
    for cure in (
        plan_of(replace(alarm, switch_at="dash", switch="alarm")),
        plan_of(replace(alarm, feed="ignition")),
        plan_of(replace(alarm, load_a=0.178)),
        plan_of(alarm, vehicle=replace(CAR, battery_ah=168.0)),
    ):
        assert not found(cure, "battery-flat-soon")
    assert "keep the draw within 179 mA" in told.cure
    assert "a battery of 168 Ah" in told.cure


def test_a_draw_above_the_usual_is_noted_and_cured():
    [told] = found(plan_of(load("clock", 0.09, kind=Kind.ELECTRONICS)), "key-off-draw")
    assert (told.figure, told.limit) == ("90 mA", "85 mA")
    assert not found(plan_of(load("clock", 0.03, kind=Kind.ELECTRONICS)), "key-off-draw")
    assert not found(plan_of(load("clock", 0.09, kind=Kind.ELECTRONICS, feed="accessory")), "key-off-draw")


@pytest.mark.parametrize("size", ["10 AWG", "16 mm²"])
def test_a_starter_cable_that_drops_too_much_is_told_and_cured_by_the_size_named(size: str):
    plan = plan_of(replace(STARTER, size=size))
    [told] = found(plan, "cranking-drop")
    cured = fitted(plan, replace(told, circuit="starter"))
    assert cured
    assert not found(cured, "cranking-drop")
    [cranked] = supply(size_plan(cured)).crankings
    assert cranked.positive_v <= 0.5
    assert cranked.return_v <= 0.3


def test_a_battery_below_twice_the_starter_is_told_and_cured():
    plan = plan_of(STARTER, vehicle=replace(CAR, battery_cca_a=300.0))
    [told] = found(plan, "battery-small-for-starter")
    assert (told.figure, told.limit) == ("180 A", "150 A")
    assert not found(plan_of(STARTER, vehicle=replace(CAR, battery_cca_a=ampere(told))), "battery-small-for-starter")


def test_limits_while_cranking_are_those_published():
    """Auto Meter SB-5 manual, by way of the list of voltage drop limits."""
    published = {row["item"]: float(row["max_drop_V"]) for row in read_rows("voltage_drop_limits") if row["max_drop_V"]}
    assert supply_limit("crank_positive_v") == published["starter positive circuit while cranking"]
    assert supply_limit("crank_return_v") == published["starter ground circuit while cranking"]
    assert supply_limit("crank_whole_v") == published["starter positive plus ground while cranking"]
    assert supply_limit("charge_drop_v") == published["alternator output line at 30 A"]


def test_limits_of_batteries_are_those_published():
    published = {row["quantity"]: row for row in rows("battery_charging")}
    assert supply_limit("load_test_share") * 100 == float(published["load test current, share of CCA"]["max"])
    assert supply_limit("parked_usual_a") * 1000 == float(published["parasitic draw, newer cars"]["max"])


def test_rest_voltage_is_within_a_tenth_of_every_read_table_of_flooded_batteries():
    """But at flat: the tables read end at 11.6 V, those remembered at 11.89 V."""
    for row in rows("battery_ocv_soc"):
        if row["chemistry"] == "flooded" and float(row["state_of_charge_pct"]) > 0:
            assert rest_v(float(row["state_of_charge_pct"]) / 100) == pytest.approx(float(row["ocv_min_V"]), abs=0.1)


@pytest.mark.parametrize("label", ["6 AWG", "10 AWG", "2 AWG", "1/0 AWG", "10 mm²"])
def test_link_wire_is_four_numbers_thinner_and_melts_first(label: str):
    link = link_wire_of(conductor(label))
    assert link
    assert conductor(link.size).r20_ohm_per_m > 1.9 * conductor(label).r20_ohm_per_m
    if "AWG" in label:
        assert gauge_number(link.size) - gauge_number(label) == 4


def test_no_link_wire_is_named_where_none_is_thin_enough():
    assert link_wire_of(conductor("22 AWG")) is None


@pytest.mark.parametrize(
    "changed", [{"usable_share": 0.0}, {"usable_share": 1.1}, {"least_days": -1.0}, {"panel_bus_a": -1.0},
                {"switch_a": 0.0}, {"key_switch_a": float("inf")}],
)  # fmt: skip
def test_rules_that_make_no_sense_are_refused(changed: dict[str, float]):
    with pytest.raises(PlanError, match=next(iter(changed))):
        SupplyRules(**changed)


def test_a_parked_vehicle_is_not_looked_at_where_no_days_are_asked_for():
    plan = plan_of(load("alarm", 0.5, kind=Kind.ELECTRONICS))
    assert not found(plan, "battery-flat-soon", BuildRules(supply=SupplyRules(least_days=0.0)))


def test_feeders_from_the_battery_name_the_link_wire_that_would_do():
    shown = supply(size_plan(plan_of()))
    assert shown.links["main feed"].protects in {w.conductor.label for w in size_plan(plan_of()).wires}
