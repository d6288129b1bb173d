"""What the plan's values hold and refuse."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, replace
from typing import Any

import pytest

from circuits.errors import PlanError
from circuits.plan import BUSES, Circuit, Disposition, Kind, Plan, Run, Vehicle, Zone
from tests.circuits.cast import DIP, FUEL, GAUGES, HORN, RUNS, SIX, TAIL, marsh_hare


def circuit(**changed: Any) -> Circuit:
    return replace(HORN, **changed)


@pytest.mark.parametrize("field", ["name", "section", "feed", "fed_at", "load"])
def test_a_circuit_needs_each_required_text(field: str):
    with pytest.raises(PlanError, match=f"{field} is missing"):
        circuit(**{field: ""})


@pytest.mark.parametrize("places", [(), ("nose", "")])
def test_a_circuit_needs_a_place_for_every_load(places: tuple[str, ...]):
    with pytest.raises(PlanError, match="load_at is missing"):
        circuit(load_at=places)


@pytest.mark.parametrize(("amperes", "watts"), [(None, None), (5.0, 60.0)])
def test_a_circuit_states_amperes_or_watts_not_both(amperes: float | None, watts: float | None):
    with pytest.raises(PlanError, match="either load_a or load_w"):
        circuit(load_a=amperes, load_w=watts)


@pytest.mark.parametrize("wrong", [0.0, -1.0, float("nan"), float("inf")])
@pytest.mark.parametrize("field", ["load_a", "fuse_a", "max_drop_percent"])
def test_quantities_of_a_circuit_are_above_nothing_and_finite(field: str, wrong: float):
    with pytest.raises(PlanError, match=f"{field} must be above 0"):
        circuit(**{field: wrong})


def test_a_drop_of_more_than_half_is_refused():
    assert circuit(max_drop_percent=50.0).drop_limit_percent == 50.0
    with pytest.raises(PlanError, match="at most 50"):
        circuit(max_drop_percent=50.1)


@pytest.mark.parametrize(
    ("length_m", "start", "end"), [(0.0, "a", "b"), (-1.0, "a", "b"), (1.0, "a", "a"), (1.0, "", "b"), (1.0, "a", "")]
)
def test_a_run_leads_some_way_to_another_place(length_m: float, start: str, end: str):
    with pytest.raises(PlanError):
        Run(start, end, length_m)


@pytest.mark.parametrize("opening_mm", [0.0, -3.0, float("nan")])
def test_an_opening_has_a_width(opening_mm: float):
    with pytest.raises(PlanError, match="opening must be above 0"):
        Run("a", "b", 1.0, opening_mm=opening_mm)


@pytest.mark.parametrize("system_v", [6.0, 0.0, 48.0, float("nan")])
def test_only_12_and_24_volts_are_held(system_v: float):
    with pytest.raises(PlanError, match="system_v must be 12 or 24"):
        Vehicle(system_v=system_v)


@pytest.mark.parametrize("resistance_ohm", [-0.001, float("nan"), float("inf")])
def test_a_chassis_resistance_is_nothing_or_more(resistance_ohm: float):
    with pytest.raises(PlanError, match="chassis resistance"):
        Vehicle(chassis_resistance_ohm=resistance_ohm)


@pytest.mark.parametrize(("name", "ambient_c"), [("", 20.0), ("oven", 251.0), ("moon", -61.0), ("odd", float("nan"))])
def test_a_zone_has_a_name_and_a_bearable_temperature(name: str, ambient_c: float):
    with pytest.raises(PlanError):
        Zone(name, ambient_c)


def test_names_of_circuits_and_zones_are_unique_and_the_error_names_them():
    with pytest.raises(PlanError, match="circuit named twice: horn"):
        Plan(Vehicle(), (), (), (HORN, HORN))
    with pytest.raises(PlanError, match="zone named twice: attic"):
        Plan(Vehicle(), (Zone("attic", 30.0), Zone("attic", 40.0)), (), ())


def test_places_come_in_order_of_first_mention():
    assert Plan(Vehicle(), (), RUNS[:3], ()).places == ("battery", "bulkhead", "panel", "dash")


def test_the_sheets_zones_overrule_the_defaults():
    plan = marsh_hare(zones=(Zone("cabin", 50.0), Zone("attic", 35.0)))
    assert [plan.zone_ambient_c(zone) for zone in ("cabin", "attic", "boot", "cellar")] == [50.0, 35.0, 40.0, None]


def test_watts_are_taken_at_the_system_voltage():
    assert DIP.load_current_a(12.0) == pytest.approx(55 / 12)
    assert DIP.load_current_a(24.0) == pytest.approx(55 / 24)
    assert HORN.load_current_a(24.0) == 5.0


def test_safety_circuits_may_drop_three_percent_others_five_unless_the_plan_says():
    assert [c.drop_limit_percent for c in (DIP, TAIL, replace(DIP, max_drop_percent=2.0))] == [3.0, 5.0, 2.0]


def test_a_feed_is_a_bus_or_a_circuit():
    assert [c.is_fed_by_circuit for c in (GAUGES, FUEL)] == [False, True]
    assert "gauges" not in BUSES


def test_dispositions_say_what_is_wired_and_what_is_pulled_new():
    assert {d for d in Disposition if not d.is_wired} == {Disposition.REMOVE, Disposition.CAP_OFF}
    assert {d for d in Disposition if d.is_pulled_new} == {Disposition.REPLACE, Disposition.NEW}


def test_a_plan_does_not_change():
    with pytest.raises(FrozenInstanceError):
        marsh_hare().vehicle.system_v = 24.0  # type: ignore[misc]


def test_the_cast_is_six_circuits_of_every_pattern():
    assert len(marsh_hare().circuits) == len(SIX) == 6
    assert {c.kind for c in SIX} == {Kind.FEEDER, Kind.LAMP, Kind.COIL, Kind.ELECTRONICS, Kind.SENDER}
