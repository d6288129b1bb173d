"""The check sheet as worked out from a plan, against figures worked by hand."""

from __future__ import annotations

import csv
import math
from dataclasses import replace
from pathlib import Path

import pytest

from circuits.electrical.sizing import size_plan
from circuits.errors import QuantityError
from circuits.plan import Circuit, Duty, Kind, Plan, Vehicle
from shop.proof.checks import BEFORE_BATTERY, BEFORE_POWER, Check, Group, check_sheet
from shop.proof.judging import is_within, read_value
from shop.proof.limits import LimitError, Limits, packaged_limits
from tests.shop.floor import cast

LIMITS = Limits.of()
DROPS = "voltage_drop_limits.csv"
REFERENCE = Path(__file__).parents[2] / "reference"


def sheet(plan: Plan = cast.PLAN, limits: Limits = LIMITS) -> dict[str, Check]:
    return {check.key: check for check in check_sheet(size_plan(plan), limits)}


def of(*circuits: Circuit, vehicle: Vehicle = cast.PLAN.vehicle) -> dict[str, Check]:
    return sheet(replace(cast.PLAN, circuits=circuits, vehicle=vehicle))


def bounds(check: Check) -> tuple[float, float]:
    assert check.least_expected is not None
    assert check.most_expected is not None
    return check.least_expected, check.most_expected


def test_groups_come_in_the_order_they_are_made():
    groups = [check.group for check in check_sheet(size_plan(cast.PLAN), LIMITS)]
    assert list(dict.fromkeys(groups)) == list(Group)


def test_a_source_waits_for_the_ohmmeter_and_the_battery_for_the_source():
    assert BEFORE_POWER == (Group.LOOK, Group.GROUNDS, Group.OUTPUTS, Group.WHOLE)
    assert set(BEFORE_BATTERY) - set(BEFORE_POWER) == {Group.FIRST_POWER}


def test_every_ground_point_is_measured_once():
    sized = size_plan(cast.PLAN)
    places = {device.place for device in sized.wiring.devices if device.lands.value == "ground point"}
    grounds = [check for check in check_sheet(sized, LIMITS) if check.group is Group.GROUNDS]
    assert {check.key for check in grounds} == {f"ground {place}" for place in places}
    assert len(grounds) == len(places)
    assert all((check.expected, check.high) == (0.005, 0.1) for check in grounds)


def test_every_fuse_is_measured_once():
    sized = size_plan(cast.PLAN)
    outputs = [check.key for check in check_sheet(sized, LIMITS) if check.group is Group.OUTPUTS]
    assert sorted(outputs) == sorted(f"output {fuse.name}" for fuse in sized.fuses)


def test_behind_a_switch_that_is_off_the_line_is_open():
    assert of(cast.BEAM)["output low beam"].low == 10_000


def test_a_cold_filament_reads_a_tenth_of_what_it_runs_at_and_half_of_the_least_is_a_short():
    """5 W at 12 V runs at 144 / 5 = 28.8 ohm; its wires, joints and fuse add a little."""
    check = of(cast.TAIL)["output tail lamp"]
    assert check.expected == pytest.approx(2.88, abs=0.15)
    least, most = bounds(check)
    assert least < 2.88 < most
    assert check.low == pytest.approx(least / 2)


def test_a_heater_reads_its_own_resistance_and_the_way_to_it():
    heater = Circuit("pane", "rear", "ignition", "panel", "heated pane", ("tail",), Kind.HEATER, load_a=10.0)
    check = of(heater)["output pane"]
    assert check.expected == pytest.approx(1.2, abs=0.06)
    assert check.low == pytest.approx(bounds(check)[0] / 2)


def test_what_electronics_read_is_not_told():
    unit = Circuit("unit", "dash", "battery", "panel", "engine unit", ("tail",), Kind.ELECTRONICS, load_a=2.0)
    found = of(unit)
    assert found["output unit"].expected is None
    assert "unplug" in found["output unit"].basis
    assert found["key off"].expected is None
    assert found["on unit"].expected == pytest.approx(2.0)


def test_the_whole_vehicle_lets_through_no_more_than_the_key_off_draw():
    assert sheet()["whole"].low == pytest.approx(12 / 0.05)
    own = Limits.of([("key_off", None, 0.02)])
    assert sheet(limits=own)["whole"].low == pytest.approx(600)


def test_a_circuit_on_draws_what_the_plan_says_within_limits_and_never_more_than_its_fuse():
    sized = size_plan(cast.PLAN)
    [rating_a] = [one.fuse.rating_a for one in sized.circuits if one.circuit.name == "horn" and one.fuse]
    check = sheet()["on horn"]
    assert check.expected == pytest.approx(5.0, rel=0.02)
    least, most = bounds(check)
    assert least < 5.0 < most
    assert check.low == pytest.approx(3.5)
    assert check.high == pytest.approx(min(6.5, rating_a))
    assert check.how == "Switch: horn:on."


def test_the_fuse_caps_the_current_where_the_share_would_not():
    steady = replace(cast.HORN, load_a=7.5, duty=Duty.INTERMITTENT, fuse_a=7.5)
    assert of(steady)["on horn"].high == 7.5


def test_drops_are_held_to_the_plan():
    strict = replace(cast.BEAM, max_drop_percent=2.5)
    assert of(strict)["drop low beam"].high == pytest.approx(0.3)


def test_a_24_volt_vehicle_rests_and_charges_at_twice_the_voltage():
    found = of(cast.BEAM, vehicle=replace(cast.PLAN.vehicle, system_v=24.0))
    assert (found["rest"].low, found["charging"].low, found["charging"].high) == (24.8, 27.0, 29.6)


def test_removed_circuits_are_not_checked():
    assert not [check for check in sheet().values() if "fog lamp" in check.circuits]


def test_a_plan_without_wires_has_no_sheet():
    assert check_sheet(size_plan(replace(cast.PLAN, circuits=())), LIMITS) == ()


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize(
    ("limit", "side", "table", "item", "column"),
    [
        ("ground_point", "high", "ground_resistance.csv", "added ground point", "max_resistance_ohm"),
        ("charge_line_drop", "high", DROPS, "alternator output line at 30 A", "max_drop_V"),
        ("body_ground_drop", "high", DROPS, "body ground path, lamp circuit", "max_drop_V"),
        ("starter_positive_drop", "high", DROPS, "starter positive circuit while cranking", "max_drop_V"),
        ("starter_ground_drop", "high", DROPS, "starter ground circuit while cranking", "max_drop_V"),
        ("charging", "low", "battery_charging.csv", "charging voltage, general service range", "min"),
        ("charging", "high", "battery_charging.csv", "charging voltage, general service range", "max"),
        ("battery_rest", "low", "battery_ocv_soc.csv", "75", "ocv_min_V"),
    ],
)  # fmt: skip
def test_packaged_limits_are_the_published_ones(limit, side, table, item, column):
    [published] = {row[column] for row in rows(table) if item in row.values() and row["status"] != "memory"}
    assert getattr(LIMITS[limit], side) == float(published)


def test_key_off_limit_is_the_published_one_in_milliamperes():
    [row] = [row for row in rows("battery_charging.csv") if row["quantity"] == "parasitic draw, older cars"]
    assert LIMITS["key_off"].high == pytest.approx(float(row["max"]) / 1000)


def test_every_packaged_limit_names_its_source():
    assert all(row.source for row in packaged_limits())


@pytest.mark.parametrize(("low", "high"), [(None, None), (2.0, 1.0), (-1.0, None), (math.inf, None)])
def test_limits_between_which_nothing_can_lie_are_refused(low, high):
    with pytest.raises(LimitError):
        LIMITS["charging"].with_sides(low, high)


@pytest.mark.parametrize(
    ("typed", "unit", "value"),
    [
        ("0.4 ohm", "ohm", 0.4),
        ("380 mA", "A", 0.38),
        ("12,6", "V", 12.6),
        ("OL", "ohm", math.inf),
        ("2 kohm", "ohm", 2000),
    ],
)
def test_readings_are_typed_with_units(typed, unit, value):
    assert read_value(typed, unit) == value


@pytest.mark.parametrize(("typed", "unit"), [("5 ft", "A"), ("lots", "V"), ("-0.2 A", "A"), ("OL", "V"), ("", "ohm")])
def test_what_is_no_reading_is_refused_with_what_was_expected(typed, unit):
    with pytest.raises(QuantityError, match="expected"):
        read_value(typed, unit)


@pytest.mark.parametrize(("value", "verdict"), [(13.5, True), (14.8, True), (13.49, False), (14.81, False)])
def test_a_reading_on_its_limit_passes(value, verdict):
    assert is_within(value, 13.5, 14.8) is verdict
